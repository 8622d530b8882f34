// Gates of a circuit as formulas: negation pushed down to single facts, "all" and "any" taking
// turns. Without negation the same formula gives what is known to be true from what the tests know
// to be true, and what may be true from what they say may be.
#pragma once

#include "bulk/single_facts.hpp"

#include <map>
#include <vector>

namespace toprail::bulk {

using FormulaId = std::uint32_t;

/// All or any of tests on facts and of formulas of the other kind; those have two operands or more.
struct Formula {
    bool any = false;
    std::map<std::uint32_t, Row> tests;  // by fact
    std::vector<FormulaId> parts;        // sorted, each once
    friend auto operator<=>(const Formula&, const Formula&) = default;
};

/// Adds a test to those of the formula: several on one fact are one.
void add_test(Formula& to, std::uint32_t fact, const Row& row);

/// Equal formulas are one. Operands stand before what they are operands of.
struct Formulas {
    std::vector<Formula> all;
    std::vector<FormulaId> roots;
};

/// Constants become tests on `some_fact`.
Formulas formulas_of(const std::vector<Gate>& gates, const std::vector<Literal>& roots,
                     std::uint32_t some_fact);

}  // namespace toprail::bulk
