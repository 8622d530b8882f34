// Which open parts of the program some outputs hang on, and at which values of unknown facts the
// comparisons among them turn.
#pragma once

#include "deciding/three_valued.hpp"

#include <vector>

namespace toprail {

struct OpenCone {
    std::vector<bool> nodes;
    std::vector<bool> expressions;
};

/// The first days of the classes that a test of a day tells apart. The last day of all has none
/// after it.
void add_cuts(const Atom& atom, std::vector<std::int32_t>& cuts);

OpenCone open_cone(const Program& program, const FirstPass& first,
                   const std::vector<NodeId>& outputs);

/// Per FactId, the values at which some comparison of the cone may turn. Conditions on pieces are
/// ignored here, so there may be more thresholds than needed, never fewer.
std::vector<std::vector<Number>> scan_thresholds(const Program& program, const Model& model,
                                                 const FirstPass& first, const OpenCone& cone);

}  // namespace toprail
