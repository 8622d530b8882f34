// Between which numbers a formula can lie, for checks. Rough: it may say more than can be, never
// less. Pure values.
#pragma once

#include "quantity/number.hpp"
#include "reading/sentence.hpp"

#include <optional>

namespace toprail {

/// Both ends included; empty: no end.
struct Range {
    std::optional<Number> low;
    std::optional<Number> high;

    [[nodiscard]] bool may_be_zero() const { return !(low && *low > 0) && !(high && *high < 0); }
    [[nodiscard]] bool may_be_negative() const { return !low || *low < 0; }

    friend Range operator+(const Range& a, const Range& b);
    friend Range operator-(const Range& a, const Range& b);
    friend Range operator*(const Range& a, const Range& b);
    /// Without ends where `b` may be zero.
    friend Range operator/(const Range& a, const Range& b);
};

/// Of a number with itself.
Range square(const Range& a);
/// Of what is not negative in `a`.
Range root(const Range& a);
Range least(const Range& a, const Range& b);
Range greatest(const Range& a, const Range& b);
/// Of whatever lies in either.
Range hull(const Range& a, const Range& b);
/// Of whatever lies in both; either of them where nothing does.
Range both(const Range& a, const Range& b);
/// Of what is <verb> that number. More than zero begins a little above it.
Range range_of(Verb verb, const Number& than);

}  // namespace toprail
