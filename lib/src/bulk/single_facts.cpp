// Entry point: SingleFacts.
#include "bulk/single_facts.hpp"

#include "bulk/tape.hpp"

namespace toprail::bulk {
namespace {

constexpr std::size_t row_of_not_known = 127;
constexpr std::size_t row_of_does_not_apply = 126;

constexpr std::uint8_t opposite(std::uint8_t value) {
    return value == value_open ? value : value_true - value;
}

// What the kernels slice out of a class byte, for every one there is.
Row row_of_leaf(std::uint8_t leaf) {
    Row row{};
    for (std::size_t c = 0; c < rows_of_facts; ++c) {
        const bool unset = c == row_of_not_known || c == row_of_does_not_apply;
        if (leaf == leaf_given) {
            row[c] = unset ? value_false : value_true;
        } else if (leaf == leaf_applies) {
            row[c] = c == row_of_not_known        ? value_open
                     : c == row_of_does_not_apply ? value_false
                                                  : value_true;
        } else {
            row[c] = unset ? value_open : (c >> leaf) % 2 != 0 ? value_true : value_false;
        }
    }
    return row;
}

std::uint32_t fact_of_both(std::uint32_t a, std::uint32_t b) {
    return a == SingleFacts::none ? b : b == SingleFacts::none || a == b ? a : SingleFacts::several;
}

}  // namespace

void merge(Row& into, const Row& row, bool any) {
    for (std::size_t c = 0; c < rows_of_facts; ++c) {
        into[c] = static_cast<std::uint8_t>(any ? into[c] | row[c] : into[c] & row[c]);
    }
}

std::uint8_t constant_value(Literal literal) {
    return literal == never ? value_false : literal == always ? value_true : value_open;
}

SingleFacts::SingleFacts(const std::vector<Gate>& gates)
    : fact_(gates.size(), none),
      rows_(gates.size()) {
    for (std::size_t g = 2; g < gates.size(); ++g) {
        const Gate& gate = gates[g];
        if (gate.kind == Gate::Kind::leaf) {
            fact_[g] = gate.fact;
            rows_[g] = row_of_leaf(gate.leaf);
            continue;
        }
        for (const Literal operand : gate.operands) {
            fact_[g] = fact_of_both(fact_[g], fact_[operand / 2]);
        }
        if (fact_[g] != several) {
            rows_[g].fill(value_true);
            for (const Literal operand : gate.operands) {
                merge(rows_[g], row_of(operand), false);
            }
        }
    }
}

Row SingleFacts::row_of(Literal literal) const {
    Row row{};
    if (literal / 2 < 2) {
        row.fill(constant_value(literal));
        return row;
    }
    row = rows_[literal / 2];
    if (literal % 2 != 0) {
        for (std::uint8_t& value : row) {
            value = opposite(value);
        }
    }
    return row;
}

}  // namespace toprail::bulk
