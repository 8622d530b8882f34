// Entry point: search_case.
#include "bulk/search.hpp"

#include "bulk/plan_data.hpp"
#include "deciding/work.hpp"

#include <algorithm>

namespace toprail::bulk {
namespace {

// Whether a day that picks an edition lies before the first edition of some authority.
bool some_day_is_early(const Model& model, const std::vector<BoundFact>& facts, Date on) {
    return std::any_of(
        model.authorities.begin(), model.authorities.end(), [&](const Authority& authority) {
            const Rulepack& first = model[authority.editions.front()];
            const FactId picked_by = first.edition_picked.picked_by;
            if (!picked_by.valid()) {
                return on < first.from;
            }
            const BoundFact& fact = facts[picked_by.value];
            return fact.state == FactState::given && Date::from_days(fact.day) < first.from;
        });
}

}  // namespace

void search_case(const BulkPlan::Data& plan, const std::vector<BoundFact>& facts,
                 std::size_t budget, std::vector<std::uint8_t>& outcomes,
                 std::vector<std::uint8_t>* possible) {
    if (possible != nullptr) {
        possible->assign(plan.duties.size(), 0);
    }
    const Model& model = plan.shelf.data().model;
    const Program& program = plan.program;
    Knowledge knowledge(program, model, facts, plan.circumstances, budget);
    const Facts nobody_reads_texts;
    Work work{model, program, nobody_reads_texts, plan.circumstances, knowledge, {}};
    // Who governs need be known exactly only where that would leave the case without an answer.
    if (some_day_is_early(model, facts, plan.circumstances.on)) {
        knowledge.work_out(program.governs);
        for (const NodeId governs : program.governs) {
            work.governs.push_back(knowledge.truth(governs));
        }
        Findings findings;
        report_before_first_edition(work, findings);
        if (findings.any_error()) {
            outcomes.assign(plan.duties.size(), bulk_no_answer);
            return;
        }
    }
    std::vector<NodeId> nodes = program.governs;
    for (const DutyId id : plan.duties) {
        const LoweredDuty& duty = program.duties[id.value];
        nodes.insert(nodes.end(), {duty.required, duty.excepted, duty.not_required});
    }
    knowledge.work_out(nodes);
    outcomes.clear();
    for (std::size_t d = 0; d < plan.duties.size(); ++d) {
        const LoweredDuty& duty = program.duties[plan.duties[d].value];
        const std::vector<bool> reachable =
            knowledge.reachable({duty.required, duty.excepted, duty.not_required});
        const auto first = std::find(reachable.begin(), reachable.end(), true);
        const bool settled = std::count(first, reachable.end(), true) == 1;
        outcomes.push_back(settled ? static_cast<std::uint8_t>(first - reachable.begin())
                                   : static_cast<std::uint8_t>(Outcome::undetermined));
        for (std::size_t i = 0; possible != nullptr && i < reachable.size(); ++i) {
            (*possible)[d] |= static_cast<std::uint8_t>(reachable[i] ? 1U << i : 0U);
        }
    }
}

}  // namespace toprail::bulk
