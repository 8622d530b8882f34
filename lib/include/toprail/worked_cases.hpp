// Whether rulepacks still decide their own worked cases as these say: what a host may ask before it
// relies on a pack that somebody edited. `lint_shelf` asks it of every pack, and more.
#pragma once

#include "toprail/shelf.hpp"

#include <set>
#include <string>
#include <vector>

namespace toprail {

/// A finding (case-fails) for each expectation that is not met, of every edition of these
/// authorities; ids that are not on the shelf are passed over. Takes about a millisecond for each
/// worked case with the shipped rulepacks. Thread-safe.
std::vector<Finding> failing_worked_cases(const Shelf& shelf,
                                          const std::set<std::string>& authorities);

}  // namespace toprail
