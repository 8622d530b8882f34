// The resolved model: vocabulary, conditions, quantities, provisions, packs. Built by the readers
// of this room, checked by resolve, immutable once a shelf holds it.
//
// Invariants after a resolve without errors:
//  1. every Ref points into the vector of its kind;
//  2. conditions and quantities form no circle, nor do displacements;
//  3. both sides of every comparison and every sum have one dimension;
//  4. provisions of one authority and edition have distinct ids;
//  5. `provisions` is ordered by authority, edition and id, whatever the order in the files.
#pragma once

#include "findings/collector.hpp"
#include "quantity/unit.hpp"
#include "reading/formula.hpp"
#include "reading/sentence.hpp"
#include "rulepack/ids.hpp"
#include "toprail/date.hpp"

#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace toprail {

enum class FactType { yes_no, choice, date, count, measured };

/// A thing that a case states. Choices (what is picked from a list) are facts too.
struct Fact {
    std::string name;
    FactType type = FactType::yes_no;
    Dimension dimension;
    std::string unit;  // the unit people give, for measured facts
    std::vector<std::string> values;
    std::optional<Figure> from;
    std::optional<Figure> to;
    bool plan = false;
    bool may_not_apply = false;
    bool is_choice = false;
    std::string reads;
    std::string ask;
    std::string why;
    Span span;
};

enum class RefKind : std::uint8_t { none, fact, condition, quantity };

struct Ref {
    RefKind kind = RefKind::none;
    std::uint32_t index = 0;
    friend bool operator==(const Ref&, const Ref&) = default;
};

/// What a sentence means once its names are known.
struct Test {
    enum class Kind : std::uint8_t { none, truth, one_of, compare, day };
    Kind kind = Kind::none;
    Verb verb = Verb::holds;
    Ref subject;
    bool negated = false;               // truth: `not NAME`
    std::vector<std::uint32_t> values;  // one_of: positions in Fact::values; yes-no: 0 no, 1 yes
    std::optional<Figure> figure;       // compare with a figure
    Ref other;                          // compare with a quantity
    std::optional<Date> day;
};

struct ConditionTree {
    enum class Shape : std::uint8_t { sentence, all_of, any_of, none_of };
    Shape shape = Shape::all_of;
    Sentence sentence;
    Test test;
    std::vector<ConditionTree> parts;
    Span span;
};

struct Condition {
    std::string name;
    std::string reads;
    ConditionTree tree;
    Span span;
};

struct Piece {
    std::optional<ConditionTree> where;
    Formula formula;
    /// What each Operation::name term of the formula stands for; same length as formula.terms.
    std::vector<Ref> refs;
};

struct Quantity {
    std::string name;
    Dimension dimension;
    std::string unit;
    std::string reads;
    std::string cite;
    std::string source;
    std::vector<Piece> pieces;
    Span span;
};

struct Duty {
    std::string name;
    std::string asks;
    std::string reads;
    std::optional<ConditionTree> met_by;
    Span span;
};

/// Facts that cannot be true together, whoever governs.
struct AtOdds {
    std::string name;
    std::string says;
    ConditionTree where;
    Span span;
};

/// What an authority of some standing may do.
struct Standing {
    std::string name;
    std::uint32_t rank = 0;
    bool may_require = false;
    bool may_relax = false;
    bool may_limit = false;
    bool may_explain = false;
};

/// How far the text behind a provision was verified.
enum class Mark : std::uint8_t { read, read_part, secondary, memory, inference, common_practice };
std::string_view word(Mark mark);
inline bool verified(Mark mark) {
    return mark == Mark::read || mark == Mark::read_part;
}

/// First and last day, both included; `picked_by` is invalid for the deciding date itself.
struct Days {
    std::optional<Date> from;
    std::optional<Date> until;
    FactId picked_by;
    Word picked_by_word;
};

enum class EffectKind : std::uint8_t { none, duty, exception, choice, limit, remark, governs };

struct Effect {
    EffectKind kind = EffectKind::none;
    Word target;  // duty, choice, limited quantity, remarked thing or authority
    // duty
    DutyId duty;
    bool required = false;
    // exception
    std::vector<Word> relaxes;
    std::vector<ProvisionId> relaxed;
    std::string terms;
    std::optional<ConditionTree> terms_met_by;
    // choice: the values taken away, as a flag per value
    FactId choice;
    bool admits = false;
    std::vector<Word> values;
    std::vector<bool> removes;
    // limit
    Ref limited;
    bool at_most = true;
    Word bound;
    std::optional<Figure> bound_figure;
    Ref bound_ref;
    // governs
    AuthorityId governs;
};

