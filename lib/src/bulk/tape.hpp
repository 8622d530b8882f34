// What the kernels run: a circuit laid out in the order of its work, with slots used again once
// their value is no longer needed. Plain data, so that kernels built for other instruction sets
// share no inline code with the rest of the library.
#pragma once

#include "bulk/strips.hpp"

#include <cstddef>
#include <cstdint>

namespace toprail::bulk {

/// Slot number times two, plus one when negated: the index of the known-true plane; the known-false
/// plane is its neighbour (index ^ 1). Slots 0 and 1 hold `never` and `open`.
using PlaneRef = std::uint32_t;

/// What a column of class bytes gives: 0 .. 6 that bit of the class, open where the fact is not
/// known; applies: open where the fact is not known; given: never open.
inline constexpr std::uint8_t leaf_applies = 7;
inline constexpr std::uint8_t leaf_given = 8;

struct LeafPlane {
    std::uint32_t slot = 0;
    std::uint8_t leaf = 0;
};

struct OutcomePlanes {
    PlaneRef required = 0;
    PlaneRef excepted = 0;
    PlaneRef not_required = 0;
    PlaneRef no_answer = 0;
    std::uint32_t duty = 0;
};

/// What becomes of a provision, or (`displaced` never) whether an authority governs.
struct StatusPlanes {
    PlaneRef stands = 0;
    PlaneRef displaced = 0;
    std::uint32_t row = 0;
};

/// Statuses are written as two planes for every row and 512 cases: the low and the high bit of a
/// Status. Case c of the 512 is bit c / 64 of byte c % 64: where slicing leaves it, so that nothing
/// is moved, and the same on all vectors.
inline constexpr std::size_t group_cases = 512;
inline constexpr std::size_t group_plane_bytes = group_cases / 8;

/// slice: leaves[first, last) from a column. gates: code[first, last), each gate as its target, the
/// count of operands, and the operands. outcome: outcomes[first]. status: statuses[first].
struct TapeStep {
    enum class Kind : std::uint8_t { slice, gates, outcome, status };
    Kind kind = Kind::slice;
    std::uint32_t column = 0;
    std::uint32_t first = 0;
    std::uint32_t last = 0;
};

struct TapeView {
    const TapeStep* steps = nullptr;
    std::size_t step_count = 0;
    const LeafPlane* leaves = nullptr;
    const std::uint32_t* code = nullptr;
    const OutcomePlanes* outcomes = nullptr;
    const StatusPlanes* statuses = nullptr;
    std::size_t slots = 0;
    std::size_t status_rows = 0;
};

/// Bytes of a column: other values are class numbers.
inline constexpr std::uint8_t byte_not_known = 255;
inline constexpr std::uint8_t byte_does_not_apply = 254;
/// An outcome byte beyond those of Outcome.
inline constexpr std::uint8_t byte_no_answer = 5;
/// Outcome::undetermined.
inline constexpr std::uint8_t byte_open = 4;

/// Decides whole blocks of cases. `columns` point at the first case, one byte a case; `outcomes`
/// likewise; `statuses` at status_rows * 2 planes for each group of cases, or null where
/// none are wanted. `scratch` holds slots * 2 * plane_bytes bytes, aligned to 64.
struct Kernel {
    const char* name = "";
    std::size_t block_cases = 0;
    std::size_t plane_bytes = 0;
    void (*run)(const TapeView& tape, const std::uint8_t* const* columns,
                std::uint8_t* const* outcomes, std::uint8_t* statuses, std::size_t blocks,
                void* scratch) = nullptr;

    // One case by strips, given as a class byte for each fact of the vocabulary. The outcome byte
    // of a duty, from its four ranges.
    std::uint8_t (*outcome)(const StripsView& of, const StripRange* ranges,
                            const std::uint8_t* class_bytes) = nullptr;
    // Whether any formula of the range holds: a value as in single_facts.hpp.
    std::uint8_t (*value)(const StripsView& of, const StripRange& range,
                          const std::uint8_t* class_bytes) = nullptr;
    // The words of `count` strips.
    void (*write)(const StripsView& of, std::size_t first, std::size_t count,
                  const std::uint8_t* class_bytes, std::uint64_t* to) = nullptr;
};

extern const Kernel portable_kernel;
extern const Kernel avx2_kernel;
extern const Kernel avx512_kernel;

}  // namespace toprail::bulk
