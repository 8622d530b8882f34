// Where the comparisons of a model turn over when one number moves and every other fact is known.
#pragma once

#include "oracle/filling.hpp"

#include <set>
#include <string>

namespace oracle {

/// The values of `fact` at which some comparison of formulas may change its truth, apart from the
/// plain figures it is compared with. `known` leaves out the facts that are not known; comparisons
/// that rest on two of them are passed over. Throws Unusable on a break that is no rational number.
std::set<Number> breaks_of(const Model& model, const std::string& fact, const Filling& known);

/// Groups of measured facts and counts that meet in one comparison.
std::vector<std::set<std::string>> facts_that_meet(const Model& model);

}  // namespace oracle
