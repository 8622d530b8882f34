// From a circuit to strips.
#pragma once

#include "bulk/layout.hpp"
#include "bulk/one_case.hpp"
#include "bulk/strips.hpp"

#include <cstddef>
#include <vector>

namespace toprail::bulk {

/// A bound on what strips may take, in bytes of their rows.
inline constexpr std::size_t most_strip_bytes = std::size_t{8} << 20U;

/// `classes`: per fact of the vocabulary, how many it has. Outcomes are left out where a formula is
/// too wide for a word, and cannot be parted, or the bound is reached; statuses there, and where
/// `by_bytes` is the shorter way to them.
Strips lower_strips(const Circuit& circuit, const std::vector<OutcomeRoots>& roots,
                    const std::vector<StatusRoots>& rows, const std::vector<std::size_t>& classes,
                    const OneCase& by_bytes, std::size_t most_bytes = most_strip_bytes);

}  // namespace toprail::bulk
