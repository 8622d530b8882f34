// How a Number is held when it does not fit in two 64-bit integers. Only the quantity room reads
// this header.
#pragma once

#include "quantity/number.hpp"

#include <boost/multiprecision/cpp_int.hpp>

namespace toprail {

using Integer = boost::multiprecision::cpp_int;
using Rational = boost::multiprecision::cpp_rational;

struct Number::Big {
    Rational value;
};

struct NumberParts {
    /// The same number as a rational of Boost.
    static Rational rational(const Number& number);
    /// Back again, held in place when it fits.
    static Number number(const Rational& value);

    static bool is_big(const Number& number) { return number.big_ != nullptr; }
    static std::int64_t top(const Number& number) { return number.top_; }
    static std::int64_t bottom(const Number& number) { return number.bottom_; }
};

}  // namespace toprail
