// Exact numbers. Every figure is a rational, so 10 ft, 120 in and 3.048 m are the same number.
#pragma once

#include <boost/multiprecision/cpp_int.hpp>

#include <optional>
#include <string>
#include <string_view>

namespace toprail {

using Number = boost::multiprecision::cpp_rational;

/// Reads "12", "-3.5", "1,800" or ".5". Empty on anything else, and on more than 30 digits:
/// no figure of this trade has so many, and exact arithmetic on them would cost time.
std::optional<Number> parse_number(std::string_view text);

/// The decimal text, exact when it ends within `places`; otherwise rounded half away from zero
/// and `exact` is set to false.
std::string decimal(const Number& value, unsigned places, bool& exact);

/// A rational interval that holds the true square root: `low <= sqrt(value) <= high`.
/// Both ends are equal when the root is rational. Otherwise they are at most 2^-96 apart.
/// Precondition: value >= 0.
struct RootBracket {
    Number low;
    Number high;
};
RootBracket square_root(const Number& value);

}  // namespace toprail
