// Formulas side by side in words, for one case at a time: a bit for every leaf (all or any of the
// tests on single facts that stand together in a formula) and one for every formula over others.
//
// A word holds whole formulas, each a run of bits: its operands, then its own tests, then a guard
// bit for what it comes to. Every fact has a row of words for each of its classes, and what the
// rows of a case have in common are the leaves. The guards of a level then take one addition: a
// carry runs through the bits of a formula and into its guard when all of them are set (1 is added
// at the lowest), or when any is (all ones are added).
//
// Words come in pairs: the first of a pair holds what is known to be true, the second what may be.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

namespace toprail::bulk {

inline constexpr std::size_t words_of_strip = 8;
inline constexpr std::size_t pairs_of_strip = words_of_strip / 2;

/// The words of a strip: one vector, or several.
struct alignas(64) StripWords {
    std::uint64_t word[words_of_strip];
};

/// A fact whose rows begin at `first`.
struct FactRow {
    std::uint32_t fact = 0;
    std::uint32_t first = 0;
};

/// Formulas of one height, worked out at once.
struct StripLevel {
    StripWords keep{};   // the bits of operands
    StripWords fill{};   // bits that a carry has to pass
    StripWords add{};    // what begins it
    StripWords guard{};  // where it ends
};

struct Strip {
    StripWords begin{};    // the leaves
    StripWords flip{};     // those that are "any", by their opposite
    StripWords results{};  // what the formulas asked for come to
    std::uint32_t first_fact = 0;
    std::uint32_t facts = 0;
    std::uint32_t first_level = 0;
    std::uint32_t levels = 0;
};

/// Strips of formulas of which it matters only whether any holds. A bit stands for each strip, or
/// for several; it is clear in the row of a class in which none of their formulas can hold.
struct StripRange {
    std::uint32_t first_strip = 0;
    std::uint32_t strips = 0;
    std::uint32_t strips_of_bit = 1;
    std::uint32_t first_reach = 0;  // facts that rule a strip out
    std::uint32_t reaches = 0;
    std::uint64_t every = 0;
};

struct StripsView {
    const Strip* strips = nullptr;
    const FactRow* facts = nullptr;
    const StripLevel* levels = nullptr;
    const StripWords* rows = nullptr;
    const FactRow* reaches = nullptr;
    const std::uint64_t* reach_rows = nullptr;
};

/// Where a formula stands in the words of all strips: known to be true there, and may be true in
/// the word after.
struct StripBit {
    std::uint32_t word = 0;
    std::uint32_t bit = 0;
};

/// A row of statuses with a formula too wide for a word, or one that may be displaced.
template <class At>
struct OfRow {
    std::uint32_t row = 0;
    At at;
};

/// Row 0 is "does not apply", 1 "not known", then come the classes: a class byte plus 2, in a byte.
inline constexpr std::uint32_t rows_beside_classes = 2;

/// Immutable.
struct Strips {
    std::vector<Strip> strips;
    std::vector<FactRow> facts;
    std::vector<StripLevel> levels;
    std::vector<StripWords> rows;
    std::vector<FactRow> reaches;
    std::vector<std::uint64_t> reach_rows;
    std::vector<std::uint8_t> last_row;  // per fact of the vocabulary

    /// Per duty: required, excepted, not required, no answer. Empty where the rules are not fit
    /// for strips.
    std::vector<std::array<StripRange, 4>> outcomes;

    // Rows of statuses; empty where they are not fit for strips, or cost more by them. Their strips
    // are the last ones; one of nothing but zeros stands after them.
    std::uint32_t first_status_strip = 0;
    std::vector<StripBit> stands;
    std::vector<OfRow<StripBit>> displaced;
    std::vector<OfRow<StripRange>> wide;

    [[nodiscard]] StripsView view() const {
        return {strips.data(), facts.data(),   levels.data(),
                rows.data(),   reaches.data(), reach_rows.data()};
    }
};

}  // namespace toprail::bulk
