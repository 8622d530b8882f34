// Lines that are laid out alike, read several abreast: without a branch that a value decides, so
// that the processor works on all of them at once. Whether they fitted is seen at the end. Only
// tokens that were read before are known here; anything else does not fit, and is read otherwise.
//
// Plain structures and nothing of the standard library, so that it can be compiled for processors
// that have more.
#pragma once

#include "lines/window.hpp"

namespace toprail::lines {

/// Lines that are read abreast.
inline constexpr std::size_t lanes = 4;

/// Of a token together with the byte that ends it: the closing quote, or what follows a number.
inline constexpr std::uint32_t most_known_bytes = 29;

/// A token that was read before, and the byte that ends it; zeros after them.
struct alignas(32) KnownToken {
    unsigned char text[most_known_bytes + 1];
    std::uint8_t size;  // 0: none
    std::uint8_t byte;  // its class
};

/// Where the known tokens of a fact are: the upper bits of the hash name a multiplier, which was
/// chosen so that no two tokens share a place.
struct KnownPlaces {
    static constexpr unsigned multiplier_bits = 6;
    static constexpr unsigned most_bits = 11;  // of a place

    const KnownToken* tokens;
    const std::uint32_t* multipliers;
    std::uint32_t mask;  // of the bits of a place
};

/// A part of a text between values. It leaves the two bytes alone in which known tokens keep their
/// size and class, so that all differences can be gathered in one place.
struct Chunk {
    static constexpr std::size_t bytes = 30;
    alignas(32) unsigned char text[window_bytes];
    unsigned char counts[window_bytes];  // 255: this byte has to be as in the text
};

enum class StepKind : std::uint8_t {
    fact,
    text,  // any plain string
    end,
};

/// What stands before a value, and the value.
struct Step {
    const Chunk* before;
    std::uint32_t chunks;
    std::uint32_t before_bytes;
    StepKind kind;
    unsigned char bare_end;  // ends a token without quotes
    std::uint32_t fact;
    std::uint32_t piece;  // where the token is told; no_piece: nowhere
};

inline constexpr std::uint32_t no_piece = ~std::uint32_t{0};

struct Piece {
    const char* begin;
    const char* end;
};

/// What is read with, and written to.
struct Sheet {
    const Step* steps;
    const KnownPlaces* places;     // per fact
    std::uint8_t* const* columns;  // per fact
    Piece* pieces;                 // `lanes` for each
};

/// True when all lines fitted; then class bytes stand in the columns from `row` on, and in
/// `pieces` the tokens. Otherwise any bytes may stand there. From the end of a line on as many
/// bytes can be read as the layout and `window_bytes` for each of its values take.
using ReadAbreast = bool (*)(const Sheet& sheet, const Piece* lines, std::size_t row);

/// All give the same: in words of eight bytes, with what every processor of the kind has, and with
/// AVX2 (on x86-64 alone).
bool read_abreast_words(const Sheet& sheet, const Piece* lines, std::size_t row);
bool read_abreast_portable(const Sheet& sheet, const Piece* lines, std::size_t row);
bool read_abreast_avx2(const Sheet& sheet, const Piece* lines, std::size_t row);

namespace {

inline std::uint32_t group_of(std::uint32_t hash) {
    return hash >> (32U - KnownPlaces::multiplier_bits);
}

inline std::uint32_t place_by(std::uint32_t hash, std::uint32_t multiplier, std::uint32_t mask) {
    return (hash * multiplier) >> (32U - KnownPlaces::most_bits) & mask;
}

/// Of a token, from its first eight bytes and its last eight. The latter reach back into the line
/// where it is shorter, which only means that it is kept twice if it comes behind two texts.
inline std::uint32_t hash_of(std::uint64_t first, const char* token, std::size_t last) {
    const std::uint64_t sum = first + word_at(token + last - 7);
    return static_cast<std::uint32_t>((sum * 0x9E3779B97F4A7C15U) >> 32U);
}

template <class Seen>
const char* end_of_text(const char* at, const char* end) {
    if (*at != '"') {
        return nullptr;
    }
    for (++at; at < end; at += window_bytes) {
        const Seen seen = Seen::load(at);
        const std::uint32_t stop = seen.where('"') | seen.where('\\') | seen.where_odd();
        if (stop != 0) {
            at += Seen::lowest(stop);
            return at < end && *at == '"' ? at + 1 : nullptr;
        }
    }
    return nullptr;
}

// Puts the class bytes of the tokens into the column and goes past them; says where they differ
// from the known ones. That a token equals a known one up to its end is enough: where it ends
// elsewhere, either the known one has the same end before its own, or what ends it stands where the
// known one has a zero.
template <class Seen>
[[gnu::always_inline]] inline Seen read_tokens(const KnownPlaces& places, unsigned char bare_end,
                                               const char* (&at)[lanes], std::uint8_t* column) {
    Seen differs;
#pragma GCC unroll 4
    for (std::size_t l = 0; l < lanes; ++l) {
        const char* const begin = at[l];
        const char* next = begin + 1;
        const Seen seen = Seen::load(begin);
        std::uint32_t ends = seen.where('"');
        if (__builtin_expect(ends & 1U, 1) != 0) {
            ends &= ends - 1;  // the quote after the first
        } else {
            ends = seen.where(bare_end);
            next = begin;
        }
        // No known token is as long as the last place that is looked at.
        ends |= std::uint32_t{1} << most_known_bytes;
        const std::size_t last = Seen::lowest(ends);
        const Seen token = seen.up_to(last);
        const std::uint32_t hash = hash_of(token.word(), begin, last);
        const KnownToken& known =
            places.tokens[place_by(hash, places.multipliers[group_of(hash)], places.mask)];
        differs = differs | (token ^ Seen::load(&known));
        column[l] = known.byte;
        at[l] = next + last;
    }
    return differs;
}

template <class Seen>
bool read_abreast(const Sheet& sheet, const Piece* lines, std::size_t row) {
    const char* at[lanes];
    for (std::size_t l = 0; l < lanes; ++l) {
        at[l] = lines[l].begin;
    }
    Seen differs;
    for (const Step* step = sheet.steps;; ++step) {
        for (std::uint32_t c = 0; c < step->chunks; ++c) {
            const Seen text = Seen::load(step->before[c].text);
            Seen here;
#pragma GCC unroll 4
            for (const char* const line : at) {
                here = here | (Seen::load(line + c * Chunk::bytes) ^ text);
            }
            differs = differs | (here & Seen::load(step->before[c].counts));
        }
        for (const char*& line : at) {
            line += step->before_bytes;
        }
        if (step->kind == StepKind::fact) {
            const bool told = step->piece != no_piece;
            for (std::size_t l = 0; told && l < lanes; ++l) {
                sheet.pieces[step->piece * lanes + l].begin = at[l];
            }
            differs = differs | read_tokens<Seen>(sheet.places[step->fact], step->bare_end, at,
                                                  sheet.columns[step->fact] + row);
            for (std::size_t l = 0; told && l < lanes; ++l) {
                sheet.pieces[step->piece * lanes + l].end = at[l];
            }
        } else if (step->kind == StepKind::text) {
            for (std::size_t l = 0; l < lanes; ++l) {
                const char* const after = end_of_text<Seen>(at[l], lines[l].end);
                if (after == nullptr) {
                    return false;
                }
                if (step->piece != no_piece) {
                    sheet.pieces[step->piece * lanes + l] = {at[l], after};
                }
                at[l] = after;
            }
        } else {
            break;
        }
    }
    // Sizes and classes of known tokens stand in the last two bytes.
    bool fits = (differs.where_set() & ((std::uint32_t{1} << Chunk::bytes) - 1)) == 0;
    for (std::size_t l = 0; l < lanes; ++l) {
        fits = fits && at[l] == lines[l].end;
    }
    return fits;
}

}  // namespace
}  // namespace toprail::lines
