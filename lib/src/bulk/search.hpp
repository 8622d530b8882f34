// One case through the exact search, for its duties alone.
#pragma once

#include "deciding/bound.hpp"
#include "toprail/bulk.hpp"

#include <cstddef>
#include <cstdint>
#include <vector>

namespace toprail::bulk {

/// Writes an outcome byte per duty of the plan. Answers as Shelf::decide does; only where that
/// spends its budget may this answer more narrowly, since it works out fewer nodes.
void search_case(const BulkPlan::Data& plan, const std::vector<BoundFact>& facts,
                 std::size_t budget, std::vector<std::uint8_t>& outcomes);

}  // namespace toprail::bulk
