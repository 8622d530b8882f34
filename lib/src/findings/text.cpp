// Entry points: the helpers of text.hpp.
#include "findings/text.hpp"

#include <algorithm>
#include <array>
#include <cstdio>
#include <vector>

namespace toprail {
namespace {

unsigned byte_at(std::string_view text, std::size_t at) {
    return static_cast<unsigned char>(text[at]);
}

bool continuation(std::string_view text, std::size_t at) {
    return at < text.size() && (byte_at(text, at) & 0xC0U) == 0x80U;
}

// Length of the valid sequence at `at`, or 0.
std::size_t sequence_length(std::string_view text, std::size_t at) {
    const unsigned first = byte_at(text, at);
    if (first < 0x80U) {
        return 1;
    }
    if (first < 0xC2U || first > 0xF4U) {
        return 0;
    }
    if (!continuation(text, at + 1)) {
        return 0;
    }
    const unsigned second = byte_at(text, at + 1);
    if (first < 0xE0U) {
        return 2;
    }
    if (!continuation(text, at + 2)) {
        return 0;
    }
    if (first < 0xF0U) {
        const bool overlong = first == 0xE0U && second < 0xA0U;
        const bool surrogate = first == 0xEDU && second >= 0xA0U;
        return overlong || surrogate ? 0 : 3;
    }
    const bool overlong = first == 0xF0U && second < 0x90U;
    const bool too_big = first == 0xF4U && second >= 0x90U;
    return !continuation(text, at + 3) || overlong || too_big ? 0 : 4;
}

}  // namespace

std::size_t count_characters(std::string_view utf8) {
    return static_cast<std::size_t>(std::count_if(utf8.begin(), utf8.end(), [](char c) {
        return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
    }));
}

std::optional<std::size_t> first_invalid_utf8(std::string_view bytes) {
    for (std::size_t at = 0; at < bytes.size();) {
        const std::size_t length = sequence_length(bytes, at);
        if (length == 0) {
            return at;
        }
        at += length;
    }
    return std::nullopt;
}

char32_t next_code_point(std::string_view utf8, std::size_t& at) {
    const std::size_t length = std::max<std::size_t>(1, sequence_length(utf8, at));
    static constexpr std::array<unsigned, 5> masks{0, 0x7F, 0x1F, 0x0F, 0x07};
    char32_t value = byte_at(utf8, at) & masks[length];
    for (std::size_t i = 1; i < length; ++i) {
        value = (value << 6U) | (byte_at(utf8, at + i) & 0x3FU);
    }
    at += length;
    return value;
}

std::optional<char32_t> next_valid_code_point(std::string_view bytes, std::size_t& at) {
    if (sequence_length(bytes, at) == 0) {
        ++at;
        return std::nullopt;
    }
    return next_code_point(bytes, at);
}

bool hides_text(char32_t c) {
    const bool control =
        (c < 0x20 && c != '\t' && c != '\n' && c != '\r') || (c >= 0x7F && c < 0xA0);
    const bool direction = c == 0x061C || c == 0x200E || c == 0x200F ||
                           (c >= 0x202A && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069);
    // Spaces without width, line ends of other scripts, old controls of form, fillers that show
    // nothing, marks around annotations, selectors of variants, and tags.
    const bool invisible = c == 0x00AD || c == 0x034F || c == 0x115F || c == 0x1160 ||
                           c == 0x17B4 || c == 0x17B5 || (c >= 0x180B && c <= 0x180F) ||
                           (c >= 0x200B && c <= 0x200D) || c == 0x2028 || c == 0x2029 ||
                           (c >= 0x2060 && c <= 0x206F) || c == 0x2800 || c == 0x3164 ||
                           (c >= 0xFE00 && c <= 0xFE0F) || c == 0xFEFF || c == 0xFFA0 ||
                           (c >= 0xFFF0 && c <= 0xFFFB) || (c >= 0x13430 && c <= 0x1343F) ||
                           (c >= 0x1BCA0 && c <= 0x1BCA3) || (c >= 0x1D173 && c <= 0x1D17A) ||
                           (c >= 0xE0000 && c <= 0xE0FFF);
    return control || direction || invisible;
}

bool odd_space(char32_t c) {
    return c == 0x00A0 || c == 0x1680 || (c >= 0x2000 && c <= 0x200A) || c == 0x202F ||
           c == 0x205F || c == 0x3000;
}

bool blank(std::string_view utf8) {
    for (std::size_t at = 0; at < utf8.size();) {
        const char32_t c = next_code_point(utf8, at);
        if (c != ' ' && c != '\t' && c != '\n' && c != '\r' && !odd_space(c)) {
            return false;
        }
    }
    return true;
}

std::string shown(std::string_view text) {
    std::string out;
    out.reserve(text.size());
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t start = at;
        const auto c = next_valid_code_point(text, at);
        char buffer[16];
        if (!c) {
            std::snprintf(buffer, sizeof buffer, "<%02X>", byte_at(text, start));
            out += buffer;
        } else if (hides_text(*c) || *c == '\r') {
            std::snprintf(buffer, sizeof buffer, "<U+%04X>", static_cast<unsigned>(*c));
            out += buffer;
        } else {
            out += text.substr(start, at - start);
        }
    }
    return out;
}

std::string shown_on_one_line(std::string_view text) {
    const std::string all = shown(text);
    std::string out;
    out.reserve(all.size());
    for (std::size_t at = 0; at < all.size();) {
        const std::size_t start = at;
        const char32_t c = next_code_point(all, at);
        if (c == '\n' || c == '\t' || odd_space(c)) {
            out += ' ';
        } else {
            out.append(all, start, at - start);
        }
    }
    return out;
}

std::string_view shorten(std::string_view utf8, std::size_t bytes) {
    if (utf8.size() <= bytes) {
        return utf8;
    }
    std::size_t end = bytes;
    while (end > 0 && continuation(utf8, end)) {
        --end;
    }
    return utf8.substr(0, end);
}

std::size_t edit_distance(std::string_view a, std::string_view b) {
    std::vector<std::size_t> before(b.size() + 1);
    std::vector<std::size_t> above(b.size() + 1);
    std::vector<std::size_t> row(b.size() + 1);
    for (std::size_t j = 0; j <= b.size(); ++j) {
        above[j] = j;
    }
    for (std::size_t i = 1; i <= a.size(); ++i) {
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t swap = a[i - 1] == b[j - 1] ? 0 : 1;
            row[j] = std::min({above[j] + 1, row[j - 1] + 1, above[j - 1] + swap});
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
                row[j] = std::min(row[j], before[j - 2] + 1);
            }
        }
        before.swap(above);
        above.swap(row);
    }
    return above[b.size()];
}

}  // namespace toprail
