// The explanations in the order of finding_kinds(), one file for each group of kinds.
#pragma once

#include "toprail/about.hpp"

#include <vector>

namespace toprail {

std::vector<FindingAbout> about_text();
std::vector<FindingAbout> about_shape();
std::vector<FindingAbout> about_names();
std::vector<FindingAbout> about_meaning();

}  // namespace toprail
