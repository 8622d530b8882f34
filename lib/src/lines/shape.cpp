// Entry points: Shape, end_of_token.
#include "lines/shape.hpp"

#include <bit>
#include <cstring>

namespace toprail::lines {
namespace {

constexpr std::uint64_t every(unsigned char byte) {
    return std::uint64_t{0x0101010101010101U} * byte;
}

// The top bit of every byte that is zero; of bytes above the lowest such one perhaps too much.
constexpr std::uint64_t zeros(std::uint64_t word) {
    return (word - every(1)) & ~word & every(0x80);
}

bool ends_number(char c) {
    return c == ',' || c == '}' || c == ' ' || c == '\t' || c == '\r';
}

}  // namespace

Shape::Shape(std::string_view line, const std::vector<Mark>& marks) {
    const char* at = line.data();
    for (const Mark& mark : marks) {
        slots.push_back(
            {std::string(at, static_cast<std::size_t>(mark.token.data() - at)), mark.what});
        at = mark.token.data() + mark.token.size();
    }
    after.assign(at, static_cast<std::size_t>(line.data() + line.size() - at));
}

const char* end_of_token(const char* at, const char* end) {
    if (at == end) {
        return nullptr;
    }
    if (*at != '"') {
        while (at != end && !ends_number(*at)) {
            ++at;
        }
        return at;
    }
    for (++at; at < end; at += 8) {
        std::uint64_t word = 0;
        std::memcpy(&word, at, sizeof word);
        if constexpr (std::endian::native == std::endian::big) {
            word = __builtin_bswap64(word);
        }
        // Quotes and backslashes; control characters; what is not ASCII. The lowest is exact.
        const std::uint64_t stop = zeros(word ^ every('"')) | zeros(word ^ every('\\')) |
                                   ((word - every(0x20)) & ~word & every(0x80)) |
                                   (word & every(0x80));
        if (stop != 0) {
            const char* const found = at + std::countr_zero(stop) / 8;
            return found < end && *found == '"' ? found + 1 : nullptr;
        }
    }
    return nullptr;
}

}  // namespace toprail::lines
