// A program without what nobody asks for: the exact search goes over all of a program for each
// case, so what is not there costs nothing.
#pragma once

#include "program/program.hpp"

#include <vector>

namespace toprail::bulk {

/// Keeps the marked nodes and expressions, which must hold all that they use, `governs`, and the
/// wanted duties' outcomes. Provisions, choices and limits are left out.
Program cut_down(const Program& program, const std::vector<bool>& nodes,
                 const std::vector<bool>& expressions, const std::vector<DutyId>& duties);

}  // namespace toprail::bulk
