// Which gates of a circuit hang on one fact alone, and what they come to for each of its classes.
#pragma once

#include "bulk/circuit.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

namespace toprail::bulk {

inline constexpr std::uint8_t value_false = 0;
inline constexpr std::uint8_t value_open = 2;
inline constexpr std::uint8_t value_true = 3;

/// Class bytes take their lower seven bits as a row: 126 does not apply, 127 is not known.
inline constexpr std::size_t rows_of_facts = 128;

/// A value for every class byte of a fact.
using Row = std::array<std::uint8_t, rows_of_facts>;

/// Value by value the conjunction, or where `any` is set the disjunction.
void merge(Row& into, const Row& row, bool any);

/// Immutable; the gates must outlive it.
class SingleFacts {
  public:
    static constexpr std::uint32_t none = static_cast<std::uint32_t>(-1);
    static constexpr std::uint32_t several = static_cast<std::uint32_t>(-2);

    explicit SingleFacts(const std::vector<Gate>& gates);

    /// The fact, `none` for a constant, or `several`.
    [[nodiscard]] std::uint32_t fact_of(Literal literal) const { return fact_[literal / 2]; }
    /// Precondition: fact_of(literal) is not `several`.
    [[nodiscard]] Row row_of(Literal literal) const;

  private:
    std::vector<std::uint32_t> fact_;  // per gate
    std::vector<Row> rows_;            // per gate that does not hang on several
};

/// The value of a literal that is a constant.
std::uint8_t constant_value(Literal literal);

/// An operand as it counts in a gate of this polarity: negations go down, "all" becomes "any".
inline Literal operand_under(Literal operand, Literal gate) {
    return gate % 2 == 0 ? operand : negate(operand);
}

}  // namespace toprail::bulk
