// Writes the texts of a world: vocabulary, packs, conditions, formulas and provisions, each from a
// tape of its own. An object serves one world and one thread.
#pragma once

#include "oracle/worlds.hpp"

#include <map>
#include <string>
#include <vector>

namespace oracle {

using Texts = std::vector<std::string>;

/// Reads a tape from its start.
class Draw {
  public:
    explicit Draw(const Tape& tape) : tape_(tape) {}
    explicit Draw(Tape&&) = delete;  // it would outlive the tape
    /// 0 .. sides - 1; 0 past the end.
    std::size_t pick(std::size_t sides) { return at_ < tape_.size() ? tape_[at_++] % sides : 0; }
    bool one_in(std::size_t sides) { return pick(sides) == sides - 1; }
    template <typename List>
    const auto& from(const List& list) {
        return list[pick(list.size())];
    }

  private:
    const Tape& tape_;
    std::size_t at_ = 0;
};

struct Named {
    std::string name;
    std::string type;
    Texts values;
    bool linear = true;  // a formula without roots and quotients
};

/// Those of that type, in their order.
std::vector<Named> of_type(const std::vector<Named>& names, const std::string& type);

/// Few lengths, so that they meet; each in several units, so that their exactness counts.
extern const Texts world_lengths;
extern const Texts world_days;

class WorldBuilder {
  public:
    explicit WorldBuilder(const World& world) : world_(world), layout_(world.layout) {}
    std::vector<toprail::SourceText> build();
    /// A pack of another authority that only requires, limits and bars. After build.
    toprail::SourceText overlay(const std::vector<Tape>& tapes);

  private:
    struct Pack {
        std::string authority;
        std::string letter;
        std::string standing = "regulation";
        std::string from = "2000-01-01";
        std::string until;
        std::string last_day = "2200-01-01";
        Texts adopts;
        std::string picked_by = "work-date";
        std::string conditions;
        std::string quantities;
        Texts provisions;
        Texts required;  // ids of the provisions that require
        Texts ids;
        std::vector<Named> names;
    };

    void add_fact(const Tape& tape);
    void add_choices_and_duties();
    void add_packs();
    void add_duties();
    void add_governing_pack();
    void add_quantity(std::size_t index, const Tape& tape);
    void add_condition(std::size_t index, const Tape& tape);
    void add_provision(Pack& pack, const Tape& tape);
    std::string effect(Pack& pack, const std::string& id, Draw& draw);
    std::string exception(const Pack& pack, Draw& draw);
    std::string choice(Draw& draw, const std::string& verb);
    /// Empty when no length is known.
    std::string limit(Draw& draw, const std::vector<Named>& known);
    std::string displaced(const Pack& pack, Draw& draw);
    std::string formula(Draw& draw, const std::vector<Named>& names, bool& linear);
    std::string linear(Draw& draw, const std::vector<Named>& names, int depth);
    std::string sentence(Draw& draw, const std::vector<Named>& names);
    std::string condition(Draw& draw, const std::vector<Named>& names, int depth);
    [[nodiscard]] std::string vocabulary() const;
    [[nodiscard]] std::string text_of(const Pack& pack) const;
    /// Names that a text in that pack may use; those of the vocabulary alone when null.
    std::vector<Named> names(const Pack* pack) const;

    const World& world_;
    Draw layout_;
    std::vector<Named> facts_;
    std::vector<Named> shared_;
    std::string fact_texts_;
    std::string choice_texts_;
    std::string shared_conditions_;
    std::string shared_quantities_;
    std::vector<Named> choices_;
    std::size_t duties_ = 1;
    std::string duty_texts_;
    std::vector<Pack> packs_;
};

}  // namespace oracle
