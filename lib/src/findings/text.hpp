// Text helpers shared by reading and telling: UTF-8, edit distance, safe display.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace toprail {

/// How many code points a valid UTF-8 text has.
std::size_t count_characters(std::string_view utf8);

/// The offset of the first byte that is not valid UTF-8 (overlong forms and surrogates included).
std::optional<std::size_t> first_invalid_utf8(std::string_view bytes);

/// Decodes the code point at `at` of a valid UTF-8 text and moves `at` past it.
char32_t next_code_point(std::string_view utf8, std::size_t& at);

/// The same for any bytes: empty, and one byte further, where they are not valid UTF-8.
std::optional<char32_t> next_valid_code_point(std::string_view bytes, std::size_t& at);

/// Control characters other than tab and line ends, and characters that change the direction of
/// text or are invisible: with them a text could show something else than it says.
bool hides_text(char32_t code_point);

/// Spaces of other kinds than the plain one: no-break, of another width, ideographic.
bool odd_space(char32_t code_point);

/// True when nothing can be seen of the text: it is empty, or holds spaces, tabs and line ends
/// alone.
bool blank(std::string_view utf8);

/// The text with every character that hides text replaced by its code point, "<U+202E>", and
/// every byte that is not valid UTF-8 by its value, "<9B>".
std::string shown(std::string_view text);

/// The same on one line: tabs, line ends and odd spaces become plain spaces, so that a text cannot
/// pass for a line of what it is told in, nor set itself like one.
std::string shown_on_one_line(std::string_view text);

/// At most `bytes` bytes of the text, cut at a whole character.
std::string_view shorten(std::string_view utf8, std::size_t bytes);

/// Levenshtein distance with transpositions of neighbours, in bytes.
std::size_t edit_distance(std::string_view a, std::string_view b);

}  // namespace toprail
