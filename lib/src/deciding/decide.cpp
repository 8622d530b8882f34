// Entry points: Shelf::decide, Shelf::check.
#include "deciding/work.hpp"
#include "rulepack/resolve.hpp"

#include <algorithm>

namespace toprail {
namespace {

void add_tree(const std::optional<LoweredTree>& tree, std::vector<NodeId>& nodes) {
    if (tree) {
        nodes.push_back(tree->node);
    }
}

// Every node that some part of the decision asks for, under the authorities that may govern.
std::vector<NodeId> nodes_to_know(const Work& work) {
    std::vector<NodeId> nodes = work.program.governs;
    for (std::size_t i = 0; i < work.program.provisions.size(); ++i) {
        const LoweredProvision& p = work.program.provisions[i];
        if (work.may_govern(ProvisionId(i))) {
            nodes.insert(nodes.end(), {p.edition, p.in_force, p.stands, p.displaced, p.live});
            add_tree(p.where, nodes);
            for (const LoweredTree& guard : p.guards) {
                nodes.push_back(guard.node);
            }
        }
    }
    for (const LoweredDuty& duty : work.program.duties) {
        nodes.insert(nodes.end(), {duty.required, duty.excepted, duty.not_required, duty.contested,
                                   duty.terms_broken, duty.terms_unshown});
        add_tree(duty.met_by, nodes);
    }
    for (const LoweredChoice& choice : work.program.choices) {
        nodes.insert(nodes.end(), choice.removed.begin(), choice.removed.end());
        nodes.push_back(choice.empty);
    }
    return nodes;
}

Decision tell(Work& work, const std::vector<NodeId>& nodes, const DependencyGraph& graph) {
    Decision decision;
    decision.on = work.circumstances.on;
    decision.facts = work.given.entries();
    std::sort(decision.facts.begin(), decision.facts.end(),
              [](const FactEntry& a, const FactEntry& b) { return a.name < b.name; });
    decision.governing = tell_governing(work);
    decision.duties = decide_duties(work);
    decision.choices = decide_choices(work);
    decision.limits = decide_limits(work);
    decision.fit = hold_plan(work, decision);
    decision.quantities = tell_quantities(work);
    decision.trail = tell_steps(work);
    decision.packs = tell_packs(work);
    decision.cautions =
        tell_cautions(decision, {tell_at_odds(work), tell_without_value(work, nodes),
                                 tell_not_in_force(work), tell_unheeded(work, graph)});
    // Last, since nothing else hangs on a duty that no provision speaks of.
    add_first_duty(work.model, decision.duties);
    return decision;
}

}  // namespace

Circumstances read_circumstances(const Model& model, Date on, const DecideOptions& options,
                                 Findings& findings) {
    Circumstances circumstances;
    circumstances.on = on;
    for (const std::string& name : options.authorities) {
        const auto found = model.authority_names.find(name);
        if (found == model.authority_names.end()) {
            std::vector<std::string> known;
            for (const auto& [id, authority] : model.authority_names) {
                known.push_back(id);
            }
            report_unknown(Kind::unknown_authority, {name, {}}, "authority", known, findings);
            continue;
        }
        circumstances.named.resize(model.authorities.size(), false);
        circumstances.named[found->second.value] = true;
    }
    return circumstances;
}

Shelf::Shelf(std::shared_ptr<const ShelfData> data) : data_(std::move(data)) {}

namespace {

// Finds out who governs, and calls `then` with the work so far when the case can be decided. Gives
// back what is wrong with it.
template <class Then>
std::vector<Finding> begin(const ShelfData& data, const Facts& facts, Date on,
                           const DecideOptions& options, Then then) {
    Findings findings;
    const Model& model = data.model;
    const std::vector<BoundFact> bound = bind_facts(model, facts, findings);
    const Circumstances circumstances = read_circumstances(model, on, options, findings);
    if (!findings.any_error()) {
        Knowledge knowledge(data.program, model, bound, circumstances, options.budget);
        Work work{model, data.program, facts, circumstances, knowledge, {}};
        knowledge.work_out(data.program.governs);
        for (const NodeId governs : data.program.governs) {
            work.governs.push_back(knowledge.truth(governs));
        }
        report_before_first_edition(work, findings);
        if (!findings.any_error()) {
            then(work);
        }
    }
    return findings.take();
}

}  // namespace

Answer Shelf::decide(const Facts& facts, Date on, const DecideOptions& options) const {
    Answer answer;
    answer.findings = begin(*data_, facts, on, options, [&](Work& work) {
        const std::vector<NodeId> nodes = nodes_to_know(work);
        work.knowledge.work_out(nodes);
        answer.decision = tell(work, nodes, data_->graph);
    });
    return answer;
}

std::vector<Finding> Shelf::check(const Facts& facts, Date on, const DecideOptions& options) const {
    return begin(*data_, facts, on, options, [](const Work& /*unused*/) {});
}

}  // namespace toprail
