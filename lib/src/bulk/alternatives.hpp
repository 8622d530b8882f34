// Numeric expressions as a few alternatives, each a value in at most one fact, under the truth
// nodes that pick it. What cannot be put so is said to be beyond the plan.
#pragma once

#include "deciding/value.hpp"
#include "program/program.hpp"

#include <set>
#include <utility>
#include <vector>

namespace toprail::bulk {

struct Alternative {
    /// Nodes that must be true, or false where the flag says so.
    std::vector<std::pair<NodeId, bool>> where;
    /// absent, number, or a line in one fact; unused when beyond.
    Value value;
    bool beyond = false;
};

struct Alternatives {
    std::vector<Alternative> list;
    /// Every fact that some alternative hangs on.
    std::set<FactId> facts;
};

/// Per ExpressionId, of the marked expressions.
std::vector<Alternatives> work_out_alternatives(const Program& program, const Model& model,
                                                const std::vector<bool>& marked);

}  // namespace toprail::bulk
