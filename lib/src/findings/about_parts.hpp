// The explanations in the order of finding_kinds(), one file for each group of kinds.
#pragma once

#include "toprail/about.hpp"

#include <vector>

namespace toprail {

// What several examples end in.
inline constexpr std::string_view raised_above_6_ft = R"(conditions:
  raised:
    reads: the platform is raised
    is: platform-height is more than 6 ft
)";
inline constexpr std::string_view raised_above_10_ft = R"(conditions:
  raised:
    reads: the platform is raised
    is: platform-height is more than 10 ft
)";
inline constexpr std::string_view raised_tie_off = R"(provisions:
  - id: raised-tie-off
    cite: Example Code 1.2
    source: read
    where: platform-height is more than 6 ft
    gist: Above 6 ft the person is tied off.
    duty: tie-off
    calls-for: required
)";

std::vector<FindingAbout> about_text();
std::vector<FindingAbout> about_shape();
std::vector<FindingAbout> about_names();
std::vector<FindingAbout> about_shelf();
std::vector<FindingAbout> about_meaning();

}  // namespace toprail
