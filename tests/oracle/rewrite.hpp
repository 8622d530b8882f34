// The same pack in other words: other order, other units. Pure functions of their arguments.
#pragma once

#include "toprail/shelf.hpp"

#include <cstdint>
#include <string>

namespace oracle {

/// What is written differently.
enum class Rewriting { nothing, provision_order, key_order, part_order, units };

/// The text again as one map in flow style. Orders and units follow from the seed.
toprail::SourceText rewritten(const toprail::SourceText& text, Rewriting rewriting,
                              std::uint64_t seed);

/// The figures of a text in other units, each the same number exactly.
std::string in_other_units(const std::string& text, std::uint64_t seed);

}  // namespace oracle
