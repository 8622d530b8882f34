// How a line was laid out: the texts between its values. Lines come from programs, so the next one
// is most likely laid out alike, and then need not be taken apart again.
#pragma once

#include "lines/abreast.hpp"

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace toprail::lines {

/// What a value is to the reader, where it is not a fact.
inline constexpr std::size_t is_name = static_cast<std::size_t>(-1);
inline constexpr std::size_t is_skipped = static_cast<std::size_t>(-2);

/// A value of a line that is a plain token: a string without escapes, a number, true, false
/// or null.
struct Mark {
    std::string_view token;  // within the line, quotes included
    std::size_t what = is_skipped;
};

struct Slot {
    std::string before;
    std::size_t what = is_skipped;
};

struct Shape {
    std::vector<Slot> slots;
    std::string after;

    // The same for lines abreast.
    std::vector<Chunk> chunks;
    std::vector<Step> steps;
    std::vector<std::size_t> pieces;  // what each is
    /// Bytes that may be looked at from the end of a line on, whatever stands there.
    std::size_t reach = 0;

    /// Marks in the order in which they stand in the line. The tokens of some facts are told, by
    /// fact.
    Shape(std::string_view line, const std::vector<Mark>& marks, const std::vector<bool>& told);
    // Steps refer to the chunks.
    Shape(Shape&&) = default;
    Shape& operator=(Shape&&) = default;
    Shape(const Shape&) = delete;
    Shape& operator=(const Shape&) = delete;
    ~Shape() = default;

  private:
    void add_step(std::string_view before, std::string_view next, StepKind kind, std::uint32_t fact,
                  bool told);
};

/// Where the token that begins there ends; null when it is no plain token. Eight bytes past the end
/// of the line can be read.
const char* end_of_token(const char* at, const char* end);

}  // namespace toprail::lines
