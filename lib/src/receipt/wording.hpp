// What a provision says otherwise than in an older receipt, piece by piece. Internal.
#pragma once

#include "receipt/provisions.hpp"

#include <vector>

namespace toprail {

/// Effect, conditions, gist, citation, standing and days. Of named conditions the sentences that
/// they come down to are held against each other, where both receipts record them.
std::vector<WordingChange> wording_changes(const ToldProvision& was, const ToldProvision& now);

}  // namespace toprail
