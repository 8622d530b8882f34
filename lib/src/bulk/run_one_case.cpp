// Entry points: run_one_case, prepare_values.
#include "bulk/one_case.hpp"

#include <cstring>

namespace toprail::bulk {
namespace {

template <bool any, unsigned arity>
void run_gates(const GateGroup& group, const std::uint32_t* operands, std::uint8_t* values) {
    std::uint8_t* const target = values + group.target;
    // Bytes throughout: an operand is then one instruction with its load.
#pragma GCC unroll 4
    for (std::uint32_t g = 0; g < group.count; ++g) {
        const std::uint32_t* const of = operands + g * arity;
        std::uint8_t value = values[of[0]];
#pragma GCC unroll 8
        for (unsigned i = 1; i < arity; ++i) {
            if constexpr (any) {
                value |= values[of[i]];
            } else {
                value &= values[of[i]];
            }
        }
        target[g] = value;
    }
}

using Run = void (*)(const GateGroup&, const std::uint32_t*, std::uint8_t*);

template <bool any>
constexpr Run runs[] = {nullptr,           nullptr,           run_gates<any, 2>,
                        run_gates<any, 3>, run_gates<any, 4>, run_gates<any, 5>,
                        run_gates<any, 6>, nullptr,           run_gates<any, 8>};

}  // namespace

void prepare_values(std::uint8_t* values) {
    values[value_false] = value_false;
    values[1] = value_open;
    values[value_open] = value_open;
    values[value_true] = value_true;
}

void run_one_case(const OneCase& program, const std::uint8_t* class_bytes, std::uint8_t* values) {
    for (const FactRows& fact : program.facts) {
        const std::size_t row = class_bytes[fact.fact] % rows_of_facts;
        const std::uint64_t* const from = program.rows.data() + fact.first + row * fact.words;
        std::memcpy(values + fact.target, from, 8);
        for (std::uint32_t w = 1; w < fact.words; ++w) {
            std::memcpy(values + fact.target + std::size_t{w} * 8, from + w, 8);
        }
    }
    for (const GateGroup& group : program.groups) {
        const std::uint32_t* const operands = program.operands.data() + group.first;
        (group.any ? runs<true> : runs<false>)[group.arity](group, operands, values);
    }
}

}  // namespace toprail::bulk
