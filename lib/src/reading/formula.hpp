// Formulas over quantities: "connector-length + max(0 ft, ring-height - anchor-height)".
// Syntax only; names are not looked up here.
#pragma once

#include "findings/collector.hpp"
#include "quantity/unit.hpp"
#include "reading/tree.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace toprail {

enum class Operation { figure, name, add, subtract, multiply, divide, minimum, maximum, root };

/// One node of a formula. `parts` are positions in Formula::terms, always smaller than the node's
/// own.
struct Term {
    Operation operation = Operation::figure;
    Figure figure;
    std::string name;
    std::vector<std::size_t> parts;
    Span span;
};

/// The terms in an order in which every part stands before what uses it; the last is the whole.
struct Formula {
    std::vector<Term> terms;
    std::string text;
};

/// Reads a formula from a text node; reports a finding and gives nothing when it is not one. At
/// most 200 terms and 32 nested brackets.
std::optional<Formula> read_formula(const Node& node, Findings& findings);

}  // namespace toprail
