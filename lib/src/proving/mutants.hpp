// Small changes to a pack, such as an editor's slip would make.
#pragma once

#include "rulepack/model.hpp"

#include <optional>
#include <string>
#include <vector>

namespace toprail {

/// Where a sentence stands: in a provision, a condition or a piece of a quantity, and which of its
/// sentences it is, in reading order.
struct SentencePlace {
    enum class Home : std::uint8_t { provision, condition, piece };
    Home home = Home::provision;
    std::string provision;  // id, within the pack that it is written in
    std::size_t index = 0;  // ConditionId or QuantityId
    std::size_t piece = 0;
    std::size_t leaf = 0;
};

struct Mutant {
    enum class Kind : std::uint8_t {
        sentence,       // another test in its place
        dropped,        // the provision has no effect any more
        displaces_not,  // it displaces nothing
        value,          // one value of its list is treated the other way
        bound,          // its figure is another
        days,           // it is in force on other days
    };
    Kind kind = Kind::sentence;
    Span span;
    std::string change;
    SentencePlace place;
    Test test;                     // sentence
    std::size_t value = 0;         // value
    std::optional<Figure> figure;  // bound
    Days days;                     // days
};

/// All changes to the provisions, conditions and quantities that are written in a pack.
std::vector<Mutant> mutants_of(const Model& model, PackId pack);

/// What a mutant changed, to be put back.
struct Undo {
    std::vector<std::pair<std::size_t, Provision>> provisions;
    std::vector<std::pair<std::size_t, Condition>> conditions;
    std::vector<std::pair<std::size_t, Quantity>> quantities;
};

/// Changes the model, in adopted copies, too.
Undo apply(const Mutant& mutant, PackId written_in, Model& model);
void put_back(Undo&& undo, Model& model);

/// The sentences of a tree in reading order.
template <class Tree, class Visit>
void each_leaf(Tree& tree, const Visit& visit) {
    if (tree.parts.empty()) {
        visit(tree);
    }
    for (auto& part : tree.parts) {
        each_leaf(part, visit);
    }
}

}  // namespace toprail
