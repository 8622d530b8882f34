// Entry points: run_one_case, prepare_values.
#include "bulk/one_case.hpp"

#include <cstring>

namespace toprail::bulk {
namespace {

template <bool any, unsigned arity>
void run_gates(const GateGroup& group, const std::uint32_t* operands, std::uint8_t* values) {
    std::uint8_t* const target = values + group.target;
    // Bytes throughout: an operand is then one instruction with its load.
#pragma GCC unroll 2
    for (std::size_t g = 0; g < group.count; ++g) {
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
        switch (2U * group.arity + (group.any ? 1U : 0U)) {
        case 4:
            run_gates<false, 2>(group, operands, values);
            break;
        case 5:
            run_gates<true, 2>(group, operands, values);
            break;
        case 6:
            run_gates<false, 3>(group, operands, values);
            break;
        case 7:
            run_gates<true, 3>(group, operands, values);
            break;
        case 8:
            run_gates<false, 4>(group, operands, values);
            break;
        case 9:
            run_gates<true, 4>(group, operands, values);
            break;
        case 10:
            run_gates<false, 5>(group, operands, values);
            break;
        case 11:
            run_gates<true, 5>(group, operands, values);
            break;
        case 12:
            run_gates<false, 6>(group, operands, values);
            break;
        case 13:
            run_gates<true, 6>(group, operands, values);
            break;
        case 16:
            run_gates<false, 8>(group, operands, values);
            break;
        default:
            run_gates<true, 8>(group, operands, values);
            break;
        }
    }
}

}  // namespace toprail::bulk
