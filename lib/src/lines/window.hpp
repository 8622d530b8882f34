// 32 bytes of a line, looked at together. Two ways to do it that give the same: plain words for any
// processor, and the vectors that every x86-64 has; vectors that only some have stand in a file of
// their own. Nothing here is shared between files that are compiled for different processors.
#pragma once

#include <bit>
#include <cstddef>
#include <cstdint>

#ifdef __SSE2__
#include <emmintrin.h>
#endif

namespace toprail::lines {
namespace {

inline constexpr std::size_t window_bytes = 32;

// Read from 31 - n on, the bytes up to and with n are set.
alignas(64) inline constexpr unsigned char first_bytes[2 * window_bytes] = {
    255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255,
    255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255};

/// Eight bytes as a number, the first lowest.
inline std::uint64_t word_at(const void* from) {
    std::uint64_t word = 0;
    __builtin_memcpy(&word, from, sizeof word);
    if constexpr (std::endian::native == std::endian::big) {
        word = __builtin_bswap64(word);
    }
    return word;
}

/// In words of eight bytes, the first byte lowest.
struct WordWindow {
    std::uint64_t words[4] = {};

    static WordWindow load(const void* from) {
        const auto* const at = static_cast<const char*>(from);
        WordWindow window;
        for (std::size_t w = 0; w < 4; ++w) {
            window.words[w] = word_at(at + 8 * w);
        }
        return window;
    }

    /// A bit for each byte that is this one, the first byte lowest.
    [[nodiscard]] std::uint32_t where(unsigned char byte) const {
        return bits([byte](std::uint64_t word) {
            const std::uint64_t other = word ^ every(byte);
            // A byte is zero when neither its lower bits nor its top bit are set.
            return ~(((other & every(0x7F)) + every(0x7F)) | other);
        });
    }

    /// A bit for each byte that a plain string cannot hold by itself: control characters, and what
    /// is not ASCII.
    [[nodiscard]] std::uint32_t where_odd() const {
        return bits(
            [](std::uint64_t word) { return word | ~((word & every(0x7F)) + every(0x60)); });
    }

    /// The lowest bit that is set; one is.
    static std::size_t lowest(std::uint32_t bits) {
        return static_cast<std::size_t>(__builtin_ctz(bits));
    }

    /// The bytes up to and with that one; zero after them. `last` is below 32.
    [[nodiscard]] WordWindow up_to(std::size_t last) const {
        return *this & load(first_bytes + (last ^ 31U));
    }

    /// The first eight bytes.
    [[nodiscard]] std::uint64_t word() const { return words[0]; }

    [[nodiscard]] std::uint32_t where_set() const { return ~where(0); }

    friend WordWindow operator^(WordWindow a, const WordWindow& b) {
        return each(a, b, [](std::uint64_t x, std::uint64_t y) { return x ^ y; });
    }
    friend WordWindow operator&(WordWindow a, const WordWindow& b) {
        return each(a, b, [](std::uint64_t x, std::uint64_t y) { return x & y; });
    }
    friend WordWindow operator|(WordWindow a, const WordWindow& b) {
        return each(a, b, [](std::uint64_t x, std::uint64_t y) { return x | y; });
    }

  private:
    static constexpr std::uint64_t every(unsigned char byte) {
        return std::uint64_t{0x0101010101010101U} * byte;
    }

    template <class Combine>
    static WordWindow each(WordWindow a, const WordWindow& b, Combine combine) {
        for (std::size_t w = 0; w < 4; ++w) {
            a.words[w] = combine(a.words[w], b.words[w]);
        }
        return a;
    }

    // From the top bit of every byte.
    template <class Found>
    [[nodiscard]] std::uint32_t bits(Found found) const {
        std::uint32_t all = 0;
        for (unsigned w = 0; w < 4; ++w) {
            const std::uint64_t tops = (found(words[w]) & every(0x80)) >> 7U;
            all |= static_cast<std::uint32_t>((tops * 0x0102040810204080U) >> 56U) << (8 * w);
        }
        return all;
    }
};

#ifdef __SSE2__

/// The same in two vectors.
struct Sse2Window {
    __m128i low;
    __m128i high;

    Sse2Window() : low(_mm_setzero_si128()), high(_mm_setzero_si128()) {}
    Sse2Window(__m128i l, __m128i h) : low(l), high(h) {}

    static Sse2Window load(const void* from) {
        const auto* const at = static_cast<const __m128i*>(from);
        return {_mm_loadu_si128(at), _mm_loadu_si128(at + 1)};
    }
    [[nodiscard]] std::uint32_t where(unsigned char byte) const {
        const __m128i wanted = _mm_set1_epi8(static_cast<char>(byte));
        return tops(_mm_cmpeq_epi8(low, wanted), _mm_cmpeq_epi8(high, wanted));
    }
    [[nodiscard]] std::uint32_t where_odd() const {
        // What is not ASCII is below zero.
        const __m128i space = _mm_set1_epi8(0x20);
        return tops(_mm_cmplt_epi8(low, space), _mm_cmplt_epi8(high, space));
    }
    static std::size_t lowest(std::uint32_t bits) {
        return static_cast<std::size_t>(__builtin_ctz(bits));
    }
    [[nodiscard]] Sse2Window up_to(std::size_t last) const {
        return *this & load(first_bytes + (last ^ 31U));
    }
    [[nodiscard]] std::uint64_t word() const {
        return static_cast<std::uint64_t>(_mm_cvtsi128_si64(low));
    }
    [[nodiscard]] std::uint32_t where_set() const { return ~where(0); }

    friend Sse2Window operator^(const Sse2Window& a, const Sse2Window& b) {
        return {_mm_xor_si128(a.low, b.low), _mm_xor_si128(a.high, b.high)};
    }
    friend Sse2Window operator&(const Sse2Window& a, const Sse2Window& b) {
        return {_mm_and_si128(a.low, b.low), _mm_and_si128(a.high, b.high)};
    }
    friend Sse2Window operator|(const Sse2Window& a, const Sse2Window& b) {
        return {_mm_or_si128(a.low, b.low), _mm_or_si128(a.high, b.high)};
    }

  private:
    static std::uint32_t tops(__m128i l, __m128i h) {
        return static_cast<std::uint32_t>(_mm_movemask_epi8(l)) |
               static_cast<std::uint32_t>(_mm_movemask_epi8(h)) << 16U;
    }
};

using Window = Sse2Window;

#else

using Window = WordWindow;

#endif

}  // namespace
}  // namespace toprail::lines
