// Why a condition is true, false or open: the few facts that make it so.
#pragma once

#include "deciding/work.hpp"

namespace toprail {

/// The reasons for the truth of a lowered condition, ordered by text. A true `any-of` and a false
/// `all-of` give the part with the fewest facts behind it, so that file order plays no role.
std::vector<Reason> reasons_for(const Work& work, const LoweredTree& tree);

}  // namespace toprail
