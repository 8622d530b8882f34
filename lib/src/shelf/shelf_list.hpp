// The list of what must lie in a folder, held against what was found. Internal to this room.
#pragma once

#include "findings/collector.hpp"
#include "reading/tree.hpp"
#include "rulepack/model.hpp"

#include <string>

namespace toprail {

/// Whether the file is a list: its key `shelf` tells it from rulepacks, vocabularies and facts.
bool is_shelf_list(const Node& root);

/// Reports what the list names and `model` lacks, and what lies in or below the folder of the list
/// and is not on it. What is lacking is an error where cases are to be decided, and a warning where
/// the shelf is only judged: the rest of it is to be looked at too. Precondition: every file has
/// been read into `model`.
void check_shelf_list(const Node& root, const Model& model, bool for_deciding, Findings& findings);

}  // namespace toprail
