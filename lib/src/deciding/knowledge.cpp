// Entry point: Knowledge.
#include "deciding/knowledge.hpp"

#include <algorithm>
#include <map>
#include <set>

namespace toprail {

Knowledge::Knowledge(const Program& program, const Model& model,
                     const std::vector<BoundFact>& facts, const Circumstances& circumstances,
                     std::size_t budget)
    : program_(program),
      model_(model),
      facts_(facts),
      budget_(budget),
      first_(three_valued(program, facts, circumstances)) {}

void Knowledge::work_out(const std::vector<NodeId>& outputs) {
    exact_ = std::make_unique<Exact>(program_, model_, first_, budget_);
    try {
        possible_ = Diagrams::always;
        exact_->work_out(outputs);
        leave_out_impossible();
    } catch (const BudgetSpent&) {
        exact_.reset();
    }
}

void Knowledge::leave_out_impossible() {
    Diagrams& diagrams = exact_->diagrams();
    for (std::size_t i = 0; i < model_.authorities.size(); ++i) {
        const Rulepack& pack = model_[model_.authorities[i].editions.front()];
        const FactId date = pack.edition_picked.picked_by;
        const NodeId governs = program_.governs[i];
        if (date.valid() && facts_[date.value].state == FactState::not_known &&
            first_.nodes[governs.value] == Truth::open && exact_->worked_out(governs)) {
            const Diagrams::Ref impossible =
                diagrams.both(exact_->ref(governs), exact_->before(date, pack.from));
            possible_ = diagrams.both(possible_, diagrams.negate(impossible));
        }
    }
}

Truth Knowledge::truth(NodeId node) const {
    const Truth rough = first_.nodes[node.value];
    if (rough != Truth::open || !exact_ || !exact_->worked_out(node)) {
        return rough;
    }
    try {
        Diagrams& diagrams = exact_->diagrams();
        const Diagrams::Ref ref = exact_->ref(node);
        if (diagrams.both(possible_, ref) == Diagrams::never) {
            return Truth::no;
        }
        return diagrams.both(possible_, diagrams.negate(ref)) == Diagrams::never ? Truth::yes
                                                                                 : Truth::open;
    } catch (const BudgetSpent&) {
        return Truth::open;  // never wrong, only wider
    }
}

// A fact matters when two of its values lead to different outcomes, all else equal and both
// possible.
std::vector<FactId> Knowledge::matters_within_possible(const std::vector<Diagrams::Ref>& outcomes,
                                                       bool& exact) const {
    Diagrams& diagrams = exact_->diagrams();
    std::vector<bool> used(exact_->variables().size(), false);
    for (const Diagrams::Ref outcome : outcomes) {
        diagrams.mark_support(outcome, used);
    }
    for (std::uint32_t v = 0; v < used.size(); ++v) {
        const std::size_t classes = used[v] ? diagrams.classes(v) : 0;
        bool matters = false;
        for (std::uint32_t a = 0; a < classes && !matters; ++a) {
            for (std::uint32_t b = 0; b < classes && !matters; ++b) {
                for (std::size_t i = 0; a != b && i < outcomes.size() && !matters; ++i) {
                    const Diagrams::Ref here = diagrams.restrict_to(outcomes[i], v, a);
                    for (std::size_t j = 0; j < outcomes.size() && !matters; ++j) {
                        matters = i != j &&
                                  diagrams.both(here, diagrams.restrict_to(outcomes[j], v, b)) !=
                                      Diagrams::never;
                    }
                }
            }
        }
        used[v] = matters;
    }
    return facts_of_support(used, exact);
}

std::vector<FactId> Knowledge::facts_of_support(const std::vector<bool>& used, bool& exact) const {
    std::set<FactId> facts;
    for (std::size_t i = 0; i < used.size(); ++i) {
        if (!used[i]) {
            continue;
        }
        const Variable& variable = exact_->variables()[i];
        if (variable.fact.valid()) {
            facts.insert(variable.fact);
        } else {
            exact = false;
            facts.insert(variable.facts.begin(), variable.facts.end());
        }
    }
    return {facts.begin(), facts.end()};
}

std::vector<FactId> Knowledge::facts_of_cone(const std::vector<NodeId>& nodes) const {
    const OpenCone cone = open_cone(program_, first_, nodes);
    std::set<FactId> facts;
    for (std::size_t i = 0; i < program_.nodes.size(); ++i) {
        if (cone.nodes[i] && program_.nodes[i].kind == NodeKind::atom) {
            const Atom& atom = program_.atoms[program_.nodes[i].first];
            if (atom.kind == AtomKind::member || atom.kind == AtomKind::day) {
                facts.insert(atom.fact);
            }
        }
    }
    for (std::size_t i = 0; i < program_.expressions.size(); ++i) {
        const Expression& e = program_.expressions[i];
        if (cone.expressions[i] && e.kind == Expression::Kind::fact) {
            facts.insert(e.fact);
        }
    }
    return {facts.begin(), facts.end()};
}

std::vector<FactId> Knowledge::hangs_on(NodeId node, bool& exact) const {
    if (first_.nodes[node.value] != Truth::open) {
        return {};
    }
    if (!exact_ || !exact_->worked_out(node)) {
        exact = false;
        return facts_of_cone({node});
    }
    try {
        Diagrams& diagrams = exact_->diagrams();
        if (possible_ != Diagrams::always) {
            return matters_within_possible(
                {diagrams.both(possible_, exact_->ref(node)),
                 diagrams.both(possible_, diagrams.negate(exact_->ref(node)))},
                exact);
        }
        std::vector<bool> used(exact_->variables().size(), false);
        diagrams.mark_support(exact_->ref(node), used);
        return facts_of_support(used, exact);
    } catch (const BudgetSpent&) {
        exact = false;
        return facts_of_cone({node});
    }
}

Ranking Knowledge::rank_roughly(const std::vector<NodeId>& nodes) const {
    Ranking ranking;
    bool none_before = true;
    for (const NodeId node : nodes) {
        const Truth t = first_.nodes[node.value];
        ranking.reachable.push_back(none_before && t != Truth::no);
        none_before = none_before && t != Truth::yes;
    }
    ranking.reachable.push_back(none_before);
    if (std::count(ranking.reachable.begin(), ranking.reachable.end(), true) > 1) {
        ranking.exact = false;
        ranking.settled_by = facts_of_cone(nodes);
        ranking.ask_next = ranking.settled_by.empty() ? FactId() : ranking.settled_by.front();
    }
    return ranking;
}

std::vector<bool> Knowledge::reachable(const std::vector<NodeId>& nodes) {
    if (!exact_) {
        return rank_roughly(nodes).reachable;
    }
    try {
        std::vector<bool> reachable;
        Diagrams& diagrams = exact_->diagrams();
        Diagrams::Ref rest = possible_;
        for (const NodeId node : nodes) {
            const Diagrams::Ref here = exact_->ref(node);
            reachable.push_back(diagrams.both(rest, here) != Diagrams::never);
            rest = diagrams.both(rest, diagrams.negate(here));
        }
        reachable.push_back(rest != Diagrams::never);
        return reachable;
    } catch (const BudgetSpent&) {
        exact_.reset();
        return rank_roughly(nodes).reachable;
    }
}

Ranking Knowledge::rank(const std::vector<NodeId>& nodes) {
    if (!exact_) {
        return rank_roughly(nodes);
    }
    try {
        Ranking ranking;
        Diagrams& diagrams = exact_->diagrams();
        Diagrams::Ref rest = possible_;
        for (const NodeId node : nodes) {
            const Diagrams::Ref here = exact_->ref(node);
            ranking.when.push_back(diagrams.both(rest, here));
            rest = diagrams.both(rest, diagrams.negate(here));
        }
        ranking.when.push_back(rest);
        std::vector<bool> used(exact_->variables().size(), false);
        for (const Diagrams::Ref when : ranking.when) {
            ranking.reachable.push_back(when != Diagrams::never);
            diagrams.mark_support(when, used);
        }
        ranking.settled_by = possible_ == Diagrams::always
                                 ? facts_of_support(used, ranking.exact)
                                 : matters_within_possible(ranking.when, ranking.exact);
        ranking.ask_next = best_to_ask(ranking);
        return ranking;
    } catch (const BudgetSpent&) {
        exact_.reset();
        return rank_roughly(nodes);
    }
}

// The fact after whose answer the outcome is most often settled, every class of its values weighing
// the same; among equals the one that leaves the outcomes least mixed, then the first in the
// vocabulary.
FactId Knowledge::best_to_ask(const Ranking& ranking) {
    // Shares are cut, and what is equal may be summed up in two ways: a millionth is no difference.
    constexpr std::uint64_t rounding = Diagrams::all_of_them >> 20U;
    Diagrams& diagrams = exact_->diagrams();
    FactId best;
    std::uint64_t best_score = 0;
    for (std::uint32_t v = 0; v < exact_->variables().size(); ++v) {
        const Variable& variable = exact_->variables()[v];
        if (!variable.fact.valid() ||
            !std::binary_search(ranking.settled_by.begin(), ranking.settled_by.end(),
                                variable.fact)) {
            continue;
        }
        std::uint64_t score = 0;
        for (std::uint32_t c = 0; c < variable.classes.size(); ++c) {
            std::uint64_t largest = 0;
            for (const Diagrams::Ref when : ranking.when) {
                largest = std::max(largest, diagrams.share(diagrams.restrict_to(when, v, c)));
            }
            score += largest == Diagrams::all_of_them ? 2 * largest : largest;
        }
        score = (score / variable.classes.size() + rounding / 2) / rounding;
        if (!best.valid() || score > best_score) {
            best_score = score;
            best = variable.fact;
        }
    }
    return best.valid() || ranking.settled_by.empty() ? best : ranking.settled_by.front();
}

std::string Knowledge::when(NodeId node) const {
    if (!exact_ || !exact_->worked_out(node)) {
        return {};
    }
    return when(exact_->ref(node));
}

std::string Knowledge::when(Diagrams::Ref ref) const {
    if (!exact_ || ref == Diagrams::never) {
        return {};
    }
    constexpr std::size_t most_paths = 4;
    std::vector<std::string> paths;
    bool too_many = false;
    const auto walk = [&](const auto& self, Diagrams::Ref at, const std::string& so_far) -> void {
        if (at == Diagrams::never || too_many) {
            return;
        }
        if (at == Diagrams::always) {
            too_many = paths.size() >= most_paths;
            paths.push_back(so_far);
            return;
        }
        const std::uint32_t variable = exact_->diagrams().top(at);
        const std::size_t count = exact_->diagrams().classes(variable);
        std::map<Diagrams::Ref, std::vector<bool>> groups;
        for (std::uint32_t c = 0; c < count; ++c) {
            auto& group = groups[exact_->diagrams().child(at, c)];
            group.resize(count, false);
            group[c] = true;
        }
        for (const auto& [child, chosen] : groups) {
            const std::string text =
                describe_classes(model_, exact_->variables()[variable], chosen);
            self(self, child, so_far.empty() ? text : so_far + " and " + text);
        }
    };
    walk(walk, ref, {});
    if (too_many) {
        return {};
    }
    std::sort(paths.begin(), paths.end());
    std::string text;
    for (const std::string& path : paths) {
        text += (text.empty() ? "" : ", or ") + path;
    }
    return text;
}

}  // namespace toprail
