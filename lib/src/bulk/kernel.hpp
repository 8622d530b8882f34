// The loop over the tape, for vectors of any width. Included by one file per instruction set, each
// compiled for that set: everything here has internal linkage and uses nothing of the standard
// library but plain types, lest a linker keep a copy that older processors cannot run.
//
// Bytes are read in groups of 512 cases, as 8 rows of 8 words. Plane bit 8*j+i of word w is byte j
// of word w in row i: an order of cases that costs shifts and masks alone, is undone by the same
// when outcomes are written, and is the same for every width.
#pragma once

#include "bulk/tape.hpp"

namespace toprail::bulk {
namespace {

template <class V>
V load(const void* from) {
    V v;
    __builtin_memcpy(&v, from, sizeof v);
    return v;
}

template <class V>
void store(void* to, const V& v) {
    __builtin_memcpy(to, &v, sizeof v);
}

inline constexpr std::uint64_t lowest_bits = 0x0101010101010101U;

/// Bit `bit` of every byte of the 8 vectors.
template <class V, int bit>
V plane(const V (&w)[8]) {
    V result = w[bit] & (lowest_bits << bit);
#pragma GCC unroll 8
    for (int i = 0; i < 8; ++i) {
        if (i < bit) {
            result |= (w[i] >> (bit - i)) & (lowest_bits << i);
        } else if (i > bit) {
            result |= (w[i] << (i - bit)) & (lowest_bits << i);
        }
    }
    return result;
}

template <class V>
V plane_of(const V (&w)[8], unsigned bit) {
    switch (bit) {
    case 0:
        return plane<V, 0>(w);
    case 1:
        return plane<V, 1>(w);
    case 2:
        return plane<V, 2>(w);
    case 3:
        return plane<V, 3>(w);
    case 4:
        return plane<V, 4>(w);
    case 5:
        return plane<V, 5>(w);
    default:
        return plane<V, 6>(w);
    }
}

/// V: a vector of words; each plane of a block holds `lanes` of them.
template <class V, std::size_t lanes>
class Runner {
  public:
    static constexpr std::size_t plane_bytes = sizeof(V) * lanes;
    static constexpr std::size_t block_cases = plane_bytes * 8;

    static void run(const TapeView& tape, const std::uint8_t* const* columns,
                    std::uint8_t* const* outcomes, std::uint8_t* statuses, std::size_t blocks,
                    void* scratch) {
        V* const planes = static_cast<V*>(scratch);
        for (std::size_t l = 0; l < lanes; ++l) {
            at(planes, 0)[l] = V{};
            at(planes, 1)[l] = ~V{};
            at(planes, 2)[l] = V{};
            at(planes, 3)[l] = V{};
        }
        for (std::size_t block = 0; block < blocks; ++block) {
            const std::size_t begin = block * block_cases;
            for (std::size_t s = 0; s < tape.step_count; ++s) {
                const TapeStep& step = tape.steps[s];
                switch (step.kind) {
                case TapeStep::Kind::slice:
                    slice(tape.leaves + step.first, tape.leaves + step.last,
                          columns[step.column] + begin, planes);
                    break;
                case TapeStep::Kind::gates:
                    gates(tape.code + step.first, tape.code + step.last, planes);
                    break;
                case TapeStep::Kind::outcome: {
                    const OutcomePlanes& outcome = tape.outcomes[step.first];
                    write(outcome, planes, outcomes[outcome.duty] + begin);
                    break;
                }
                case TapeStep::Kind::status:
                    if (statuses != nullptr) {
                        write(tape.statuses[step.first], planes,
                              statuses + begin / 8 * 2 * tape.status_rows, tape.status_rows);
                    }
                    break;
                }
            }
        }
    }

  private:
    /// Where the lane's first row begins in a block of bytes, and its part of a plane in a group.
    static constexpr std::size_t group(std::size_t lane) {
        return lane * sizeof(V) / group_plane_bytes;
    }
    static constexpr std::size_t part(std::size_t lane) {
        return lane * sizeof(V) % group_plane_bytes;
    }
    static constexpr std::size_t row(std::size_t lane, int i) {
        return group(lane) * group_cases + part(lane) +
               static_cast<std::size_t>(i) * group_plane_bytes;
    }

