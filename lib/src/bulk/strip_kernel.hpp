// One case by strips. Included by one file per instruction set, as kernel.hpp is and under the same
// conditions.
#pragma once

#include "bulk/tape.hpp"

namespace toprail::bulk {
namespace {

/// V: a vector of words, of 16 bytes or more. An object is for one case.
template <class V>
class StripRunner {
  public:
    /// The first of required, excepted, not required that is not ruled out settles the duty, or
    /// leaves it open.
    static std::uint8_t outcome(const StripsView& of, const StripRange* ranges,
                                const std::uint8_t* class_bytes) {
        StripRunner run(of, class_bytes);
        if (const Value no_answer = run.value_of(ranges[3]); no_answer != Value::no) {
            return no_answer == Value::yes ? byte_no_answer : byte_open;
        }
        std::uint8_t rank = 0;
        for (; rank < 3; ++rank) {
            if (const Value value = run.value_of(ranges[rank]); value != Value::no) {
                return value == Value::yes ? rank : byte_open;
            }
        }
        return rank;
    }

    static std::uint8_t value(const StripsView& of, const StripRange& range,
                              const std::uint8_t* class_bytes) {
        return static_cast<std::uint8_t>(StripRunner(of, class_bytes).value_of(range));
    }

    static void write(const StripsView& of, std::size_t first, std::size_t count,
                      const std::uint8_t* class_bytes, std::uint64_t* to) {
        StripRunner run(of, class_bytes);
        for (std::size_t s = 0; s < count; ++s) {
            run.work_out(of.strips[first + s]);
            __builtin_memcpy(to + s * words_of_strip, run.words_, sizeof run.words_);
        }
    }

  private:
    enum class Value : std::uint8_t { no = 0, open = 2, yes = 3 };
    using Pair = std::uint64_t __attribute__((vector_size(16)));
    static constexpr std::size_t parts = sizeof(StripWords) / sizeof(V);

    StripRunner(const StripsView& of, const std::uint8_t* class_bytes)
        : of_(of),
          class_bytes_(class_bytes) {}

    static V part(const StripWords& words, std::size_t i) {
        V v;
        __builtin_memcpy(&v, words.word + i * (sizeof(V) / sizeof(std::uint64_t)), sizeof v);
        return v;
    }

    /// How far the fact's row of this case is from that of its first class.
    [[nodiscard]] std::ptrdiff_t class_of(const FactRow& fact) const {
        return static_cast<std::int8_t>(class_bytes_[fact.fact]);
    }

    Value value_of(const StripRange& range) {
        std::uint64_t within_reach = range.every;
        for (std::uint32_t i = 0; i < range.reaches; ++i) {
            const FactRow& fact = of_.reaches[range.first_reach + i];
            within_reach &= *(of_.reach_rows + fact.first + class_of(fact));
        }
        std::uint64_t may_be = 0;
        for (; within_reach != 0; within_reach &= within_reach - 1) {
            const auto bit = static_cast<std::uint32_t>(__builtin_ctzll(within_reach));
            const std::uint32_t begin = bit * range.strips_of_bit;
            const std::uint32_t end = begin + range.strips_of_bit;
            for (std::uint32_t s = begin; s < end && s < range.strips; ++s) {
                const Strip* const strip = of_.strips + range.first_strip + s;
                if (strip != worked_out_) {
                    work_out(*strip);
                    worked_out_ = strip;
                }
                const Pair found = some_of(of_.results[range.first_result + s]);
                if (found[0] != 0) {
                    return Value::yes;
                }
                may_be |= found[1];
            }
        }
        return may_be != 0 ? Value::open : Value::no;
    }

    void work_out(const Strip& strip) {
        V w[parts];
        for (std::size_t i = 0; i < parts; ++i) {
            w[i] = part(strip.begin, i);
        }
        const FactRow* const facts = of_.facts + strip.first_fact;
#pragma GCC unroll 4
        for (std::uint32_t f = 0; f < strip.facts; ++f) {
            const StripWords& row = *(of_.rows + facts[f].first + class_of(facts[f]));
#pragma GCC unroll 4
            for (std::size_t i = 0; i < parts; ++i) {
                w[i] &= part(row, i);
            }
        }
        for (std::size_t i = 0; i < parts; ++i) {
            w[i] ^= part(strip.flip, i);
        }
        const StripLevel* const levels = of_.levels + strip.first_level;
        for (std::uint32_t l = 0; l < strip.levels; ++l) {
            const StripLevel& level = levels[l];
#pragma GCC unroll 4
            for (std::size_t i = 0; i < parts; ++i) {
                const V sum =
                    ((w[i] & part(level.keep, i)) | part(level.fill, i)) + part(level.add, i);
                w[i] |= sum & part(level.guard, i);
            }
        }
        for (std::size_t i = 0; i < parts; ++i) {
            words_[i] = w[i];
        }
    }

    /// Whether any of these bits is known to be true, and whether any may be.
    [[nodiscard]] Pair some_of(const StripWords& bits) const {
        V any = words_[0] & part(bits, 0);
        for (std::size_t i = 1; i < parts; ++i) {
            any |= words_[i] & part(bits, i);
        }
        constexpr std::size_t wide = sizeof(V);
        constexpr std::size_t narrow = sizeof(Pair);
        Pair pairs[wide / narrow];
        __builtin_memcpy(pairs, &any, sizeof any);
        Pair found = pairs[0];
        for (std::size_t i = 1; i < wide / narrow; ++i) {
            found |= pairs[i];
        }
        return found;
    }

    const StripsView& of_;
    const std::uint8_t* class_bytes_;
    const Strip* worked_out_ = nullptr;
    V words_[parts]{};
};

}  // namespace
}  // namespace toprail::bulk
