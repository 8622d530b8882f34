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
/// With `possible` also, per duty, the outcomes that can be reached: the bit of each Outcome; none
/// where the case has no answer.
void search_case(const BulkPlan::Data& plan, const std::vector<BoundFact>& facts,
                 std::size_t budget, std::vector<std::uint8_t>& outcomes,
                 std::vector<std::uint8_t>* possible = nullptr);

}  // namespace toprail::bulk
