// What follows from one lost file, told in one finding. Internal to this room.
#pragma once

#include "toprail/finding.hpp"

#include <vector>

namespace toprail {

/// Where a vocabulary or rulepack is missing and more findings follow from that than anybody reads:
/// puts what is missing first, each once, and leaves the number of the others. Otherwise nothing is
/// changed. Errors stay errors.
void tell_cause_first(std::vector<Finding>& findings);

}  // namespace toprail
