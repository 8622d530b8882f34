// One strip while formulas are put into it.
#pragma once

#include "bulk/formulas.hpp"
#include "bulk/strips.hpp"

#include <array>
#include <cstddef>
#include <map>
#include <optional>
#include <vector>

namespace toprail::bulk {

inline constexpr std::size_t bits_of_word = 64;

/// How many bits a formula takes, or any number past those of a word. `of_parts`: per formula.
std::size_t width_of(const Formula& formula, const std::vector<std::size_t>& of_parts);

/// Not thread-safe; what it is made of must outlive it.
class StripBuilder {
  public:
    StripBuilder(const std::vector<Formula>& all, const std::vector<std::size_t>& classes)
        : all_(all),
          classes_(classes) {}

    [[nodiscard]] bool empty() const { return rows_.empty(); }
    /// Whether `put` would find room for all of them, one after the other.
    [[nodiscard]] bool has_room(const std::vector<std::size_t>& widths) const;
    /// The pair of words and the bit in them where the formula comes to stand; nothing where no
    /// word has so many bits left.
    std::optional<StripBit> put(FormulaId formula, std::size_t width);
    /// Appends the strip, and begins anew.
    void finish(Strips& to);

  private:
    using Used = std::array<unsigned, pairs_of_strip>;  // bits

    struct Placed {
        unsigned bit = 0;
        std::size_t height = 0;
    };

    static std::optional<std::size_t> with_room(const Used& used, std::size_t width);

    Placed place(FormulaId id, std::size_t pair);
    void place_leaf(const Formula& formula, std::size_t pair, unsigned bit);

    const std::vector<Formula>& all_;
    const std::vector<std::size_t>& classes_;
    Strip strip_;
    Used used_{};
    std::map<std::uint32_t, std::vector<StripWords>> rows_;
    std::vector<StripLevel> levels_;
};

}  // namespace toprail::bulk
