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

std::size_t chunks_of(std::string_view text) {
    return (text.size() + Chunk::bytes - 1) / Chunk::bytes;
}

}  // namespace

Shape::Shape(std::string_view line, const std::vector<Mark>& marks, const std::vector<bool>& told) {
    const char* at = line.data();
    std::size_t count = 0;
    for (const Mark& mark : marks) {
        const std::string_view before(at, static_cast<std::size_t>(mark.token.data() - at));
        slots.push_back({std::string(before), mark.what});
        count += chunks_of(before);
        at = mark.token.data() + mark.token.size();
    }
    const std::string_view rest(at, static_cast<std::size_t>(line.data() + line.size() - at));
    after = rest;
    chunks.reserve(count + chunks_of(rest));
    for (std::size_t m = 0; m < marks.size(); ++m) {
        const bool fact = marks[m].what != is_name && marks[m].what != is_skipped;
        add_step(slots[m].before, m + 1 < slots.size() ? slots[m + 1].before : after,
                 fact ? StepKind::fact : StepKind::text,
                 fact ? static_cast<std::uint32_t>(marks[m].what) : 0,
                 fact ? told[marks[m].what] : marks[m].what == is_name);
        if (steps.back().piece != no_piece) {
            pieces.push_back(marks[m].what);
        }
    }
    add_step(after, {}, StepKind::end, 0, false);
    reach += window_bytes;
}

void Shape::add_step(std::string_view before, std::string_view next, StepKind kind,
                     std::uint32_t fact, bool told) {
    const std::size_t first = chunks.size();
    for (std::size_t at = 0; at < before.size(); at += Chunk::bytes) {
        Chunk& chunk = chunks.emplace_back(Chunk{});
        const std::size_t size = before.copy(reinterpret_cast<char*>(chunk.text), Chunk::bytes, at);
        std::memset(chunk.counts, 255, size);
    }
    steps.push_back({chunks.data() + first, static_cast<std::uint32_t>(chunks.size() - first),
                     static_cast<std::uint32_t>(before.size()), kind,
                     static_cast<unsigned char>(next.empty() ? 0 : next.front()), fact,
                     told ? static_cast<std::uint32_t>(pieces.size()) : no_piece});
    reach += before.size() + window_bytes;
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
