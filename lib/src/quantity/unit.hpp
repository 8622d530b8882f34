// Units and figures: "10 ft", "5 ft 6 in", "1,800 lbf".
#pragma once

#include "quantity/dimension.hpp"
#include "quantity/number.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace toprail {

struct Unit {
    std::string_view name;
    Dimension dimension;
    /// How many base units (m, kg, s, degree) one of this unit is.
    Number scale;
};

/// The unit of that name, or null. The table lives as long as the program.
const Unit* find_unit(std::string_view name);

/// How many bytes at the start of `text` spell the longest known unit that ends where a word ends;
/// 0 when none does.
std::size_t leading_unit(std::string_view text);

/// All unit names of a dimension, for help texts.
std::vector<std::string_view> units_of(Dimension dimension);

/// The unit that a word spelled out stands for, "ft" for "feet"; empty for any other.
std::string_view unit_meant(std::string_view word);

/// "give a length, with one of the units in, ft, ... or km", or a plain number; for help texts.
std::string how_to_measure(Dimension dimension);

/// A figure with its unit. `base` is in base units; `text` is what the author wrote.
struct Figure {
    Number base;
    Dimension dimension;
    std::string text;

    friend bool operator==(const Figure& a, const Figure& b) {
        return a.dimension == b.dimension && a.base == b.base;
    }
};

/// Why a figure could not be read.
enum class FigureTrouble { not_a_figure, unknown_unit, mixed_units, parts_out_of_order };

struct FigureReading {
    std::optional<Figure> figure;
    FigureTrouble trouble = FigureTrouble::not_a_figure;
    std::string culprit;  // the part that was not understood
};

/// Reads a number with a unit, several such parts of one dimension ("5 ft 6 in"), or a plain
/// number. Each unit is smaller than the one before it: "9 ft 9 ft" is a slip of the hand, and no
/// 18 feet.
FigureReading read_figure(std::string_view text);

/// Text of a value in the given unit, at most `places` decimals, led by "about " when rounded.
std::string show_in_unit(const Number& base, const Unit& unit, unsigned places = 2);

}  // namespace toprail
