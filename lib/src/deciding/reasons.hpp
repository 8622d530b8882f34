// Why a condition is true, false or open: the few facts that make it so.
#pragma once

#include "deciding/work.hpp"

#include <cstdint>
#include <map>
#include <string>
#include <utility>
#include <vector>

namespace toprail {

/// What the reasons of one decision were found to rest on, so that nothing is walked twice. Serves
/// one case, as Work does.
struct ReasonCache {
    /// The facts that decide a condition, and the leaf sentences that it comes down to.
    struct Behind {
        std::vector<std::string> facts;
        std::vector<Reason> since;
    };
    /// By number of the condition and the depth at which it was named.
    std::map<std::pair<std::uint32_t, unsigned>, Behind> conditions;
};

/// The reasons for the truth of a lowered condition, ordered by text. A true `any-of` and a false
/// `all-of` give the part with the fewest facts behind it, so that file order plays no role.
std::vector<Reason> reasons_for(const Work& work, const LoweredTree& tree, ReasonCache& cache);

}  // namespace toprail
