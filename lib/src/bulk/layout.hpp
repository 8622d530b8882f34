// A circuit laid out as a tape: the order of work, and which slot holds what when.
#pragma once

#include "bulk/circuit.hpp"
#include "bulk/tape.hpp"

#include <vector>

namespace toprail::bulk {

/// What one duty asks of the circuit.
struct OutcomeRoots {
    Literal required = never;
    Literal excepted = never;
    Literal not_required = never;
    Literal no_answer = never;
};

/// What one row of statuses asks of it; `then` is worth working out next, being near to it.
struct StatusRoots {
    Literal stands = never;
    Literal displaced = never;
    Literal then = never;
};

struct Layout {
    std::vector<std::uint32_t> columns;  // facts, in the order in which they are read
    std::vector<TapeStep> steps;
    std::vector<LeafPlane> leaves;
    std::vector<std::uint32_t> code;
    std::vector<OutcomePlanes> outcomes;
    std::vector<StatusPlanes> statuses;  // one per row
    std::size_t slots = 0;
};

Layout lay_out(const Circuit& circuit, const std::vector<OutcomeRoots>& roots,
               const std::vector<StatusRoots>& rows = {});

}  // namespace toprail::bulk
