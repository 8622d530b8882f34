// The answer to one case. Plain values that own everything; thread-safe as any value is. Everything
// is ordered by name, so equal packs, facts and dates give equal decisions.
#pragma once

#include "toprail/date.hpp"
#include "toprail/facts.hpp"

#include <cstddef>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace toprail {

/// Outcomes of a duty. The first four are ordered, strictest first.
enum class Outcome : std::uint8_t {
    required,
    required_with_exception,
    not_required,
    not_addressed,
    undetermined,
};

/// How the plan stands to something that is asked. `met` is also said where nothing is asked.
enum class Verdict : std::uint8_t { met, not_met, open };

/// What became of a provision. `open`: some filling of the unknown facts makes it stand, another
/// not.
enum class Status : std::uint8_t { stands, falls, open, displaced };

/// yes, no, or possibly: for some fillings of the unknown facts.
enum class Perhaps : std::uint8_t { no, possibly, yes };

/// "if means is arrest: required": what an answer comes to once the plan is known.
struct Conditional {
    std::string when;
    std::string then;
};

struct DutyDecision {
    std::string duty;
    std::string reads;
    std::string asks;
    /// Position in the vocabulary, in which the weightiest duties come first.
    std::size_t rank = 0;
    Outcome outcome = Outcome::not_addressed;
    /// False when no provision that may govern the case speaks of the duty. Such a duty is told
    /// only if it is the first of the vocabulary, whose answer is never left out.
    bool spoken_of = true;
    /// What some filling of the unknown facts leads to; one entry when the outcome is decided.
    std::vector<Outcome> possible;
    /// False when `possible` and `settled_by` may hold more than some filling leads to.
    bool exact = true;
    /// The facts that can still change the outcome, best to ask first in `ask_next`.
    std::vector<std::string> settled_by;
    std::string ask_next;
    /// True when only plan facts are open: then `conditional` says what the answer comes to.
    bool waits_for_plan = false;
    std::vector<Conditional> conditional;
    /// The strictest possible outcome; act as if it held until the duty is settled. Where it is
    /// `not_required` and `not_addressed` is possible, no rule may speak of it at all: that is no
    /// leave to go without, and a competent person has to be asked.
    Outcome act_as_if = Outcome::not_addressed;
    Perhaps contested = Perhaps::no;
    /// Terms of the exceptions that stand, with the keys of their provisions; where one of several
    /// open ones stands in every case, the terms of those.
    std::map<std::string, std::string> terms;
    /// Keys of the standing provisions that the outcome rests on. Open ones where the outcome is
    /// undetermined, or the same whichever of them comes to stand: then one of them brings it.
    std::vector<std::string> provisions;
};

struct ChoiceDecision {
    std::string choice;
    std::string reads;
    std::vector<std::string> admissible;
    /// Removed values, each with the keys of the provisions that removed it.
    std::map<std::string, std::vector<std::string>> barred;
    /// Values that an open provision may still remove, with the keys of those provisions.
    std::map<std::string, std::vector<std::string>> open;
    /// Whether no value is left: no means satisfies every authority, stop and ask.
    Perhaps empty = Perhaps::no;
    bool exact = true;
    std::vector<std::string> settled_by;
};

/// One bound on a quantity. The text is the author's own figure.
struct Bound {
    std::string provision;
    bool at_most = true;
    std::string text;
    Status status = Status::stands;
    bool strictest = false;
    /// For open bounds: "if means is arrest".
    std::string when;
};

struct LimitDecision {
    std::string quantity;
    std::string reads;
    /// The quantity as computed or given, in its unit; else "not known", "does not apply" or, when
    /// it divides by zero or takes the root of a negative number, "no value".
    std::string value;
    std::vector<Bound> bounds;
};

struct Fit {
    /// "duty", "choice" or "limit", and its name.
    std::string about;
    std::string name;
    Verdict verdict = Verdict::open;
    std::string reason;
    std::vector<std::string> provisions;
};

struct Governing {
    std::string authority;
    std::string title;
    std::string standing;
    Perhaps governs = Perhaps::no;
    /// True when the host named it.
    bool named = false;
    std::vector<std::string> provisions;
    std::vector<std::string> settled_by;
};

struct Reason {
    /// The sentence, with the value that was given.
    std::string says;
    /// "true", "false" or "unknown".
    std::string_view truth;
    std::vector<std::string> facts;
    /// What a named condition comes down to: the sentences on facts and figures that decide it,
    /// each once, without `since` of their own. Empty where `says` is such a sentence itself.
    std::vector<Reason> since;
};

/// One provision that was considered.
struct Step {
    std::string provision;
    std::string authority;
    Status status = Status::stands;
    std::string cite;
    std::vector<std::string> also_cite;
    /// How the adopting authority took the provision over; empty when it is its own.
    std::string adopted_by;
    /// The rulepack in which the provision was written, where another took it over: there it stands
    /// under the same id. Empty when it is its own.
    std::string adopted_from;
    std::string standing;
    std::string source;
    std::string source_note;
    std::string gist;
    /// "in force from 2017-01-17", with a last day where there is one; empty without dates of its
    /// own.
    std::string in_force;
    /// "tie-off: required", "means: bars positioning", "free-fall: at most 6 ft" ...
    std::string effect;
    std::vector<Reason> because;
    /// Keys of the provisions that displace it or, where its own conditions are met and it is open
    /// all the same, that may come to.
    std::vector<std::string> displaced_by;
};

/// Why a rulepack is listed. weighed: its provisions were, as its own authority's. adopted: one of
/// those takes over text of it. names_authorities: it says who governs and asks nothing itself.
enum class PackRole : std::uint8_t { weighed, adopted, names_authorities };

struct PackUsed {
    std::string authority;
    std::string title;
    std::string edition;
    std::string verified_through;
    /// The date fact that picked the edition, "work-date" for the deciding date.
    std::string picked_by;
    std::string picked_date;
    Perhaps counts = Perhaps::yes;
    PackRole role = PackRole::weighed;
    /// Who takes over text of this pack; empty unless its role is `adopted`.
    std::string adopted_by;
};

struct QuantityValue {
    std::string quantity;
    std::string reads;
    /// In the quantity's unit. Quantities whose value is not settled are not told.
    std::string value;
    /// The formula as written, and with its terms filled in.
    std::string formula;
    std::string filled;
};

struct Decision {
    Date on = Date::from_days(0);
    std::vector<Governing> governing;
    // The first duty of the vocabulary, and every other that a governing authority may speak of.
    std::vector<DutyDecision> duties;
    // Those that a governing authority may speak of.
    std::vector<ChoiceDecision> choices;
    std::vector<LimitDecision> limits;
    std::vector<Fit> fit;
    std::vector<QuantityValue> quantities;
    std::vector<Step> trail;
    std::vector<std::string> cautions;
    std::vector<PackUsed> packs;
    std::vector<FactEntry> facts;

    [[nodiscard]] const DutyDecision* duty(std::string_view name) const;
    [[nodiscard]] const ChoiceDecision* choice(std::string_view name) const;
    [[nodiscard]] const LimitDecision* limit(std::string_view name) const;
    /// True when some duty is undetermined for want of more than the plan. One that waits for the
    /// plan alone (DutyDecision::waits_for_plan) is not counted: what may be done hangs on what is
    /// planned, and act_as_if holds until that is known.
    [[nodiscard]] bool undetermined() const;
};

std::string_view word(Outcome outcome);
std::string_view word(Verdict verdict);
std::string_view word(Status status);
std::string_view word(Perhaps perhaps);
std::string_view word(PackRole role);

}  // namespace toprail
