// Walks over the conditions of a model as they stand in the files.
#pragma once

#include "rulepack/model.hpp"

namespace toprail {

/// Visits a tree and all below it. Trees are no deeper than Limits::depth.
template <class Visit>
void each_tree(const ConditionTree& tree, const Visit& visit) {
    visit(tree);
    for (const ConditionTree& part : tree.parts) {
        each_tree(part, visit);
    }
}

template <class Visit>
void each_tree(const std::optional<ConditionTree>& tree, const Visit& visit) {
    if (tree) {
        each_tree(*tree, visit);
    }
}

/// The same for every tree that stands in a file, each once: what was adopted stands in another
/// file, which is visited as well.
template <class Visit>
void each_tree(const Model& model, const Visit& visit) {
    for (const Condition& condition : model.conditions) {
        each_tree(condition.tree, visit);
    }
    for (const Quantity& quantity : model.quantities) {
        for (const Piece& piece : quantity.pieces) {
            each_tree(piece.where, visit);
        }
    }
    for (const Duty& duty : model.duties) {
        each_tree(duty.met_by, visit);
    }
    for (const AtOdds& at_odds : model.at_odds) {
        each_tree(at_odds.where, visit);
    }
    for (const Rulepack& pack : model.packs) {
        for (const Adoption& adoption : pack.adopts) {
            each_tree(adoption.where, visit);
        }
    }
    for (const Provision& provision : model.provisions) {
        if (provision.pack == provision.written_in) {
            each_tree(provision.where, visit);
            each_tree(provision.effect.terms_met_by, visit);
        }
    }
}

}  // namespace toprail
