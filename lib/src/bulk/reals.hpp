// Columns of doubles: which class a double falls into, without reading it as a text each time.
#pragma once

#include "bulk/classes.hpp"
#include "rulepack/model.hpp"

#include <vector>

namespace toprail::bulk {

/// The number that the shortest text means which reads back as this double: 14.1, not the binary
/// fraction beside it. Precondition: finite.
Number shortest_decimal(double value);

/// A column of doubles of one fact, with its classes counted in its own unit.
struct RealReader {
    Number scale;
    /// The least doubles of all classes but the first.
    std::vector<double> starts;
    /// The sensible range: from `least`, and below `beyond`.
    double least = 0;
    double beyond = 0;
    bool whole = false;  // a count: fractions have no answer

    [[nodiscard]] bool usable(double value) const;
};

RealReader real_reader(const Fact& fact, const FactClasses& classes, const Number& scale);

}  // namespace toprail::bulk
