// Reads a map of facts, wherever it stands: in a facts file or in a worked case.
#pragma once

#include "reading/tree.hpp"
#include "toprail/facts.hpp"

namespace toprail {

Facts read_fact_entries(const Node& node, Findings& findings);

}  // namespace toprail
