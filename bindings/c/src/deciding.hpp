// What deciding and making receipts have in common.
#pragma once

#include "entry.hpp"
#include "held.hpp"

namespace toprail::c {

Date read_day(toprail_text day);

DecideOptions decide_options(const toprail_decide_options* from);

/// Hands out decision and findings, or refuses with TOPRAIL_FINDINGS when there is no decision.
/// `decision` may be null when the caller does not want it.
toprail_status hand_out_answer(Answer answer, toprail_decision** decision,
                               toprail_findings** findings);

}  // namespace toprail::c
