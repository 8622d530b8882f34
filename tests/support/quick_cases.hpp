// One case by a plan, held against its decision.
#pragma once

#include "toprail/case_decider.hpp"

#include <doctest/doctest.h>

#include <cstdint>
#include <span>
#include <vector>

namespace toprail::test {

/// The case that is set in `decider`: what is settled is what the answer says, and the quick pass
/// says nothing else.
inline void hold_to(const Answer& answer, const BulkPlan& plan, CaseDecider& decider) {
    const std::vector<std::uint8_t> quick(decider.decide().begin(), decider.decide().end());
    const std::span<const std::uint8_t> settled = decider.settle();
    for (std::size_t d = 0; d < plan.duties().size(); ++d) {
        std::uint8_t expected = bulk_no_answer;
        if (answer.decision) {
            const DutyDecision* const duty = answer.decision->duty(plan.duties()[d]);
            expected =
                static_cast<std::uint8_t>(duty == nullptr ? Outcome::not_addressed : duty->outcome);
        }
        CHECK(settled[d] == expected);
        CHECK(
            (quick[d] == expected || quick[d] == static_cast<std::uint8_t>(Outcome::undetermined)));
    }
}

}  // namespace toprail::test
