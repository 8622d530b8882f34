// Entry points: decide_choices, decide_limits.
#include "deciding/work.hpp"

#include <algorithm>
#include <set>

namespace toprail {
namespace {

ChoiceDecision decide_choice(Work& work, const LoweredChoice& lowered) {
    const Fact& fact = work.model[lowered.choice];
    ChoiceDecision decision;
    decision.choice = fact.name;
    decision.reads = fact.reads;
    std::set<FactId> settles;
    for (std::size_t v = 0; v < fact.values.size(); ++v) {
        const Truth removed = work.knowledge.truth(lowered.removed[v]);
        if (removed == Truth::no) {
            decision.admissible.push_back(fact.values[v]);
            continue;
        }
        if (removed == Truth::open) {
            const auto facts = work.knowledge.hangs_on(lowered.removed[v], decision.exact);
            settles.insert(facts.begin(), facts.end());
        }
        auto& by =
            removed == Truth::yes ? decision.barred[fact.values[v]] : decision.open[fact.values[v]];
        for (const ProvisionId id : lowered.provisions) {
            const Truth live = work.knowledge.truth(work.program.provisions[id.value].live);
            if (work.may_govern(id) && work.model[id].effect.removes[v] && live != Truth::no &&
                (live == removed || removed == Truth::yes)) {
                by.push_back(work.model.key(id));
            }
        }
    }
    decision.settled_by = work.names({settles.begin(), settles.end()});
    switch (work.knowledge.truth(lowered.empty)) {
    case Truth::yes:
        decision.empty = Perhaps::yes;
        break;
    case Truth::open:
        decision.empty = Perhaps::possibly;
        break;
    case Truth::no:
        break;
    }
    return decision;
}

// The strictest of the standing bounds in one direction, by exact figure.
void mark_strictest(Work& work, const LoweredLimit& lowered, bool at_most,
                    std::vector<Bound>& bounds) {
    const Value* best = nullptr;
    Bound* winner = nullptr;
    for (Bound& bound : bounds) {
        if (bound.at_most != at_most || bound.status != Status::stands) {
            continue;
        }
        for (const ProvisionId id : lowered.provisions) {
            const auto& value = work.knowledge.value(work.program.bounds[id.value]);
            if (work.model.key(id) != bound.provision || !value ||
                value->kind != Value::Kind::number) {
                continue;
            }
            const Verb stricter = at_most ? Verb::less_than : Verb::more_than;
            if (best == nullptr || compare(stricter, *value, *best) == true) {
                best = &*value;
                winner = &bound;
            }
        }
    }
    if (winner != nullptr) {
        winner->strictest = true;
    }
}

LimitDecision decide_limit(Work& work, const LoweredLimit& lowered) {
    LimitDecision decision;
    decision.quantity = work.model.name(lowered.limited);
    decision.reads = lowered.limited.kind == RefKind::quantity
                         ? work.model.quantities[lowered.limited.index].reads
                         : work.model.facts[lowered.limited.index].reads;
    decision.value = work.value_text(lowered.limited);
    for (const ProvisionId id : lowered.provisions) {
        // Displaced provisions limit nothing, nor do those of authorities that do not govern.
        const Truth live = work.knowledge.truth(work.program.provisions[id.value].live);
        if (live == Truth::no || !work.may_govern(id)) {
            continue;
        }
        Bound bound;
        bound.provision = work.model.key(id);
        bound.at_most = work.model[id].effect.at_most;
        bound.text = work.bound_text(id);
        bound.status = live == Truth::yes ? Status::stands : Status::open;
        if (bound.status == Status::open) {
            bound.when = work.knowledge.when(work.program.provisions[id.value].live);
        }
        decision.bounds.push_back(std::move(bound));
    }
    mark_strictest(work, lowered, true, decision.bounds);
    mark_strictest(work, lowered, false, decision.bounds);
    return decision;
}

}  // namespace

std::vector<ChoiceDecision> decide_choices(Work& work) {
    std::vector<ChoiceDecision> decisions;
    for (const LoweredChoice& lowered : work.program.choices) {
        if (std::any_of(lowered.provisions.begin(), lowered.provisions.end(),
                        [&work](ProvisionId p) { return work.may_govern(p); })) {
            decisions.push_back(decide_choice(work, lowered));
        }
    }
    return decisions;
}

std::vector<LimitDecision> decide_limits(Work& work) {
    std::vector<LimitDecision> decisions;
    for (const LoweredLimit& lowered : work.program.limits) {
        LimitDecision decision = decide_limit(work, lowered);
        if (!decision.bounds.empty()) {
            decisions.push_back(std::move(decision));
        }
    }
    return decisions;
}

}  // namespace toprail
