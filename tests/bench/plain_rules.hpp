// The rules of a plan as a plain list of nodes over class bytes: what every rival is made from.
#pragma once

#include "toprail/bulk.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace bench {

/// never, open: constants. test: on the class byte of one fact. all: of operands.
struct PlainNode {
    enum class Kind : std::uint8_t { never, open, test, all };
    Kind kind = Kind::never;
    std::uint32_t fact = 0;
    std::vector<bool> truths;  // per class
    std::int8_t unknown = 2;   // where the fact is not known: 0 false, 1 true, 2 open
    /// Node times two, plus one when negated. They stand before the node.
    std::vector<std::uint32_t> operands;

    friend bool operator<(const PlainNode& a, const PlainNode& b);
};

struct PlainDuty {
    std::uint32_t required = 0;
    std::uint32_t excepted = 0;
    std::uint32_t not_required = 0;
    std::uint32_t no_answer = 0;
};

struct PlainProvision {
    std::string key;
    std::uint32_t stands = 0;
    std::uint32_t displaced = 0;
};

struct PlainRules {
    std::size_t facts = 0;
    std::vector<PlainNode> nodes;
    std::vector<PlainDuty> duties;
    std::vector<PlainProvision> provisions;  // in the order of BulkPlan::provisions
};

/// Made from the lowered program, not from the plan's own circuit.
PlainRules plain_rules(const toprail::BulkPlan& plan);

}  // namespace bench
