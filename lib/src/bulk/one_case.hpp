// The plan's circuit lowered once more, for one case at a time: a byte for every value. A byte is 3
// for true, 2 for open and 0 for false, so that "all" is bitwise and, "any" bitwise or. Negation is
// pushed down to single facts, whose tests are looked up: one row per class of the fact's values.
#pragma once

#include "bulk/layout.hpp"
#include "bulk/single_facts.hpp"
#include "bulk/strips.hpp"

#include <cstdint>
#include <vector>

namespace toprail::bulk {

/// The tests on one fact: `words` * 8 bytes of values for each of `rows_of_facts` rows, written
/// from `target` on. A later column, or a gate, overwrites what stands past its own values.
struct FactRows {
    std::uint32_t fact = 0;
    std::uint32_t target = 0;
    std::uint32_t words = 0;
    std::size_t first = 0;  // into OneCase::rows
};

/// `count` gates of one kind and number of operands (2 to 6, or 8), their values one after the
/// other.
struct GateGroup {
    bool any = false;
    std::uint8_t arity = 0;
    std::uint32_t count = 0;
    std::uint32_t target = 0;
    std::uint32_t first = 0;  // into OneCase::operands
};

/// Where the values stand that answer a duty.
struct OutcomeValues {
    std::uint32_t required = 0;
    std::uint32_t excepted = 0;
    std::uint32_t not_required = 0;
    std::uint32_t no_answer = 0;
};

/// Immutable; groups stand in the order in which they are to be run.
struct OneCase {
    std::vector<FactRows> facts;
    std::vector<std::uint64_t> rows;
    std::vector<GateGroup> groups;
    std::vector<std::uint32_t> operands;
    std::vector<OutcomeValues> outcomes;
    std::vector<std::uint32_t> stands;            // per row of statuses, where its value stands
    std::vector<OfRow<std::uint32_t>> displaced;  // rows that something may displace
    /// Bytes of values, with room for what the last column writes past its own.
    std::size_t values = 0;
};

OneCase lower_one_case(const Circuit& circuit, const std::vector<OutcomeRoots>& roots,
                       const std::vector<StatusRoots>& rows);

/// Sets the three constants; once, before the first run over the same values.
void prepare_values(std::uint8_t* values);

/// `class_bytes` has a byte for each fact of the vocabulary.
void run_one_case(const OneCase& program, const std::uint8_t* class_bytes, std::uint8_t* values);

}  // namespace toprail::bulk
