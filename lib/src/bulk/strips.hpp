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

/// A fact, and where the row of its first class stands. A class byte read as a signed number counts
/// from there: before it stand the rows of "not known" (255, so -1) and "does not apply" (254, -2).
struct FactRow {
    std::uint32_t fact = 0;
    std::uint32_t first = 0;
};

inline constexpr std::size_t rows_before_classes = 2;

/// All rows stand this far from both ends of theirs: then no class byte leads out of them, though
/// one that does not belong to its fact leads anywhere else.
inline constexpr std::size_t rows_at_ends = 128;

/// Formulas of one height, worked out at once.
struct StripLevel {
    StripWords keep{};   // the bits of operands
    StripWords fill{};   // bits that a carry has to pass
    StripWords add{};    // what begins it
    StripWords guard{};  // where it ends
};

struct Strip {
    StripWords begin{};  // the leaves
    StripWords flip{};   // those that are "any", by their opposite
    std::uint32_t first_fact = 0;
    std::uint32_t facts = 0;
    std::uint32_t first_level = 0;
    std::uint32_t levels = 0;
};

/// Formulas of which it matters only whether any holds: some bits of consecutive strips. One bit of
/// a row stands for each strip, or for several; it is clear in the row of a class in which none of
/// their formulas can hold.
struct StripRange {
    std::uint32_t first_strip = 0;
    std::uint32_t strips = 0;
    std::uint32_t first_result = 0;  // one for each strip
    std::uint32_t strips_of_bit = 1;
    std::uint32_t first_reach = 0;  // facts that rule a strip out
    std::uint32_t reaches = 0;
    std::uint64_t every = 0;
};

struct StripsView {
    const Strip* strips = nullptr;
    const FactRow* facts = nullptr;
    const StripLevel* levels = nullptr;
    const StripWords* results = nullptr;
    const StripWords* rows = nullptr;
    const FactRow* reaches = nullptr;
    const std::uint64_t* reach_rows = nullptr;
};

/// Where a formula stands in a strip: known to be true there, and may be true in the word after.
struct StripBit {
    std::uint32_t word = 0;
    std::uint32_t bit = 0;
};

/// Statuses are told from a byte for each bit of a pair, with both of its values.
inline constexpr std::size_t values_of_strip = pairs_of_strip * 64;

/// For a row of statuses: one of few that have it.
template <class At>
struct OfRow {
    std::uint32_t row = 0;
    At at;
};

/// Immutable.
struct Strips {
    std::vector<Strip> strips;
    std::vector<FactRow> facts;
    std::vector<StripLevel> levels;
    std::vector<StripWords> results;
    std::vector<StripWords> rows;
    std::vector<FactRow> reaches;
    std::vector<std::uint64_t> reach_rows;

    /// Per duty: required, excepted, not required, no answer. Empty where the rules are not fit
    /// for strips.
    std::vector<std::array<StripRange, 4>> outcomes;

    // Rows of statuses; empty where they are not fit for strips, or cost more by them. Their strips
    // are the last ones. The values of those are followed by one that is always false: it stands
    // for formulas too wide for a word.
    std::uint32_t first_status_strip = 0;
    std::vector<std::uint32_t> stands;            // per row, which value
    std::vector<OfRow<std::uint32_t>> displaced;  // what may be
    std::vector<OfRow<StripRange>> wide_stands;
    std::vector<OfRow<StripRange>> wide_displaced;

    [[nodiscard]] StripsView view() const {
        return {strips.data(), facts.data(),   levels.data(),    results.data(),
                rows.data(),   reaches.data(), reach_rows.data()};
    }
};

}  // namespace toprail::bulk
