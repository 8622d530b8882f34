// Invented rulepacks of any size, the same on every machine: what the benchmark decides.
#pragma once

#include "toprail/shelf.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace bench {

struct InventedSize {
    std::size_t authorities = 5;
    std::size_t provisions_each = 12;
    /// Whether a governing pack lets each authority govern in one place alone, so that most
    /// provisions are out of reach; otherwise all govern. At most 100 authorities then.
    bool by_place = false;
};

/// A vocabulary with 24 facts (9 choices, 9 yes or no, 6 lengths) and 30 shared conditions, and one
/// pack for each authority with provisions of 2 to 5 parts, some of which displace others.
std::vector<toprail::SourceText> invent(const InventedSize& size = {});

/// Throws std::runtime_error when the rulepacks do not load.
toprail::Shelf load(const std::vector<toprail::SourceText>& texts);

}  // namespace bench