    static V* at(V* planes, std::size_t ref) { return planes + ref * lanes; }
    static const V* at(const V* planes, std::size_t ref) { return planes + ref * lanes; }

    static void slice(const LeafPlane* leaf, const LeafPlane* end, const std::uint8_t* bytes,
                      V* planes) {
        for (std::size_t l = 0; l < lanes; ++l) {
            V w[8];
            for (int i = 0; i < 8; ++i) {
                w[i] = load<V>(bytes + row(l, i));
            }
            const V unset = plane<V, 7>(w);
            for (const LeafPlane* each = leaf; each != end; ++each) {
                V* const yes = at(planes, 2 * each->slot) + l;
                V* const no = at(planes, 2 * each->slot + 1) + l;
                if (each->leaf == leaf_given) {
                    *yes = ~unset;
                    *no = unset;
                } else if (each->leaf == leaf_applies) {
                    *yes = ~unset;
                    *no = unset & ~plane<V, 0>(w);
                } else {
                    const V bit = plane_of(w, each->leaf);
                    *yes = bit & ~unset;
                    *no = ~(bit | unset);
                }
            }
        }
    }

    static void gates(const std::uint32_t* code, const std::uint32_t* end, V* planes) {
        while (code != end) {
            const std::uint32_t target = code[0];
            const std::uint32_t count = code[1];
            const std::uint32_t* const operands = code + 2;
            V yes[lanes];
            V no[lanes];
            for (std::size_t l = 0; l < lanes; ++l) {
                yes[l] = at(planes, operands[0])[l] & at(planes, operands[1])[l];
                no[l] = at(planes, operands[0] ^ 1U)[l] | at(planes, operands[1] ^ 1U)[l];
            }
            for (std::uint32_t i = 2; i < count; ++i) {
                for (std::size_t l = 0; l < lanes; ++l) {
                    yes[l] &= at(planes, operands[i])[l];
                    no[l] |= at(planes, operands[i] ^ 1U)[l];
                }
            }
            for (std::size_t l = 0; l < lanes; ++l) {
                at(planes, target)[l] = yes[l];
                at(planes, target ^ 1U)[l] = no[l];
            }
            code = operands + count;
        }
    }

    // The first of the three that is known, where all before it are known not to be; open where
    // that is not known.
    static void write(const OutcomePlanes& outcome, const V* planes, std::uint8_t* bytes) {
        for (std::size_t l = 0; l < lanes; ++l) {
            const V not_first = at(planes, outcome.required ^ 1U)[l];
            const V not_second = not_first & at(planes, outcome.excepted ^ 1U)[l];
            const V second = not_first & at(planes, outcome.excepted)[l];
            const V third = not_second & at(planes, outcome.not_required)[l];
            const V none = not_second & at(planes, outcome.not_required ^ 1U)[l];
            const V answer = at(planes, outcome.no_answer ^ 1U)[l];
            const V settled = (at(planes, outcome.required)[l] | second | third | none) & answer;
            const V bit0 = ((second | none) & answer) | at(planes, outcome.no_answer)[l];
            const V bit1 = (third | none) & answer;
            const V bit2 = ~settled;
            for (int i = 0; i < 8; ++i) {
                const V byte = ((bit0 >> i) & lowest_bits) | (((bit1 >> i) & lowest_bits) << 1) |
                               (((bit2 >> i) & lowest_bits) << 2);
                store(bytes + row(l, i), byte);
            }
        }
    }

    static void write(const StatusPlanes& status, const V* planes, std::uint8_t* bytes,
                      std::size_t rows) {
        for (std::size_t l = 0; l < lanes; ++l) {
            const V falls = at(planes, status.stands ^ 1U)[l];
            const V displaced = at(planes, status.displaced)[l];
            const V stands = at(planes, status.stands)[l] & at(planes, status.displaced ^ 1U)[l];
            std::uint8_t* const to = bytes + (group(l) * rows + status.row) * 2 * group_plane_bytes;
            store(to + part(l), falls | displaced);
            store(to + group_plane_bytes + part(l), ~(falls | stands));
        }
    }
};

}  // namespace
}  // namespace toprail::bulk
