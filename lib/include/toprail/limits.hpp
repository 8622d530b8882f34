// How much of a text from outside is read before it is refused. A plain value.
#pragma once

#include <cstddef>
#include <cstdint>

namespace toprail {

/// Every limit has a finding of its own. The preset values leave the largest sensible rulepack
/// (ten thousand provisions) well inside and keep the worst case to seconds and megabytes.
struct Limits {
    /// Bytes in one file.
    std::size_t bytes = 16U << 20U;
    /// Maps and lists inside each other.
    std::uint32_t depth = 32;
    /// Keys and values in one file, and commas and brackets.
    std::size_t nodes = 1'000'000;
    /// Bytes in one key or value.
    std::size_t text = 20'000;
    /// Cases in one facts file. More are decided one a line: see lines.hpp.
    std::size_t cases = 1'000;
    /// Findings reported for one file; further ones are counted, not kept.
    std::size_t findings = 200;
};

}  // namespace toprail
