// Exact numbers. Every figure is a rational, so 10 ft, 120 in and 3.048 m are the same number.
#pragma once

#include <compare>
#include <concepts>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

namespace toprail {

/// A rational number without limits on its size, in lowest terms. Fractions of two 64-bit integers,
/// nearly all that come up, are held in place and cost no allocation; the rest are held by
/// Boost.Multiprecision, which this header keeps out of the files that include it: it takes longer
/// to read than all else together.
/// Division by zero throws std::overflow_error. Copies share nothing that changes, so they may be
/// used in several threads.
class Number {
  public:
    Number() = default;
    template <std::integral Whole>
    requires(sizeof(Whole) < 8 || std::signed_integral<Whole>) Number(Whole value)
        : Number(static_cast<std::int64_t>(value), 1) {}
    Number(std::int64_t top, std::int64_t bottom);

    Number& operator+=(const Number& other) { return *this = *this + other; }
    Number& operator-=(const Number& other) { return *this = *this - other; }
    Number& operator*=(const Number& other) { return *this = *this * other; }
    Number& operator/=(const Number& other) { return *this = *this / other; }

    friend Number operator-(const Number& a);
    friend Number operator+(const Number& a, const Number& b);
    friend Number operator-(const Number& a, const Number& b);
    friend Number operator*(const Number& a, const Number& b);
    friend Number operator/(const Number& a, const Number& b);
    friend bool operator==(const Number& a, const Number& b);
    friend std::strong_ordering operator<=>(const Number& a, const Number& b);

    /// Whether it has no fraction.
    [[nodiscard]] bool whole() const;
    /// The greatest whole number that is not above it.
    [[nodiscard]] Number floor() const;
    /// Its value, when it is whole and fits.
    [[nodiscard]] std::optional<std::int64_t> integer() const;
    /// How many binary digits its two parts have together: what arithmetic on it costs.
    [[nodiscard]] std::size_t bits() const;
    /// "-7/2", or "3" when whole.
    [[nodiscard]] std::string str() const;

  private:
    struct Big;
    friend struct NumberParts;

    std::int64_t top_ = 0;
    std::int64_t bottom_ = 1;         // above 0, or 0 when `big_` holds the number
    std::shared_ptr<const Big> big_;  // set only when the number does not fit in the two above
};

/// Reads "12", "-3.5", "1,800" or ".5". Empty on anything else, and on more than 30 digits:
/// no figure of this trade has so many, and exact arithmetic on them would cost time.
std::optional<Number> parse_number(std::string_view text);

/// Reads what Number::str writes. Empty on anything else.
std::optional<Number> parse_fraction(std::string_view text);

/// The decimal text, exact when it ends within `places`; otherwise rounded half away from zero
/// and `exact` is set to false.
std::string decimal(const Number& value, unsigned places, bool& exact);

/// The same for people: of a number with more than 40 digits before the point a power of ten that
/// it is past, such as "over 10^3839", which is no rounding. Nobody reads so many digits, and they
/// take long to work out and to keep.
std::string tell_number(const Number& value, unsigned places, bool& exact);

/// A rational interval that holds the true square root: `low <= sqrt(value) <= high`.
/// Both ends are equal when the root is rational. Otherwise they are at most 2^-96 apart.
/// Precondition: value >= 0.
struct RootBracket {
    Number low;
    Number high;
};
RootBracket square_root(const Number& value);

}  // namespace toprail
