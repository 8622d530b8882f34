// The first pass over a case: three-valued truth of every node, and every expression that the given
// facts settle. Quick and never wrong, but it may call something open that is not.
#pragma once

#include "deciding/bound.hpp"
#include "deciding/value.hpp"
#include "program/program.hpp"
#include "toprail/date.hpp"

#include <cstdint>
#include <optional>
#include <vector>

namespace toprail {

enum class Truth : std::uint8_t { no, yes, open };

/// What is asked of the program, apart from the facts.
struct Circumstances {
    Date on = Date::from_days(0);
    /// Per AuthorityId; empty when the host named none.
    std::vector<bool> named;
};

struct FirstPass {
    std::vector<Truth> nodes;
    /// Empty: not settled by the given facts.
    std::vector<std::optional<Value>> expressions;
    /// Divides by zero or takes the root of a negative number although no fact that is known does
    /// not apply: absent for that, or open and absent in some pieces that may count.
    std::vector<bool> without_value;
};

/// What a comparison with an expression without a value gives. Decisions rest on the first; the
/// second shows what hinges on such comparisons.
enum class WithoutValue : std::uint8_t { is_false, is_open };

FirstPass three_valued(const Program& program, const std::vector<BoundFact>& facts,
                       const Circumstances& circumstances,
                       WithoutValue without_value = WithoutValue::is_false);

}  // namespace toprail
