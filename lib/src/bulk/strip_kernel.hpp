// One case by strips. Included by one file per instruction set, as kernel.hpp is and under the same
// conditions.
#pragma once

#include "bulk/strips.hpp"

namespace toprail::bulk {
namespace {

/// V: a vector of words, of 16 bytes or more.
template <class V>
class StripRunner {
  public:
    static void find_rows(const std::uint8_t* class_bytes, const std::uint8_t* last,
                          std::size_t facts, std::uint8_t* rows) {
        for (std::size_t f = 0; f < facts; ++f) {
            const auto row = static_cast<std::uint8_t>(class_bytes[f] + rows_beside_classes);
            rows[f] = row < last[f] ? row : last[f];
        }
    }

    static std::uint8_t value(const StripsView& of, const StripRange& range,
                              const std::uint8_t* rows) {
        std::uint64_t within_reach = range.every;
        const FactRow* const reaches = of.reaches + range.first_reach;
        for (std::uint32_t i = 0; i < range.reaches; ++i) {
            within_reach &= of.reach_rows[reaches[i].first + rows[reaches[i].fact]];
        }
        std::uint64_t may_be = 0;
        for (; within_reach != 0; within_reach &= within_reach - 1) {
            const auto bit = static_cast<std::uint32_t>(__builtin_ctzll(within_reach));
            const std::uint32_t begin = bit * range.strips_of_bit;
            const std::uint32_t end = begin + range.strips_of_bit;
            for (std::uint32_t s = begin; s < end && s < range.strips; ++s) {
                const Pair found = results(of, of.strips[range.first_strip + s], rows);
                if (found[0] != 0) {
                    return 3;
                }
                may_be |= found[1];
            }
        }
        return may_be != 0 ? 2 : 0;
    }

    static void write(const StripsView& of, std::size_t first, std::size_t count,
                      const std::uint8_t* rows, std::uint64_t* to) {
        for (std::size_t s = 0; s < count; ++s) {
            V w[parts];
            work_out(of, of.strips[first + s], rows, w);
            __builtin_memcpy(to + s * words_of_strip, w, sizeof w);
        }
    }

  private:
    using Pair = std::uint64_t __attribute__((vector_size(16)));
    static constexpr std::size_t parts = sizeof(StripWords) / sizeof(V);

    static V part(const StripWords& words, std::size_t i) {
        V v;
        __builtin_memcpy(&v, words.word + i * (sizeof(V) / 8), sizeof v);
        return v;
    }

    static void work_out(const StripsView& of, const Strip& strip, const std::uint8_t* rows,
                         V (&w)[parts]) {
        for (std::size_t i = 0; i < parts; ++i) {
            w[i] = part(strip.begin, i);
        }
        const FactRow* const facts = of.facts + strip.first_fact;
        for (std::uint32_t f = 0; f < strip.facts; ++f) {
            const StripWords& row = of.rows[facts[f].first + rows[facts[f].fact]];
#pragma GCC unroll 4
            for (std::size_t i = 0; i < parts; ++i) {
                w[i] &= part(row, i);
            }
        }
        for (std::size_t i = 0; i < parts; ++i) {
            w[i] ^= part(strip.flip, i);
        }
        const StripLevel* const levels = of.levels + strip.first_level;
        for (std::uint32_t l = 0; l < strip.levels; ++l) {
            const StripLevel& level = levels[l];
#pragma GCC unroll 4
            for (std::size_t i = 0; i < parts; ++i) {
                const V sum =
                    ((w[i] & part(level.keep, i)) | part(level.fill, i)) + part(level.add, i);
                w[i] |= sum & part(level.guard, i);
            }
        }
    }

    /// Some bit known to be true, some bit that may be.
    static Pair results(const StripsView& of, const Strip& strip, const std::uint8_t* rows) {
        V w[parts];
        work_out(of, strip, rows, w);
        V any = w[0] & part(strip.results, 0);
        for (std::size_t i = 1; i < parts; ++i) {
            any |= w[i] & part(strip.results, i);
        }
        Pair pairs[sizeof(V) / sizeof(Pair)];
        __builtin_memcpy(pairs, &any, sizeof any);
        Pair found = pairs[0];
        for (std::size_t i = 1; i < sizeof(V) / sizeof(Pair); ++i) {
            found |= pairs[i];
        }
        return found;
    }
};

}  // namespace
}  // namespace toprail::bulk
