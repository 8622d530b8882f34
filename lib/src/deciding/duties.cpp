// Entry point: decide_duties.
#include "deciding/work.hpp"

#include <algorithm>

namespace toprail {
namespace {

constexpr Outcome ranked[] = {Outcome::required, Outcome::required_with_exception,
                              Outcome::not_required, Outcome::not_addressed};

Perhaps perhaps(Truth truth) {
    return truth == Truth::yes  ? Perhaps::yes
           : truth == Truth::no ? Perhaps::no
                                : Perhaps::possibly;
}

bool asks_for(Outcome outcome) {
    return outcome == Outcome::required || outcome == Outcome::required_with_exception;
}

// Provisions of this liveness that make the outcome what it is; exceptions with their terms.
void add_grounds(const Work& work, const LoweredDuty& lowered, Truth live, bool exceptions,
                 DutyDecision& decision) {
    const bool undetermined = decision.outcome == Outcome::undetermined;
    for (const ProvisionId id : lowered.provisions) {
        const Effect& effect = work.model[id].effect;
        if ((effect.kind == EffectKind::exception) != exceptions || !work.may_govern(id) ||
            work.knowledge.truth(work.program.provisions[id.value].live) != live) {
            continue;
        }
        if (exceptions) {
            decision.terms.emplace(work.model.key(id), effect.terms);
        } else if (!undetermined && effect.required != asks_for(decision.outcome)) {
            continue;
        }
        decision.provisions.push_back(work.model.key(id));
    }
}

// The standing provisions. Where the outcome is the same whichever way open ones turn, and none
// stands for certain, those are its grounds: in every case one of them brings it.
void add_grounds(const Work& work, const LoweredDuty& lowered, DutyDecision& decision) {
    add_grounds(work, lowered, Truth::yes, false, decision);
    const bool spoken_of = decision.outcome != Outcome::not_addressed;
    if (decision.outcome == Outcome::undetermined || (spoken_of && decision.provisions.empty())) {
        add_grounds(work, lowered, Truth::open, false, decision);
    }
    add_grounds(work, lowered, Truth::yes, true, decision);
    if (decision.outcome == Outcome::required_with_exception && decision.terms.empty()) {
        add_grounds(work, lowered, Truth::open, true, decision);
    }
    std::sort(decision.provisions.begin(), decision.provisions.end());
}

DutyDecision decide_duty(Work& work, DutyId id) {
    const LoweredDuty& lowered = work.program.duties[id.value];
    const Duty& duty = work.model[id];
    DutyDecision decision;
    decision.duty = duty.name;
    decision.reads = duty.reads;
    decision.asks = duty.asks;
    decision.rank = id.value;
    const Ranking ranking =
        work.knowledge.rank({lowered.required, lowered.excepted, lowered.not_required});
    for (std::size_t i = 0; i < std::size(ranked); ++i) {
        if (ranking.reachable[i]) {
            decision.possible.push_back(ranked[i]);
        }
    }
    decision.act_as_if = decision.possible.front();
    decision.exact = ranking.exact;
    decision.contested = perhaps(work.knowledge.truth(lowered.contested));
    if (decision.possible.size() == 1) {
        decision.outcome = decision.possible.front();
    } else {
        decision.outcome = Outcome::undetermined;
        decision.settled_by = work.names(ranking.settled_by);
        decision.ask_next = ranking.ask_next.valid() ? work.model[ranking.ask_next].name : "";
        decision.waits_for_plan = !ranking.settled_by.empty() && work.plan_only(ranking.settled_by);
        for (std::size_t i = 0; decision.waits_for_plan && i < ranking.when.size(); ++i) {
            const std::string when =
                ranking.reachable[i] ? work.knowledge.when(ranking.when[i]) : std::string{};
            if (!when.empty()) {
                decision.conditional.push_back({when, std::string(word(ranked[i]))});
            }
        }
    }
    add_grounds(work, lowered, decision);
    return decision;
}

}  // namespace

std::vector<DutyDecision> decide_duties(Work& work) {
    std::vector<DutyDecision> decisions;
    for (const auto& [name, id] : work.model.duty_names) {
        const std::vector<ProvisionId>& bearing = work.program.duties[id.value].provisions;
        if (std::any_of(bearing.begin(), bearing.end(),
                        [&work](ProvisionId p) { return work.may_govern(p); })) {
            decisions.push_back(decide_duty(work, id));
        }
    }
    return decisions;
}

void add_first_duty(const Model& model, std::vector<DutyDecision>& decisions) {
    const auto is_first = [](const DutyDecision& each) { return each.rank == 0; };
    if (model.duties.empty() || std::any_of(decisions.begin(), decisions.end(), is_first)) {
        return;
    }
    const Duty& duty = model.duties.front();
    DutyDecision silent;
    silent.duty = duty.name;
    silent.reads = duty.reads;
    silent.asks = duty.asks;
    silent.spoken_of = false;
    silent.possible = {Outcome::not_addressed};
    const auto place = std::lower_bound(
        decisions.begin(), decisions.end(), duty.name,
        [](const DutyDecision& each, const std::string& name) { return each.duty < name; });
    decisions.insert(place, std::move(silent));
}

}  // namespace toprail