/// The condition under which a pack adopts what it adopts.
struct Guard {
    ConditionTree where;
    PackId adopter;
};

struct Provision {
    std::string id;
    std::string cite;
    std::vector<std::string> also_cite;
    Mark mark = Mark::memory;
    std::string source_note;
    std::string standing;
    std::string gist;
    Days in_force;
    std::optional<ConditionTree> where;
    std::vector<Guard> guards;  // what each adoption on the way asked, first adopter first
    std::vector<Word> displaces;
    std::vector<ProvisionId> displaced;  // those that this one displaces
    Effect effect;
    PackId pack;        // the pack (edition) it counts for
    PackId written_in;  // the pack whose file it stands in: another when adopted
    Span span;
};

struct ExpectedAnswer {
    Word key;
    const Node* value = nullptr;
};

struct WorkedCase {
    std::string name;
    std::optional<Date> on;
    const Node* facts = nullptr;  // into the pack's tree
    std::vector<ExpectedAnswer> answers;
    std::vector<Word> stands, falls, open, displaced;
    std::optional<std::vector<Word>> asks;
    Span span;
};

struct Adoption {
    Word pack;
    std::vector<Word> leaves_out;
    std::optional<ConditionTree> where;
    std::string cite;
    std::string source;
    PackId adopted;
};

/// One edition of one authority, as read from one file.
/// Why no worked case notices a small change, for changes of which that cannot be proved.
struct Unnoticed {
    Word change;  // as the proof over worked cases tells it
    std::string why;
};

struct Rulepack {
    std::string id;
    std::string title;
    Span span;
    std::string standing;
    Span standing_span;
    Date from = Date::from_days(0);
    std::optional<Date> until;     // as written
    std::optional<Date> last_day;  // until, or the day before the next edition
    std::optional<Date> verified_through;
    Days edition_picked;  // only picked_by counts
    std::vector<Word> vocabularies;
    std::vector<std::string> what_was_read;
    std::vector<std::string> what_is_open;
    std::vector<Adoption> adopts;
    bool counts_when_named = false;  // it is meant for hosts that name it and packs that adopt it
    std::map<std::string, ConditionId, std::less<>> conditions;
    std::map<std::string, QuantityId, std::less<>> quantities;
    std::vector<WorkedCase> cases;
    std::vector<Unnoticed> unnoticed;
    AuthorityId authority;
    std::shared_ptr<const Source> source;
    std::shared_ptr<const Node> tree;
};

struct Authority {
    std::string id;
    std::string title;
    std::vector<PackId> editions;  // by first day
};

/// Everything on a shelf.
struct Model {
    std::vector<std::shared_ptr<const Source>> sources;
    std::vector<std::shared_ptr<const Node>> trees;
    std::vector<std::string> vocabularies;
    std::vector<Fact> facts;
    std::vector<Duty> duties;
    std::vector<AtOdds> at_odds;  // by name
    std::vector<Standing> standings;
    std::vector<Condition> conditions;
    std::vector<Quantity> quantities;
    std::vector<Rulepack> packs;
    std::vector<Authority> authorities;
    std::vector<Provision> provisions;
    // The vocabulary's names; a pack's own conditions and quantities stand in the pack.
    std::map<std::string, Ref, std::less<>> shared_names;
    std::map<std::string, DutyId, std::less<>> duty_names;
    std::map<std::string, AuthorityId, std::less<>> authority_names;

    [[nodiscard]] const Standing* standing(std::string_view name) const;
    [[nodiscard]] const Provision& operator[](ProvisionId id) const { return provisions[id.value]; }
    [[nodiscard]] const Rulepack& operator[](PackId id) const { return packs[id.value]; }
    [[nodiscard]] const Fact& operator[](FactId id) const { return facts[id.value]; }
    [[nodiscard]] const Duty& operator[](DutyId id) const { return duties[id.value]; }
    /// "us.federal.construction/boom-tie-off", with "@2014-11-30" when the authority has several
    /// editions.
    [[nodiscard]] std::string key(ProvisionId id) const;
    /// The name, unit and dimension behind a fact or quantity.
    [[nodiscard]] const std::string& name(Ref ref) const;
    [[nodiscard]] const std::string& unit(Ref ref) const;
    [[nodiscard]] Dimension dimension(Ref ref) const;
};

}  // namespace toprail
