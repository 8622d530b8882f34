// Entry points: parse_number, parse_fraction, decimal, tell_number, square_root.
#include "quantity/big_number.hpp"

#include <algorithm>
#include <cstddef>

namespace toprail {
namespace {

constexpr std::size_t most_digits = 30;

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

// "1,800" groups by threes; "18,00" is a slip, not a number, and "0,500" a half.
bool commas_sensible(std::string_view digits) {
    const std::size_t first = digits.find(',');
    if (first == std::string_view::npos) {
        return true;
    }
    if (first == 0 || first > 3 || digits.front() == '0') {
        return false;
    }
    for (std::size_t i = first; i < digits.size(); i += 4) {
        if (digits[i] != ',' || i + 4 > digits.size() ||
            digits.substr(i + 1, 3).find(',') != std::string_view::npos) {
            return false;
        }
    }
    return true;
}

Integer power_of_ten(std::size_t exponent) {
    Integer value = 1;
    for (std::size_t i = 0; i < exponent; ++i) {
        value *= 10;
    }
    return value;
}

}  // namespace

std::optional<Number> parse_number(std::string_view text) {
    bool negative = false;
    if (!text.empty() && text.front() == '-') {
        negative = true;
        text.remove_prefix(1);
    }
    const std::size_t point = text.find('.');
    const std::string_view whole = text.substr(0, point);
    const std::string_view part =
        point == std::string_view::npos ? std::string_view{} : text.substr(point + 1);
    if ((whole.empty() && part.empty()) || !commas_sensible(whole) ||
        (point != std::string_view::npos && part.empty())) {
        return std::nullopt;
    }
    Integer digits = 0;
    std::size_t count = 0;
    const auto take = [&](char c) {
        if (!is_digit(c) || ++count > most_digits) {
            return false;
        }
        digits = digits * 10 + (c - '0');
        return true;
    };
    for (const char c : whole) {
        if (c != ',' && !take(c)) {
            return std::nullopt;
        }
    }
    for (const char c : part) {
        if (!take(c)) {
            return std::nullopt;
        }
    }
    const Number value = NumberParts::number(Rational(digits, power_of_ten(part.size())));
    return negative ? -value : value;
}

std::optional<Number> parse_fraction(std::string_view text) {
    const std::string_view unsigned_text = text.substr(text.starts_with('-') ? 1 : 0);
    const std::size_t bar = unsigned_text.find('/');
    const std::string_view top = unsigned_text.substr(0, bar);
    const std::string_view bottom =
        bar == std::string_view::npos ? std::string_view("1") : unsigned_text.substr(bar + 1);
    const auto digits = [](std::string_view part) {
        // A leading zero would make it octal.
        return !part.empty() && std::all_of(part.begin(), part.end(), is_digit) &&
               (part.size() == 1 || part.front() != '0');
    };
    if (!digits(top) || !digits(bottom) ||
        bottom.find_first_not_of('0') == std::string_view::npos) {
        return std::nullopt;
    }
    const Rational value{Integer(std::string(top)), Integer(std::string(bottom))};
    return NumberParts::number(text.starts_with('-') ? Rational(-value) : value);
}

std::string decimal(const Number& value, unsigned places, bool& exact) {
    const bool negative = value < 0;
    const Rational magnitude = NumberParts::rational(negative ? -value : value);
    const Rational scaled = magnitude * Rational(power_of_ten(places));
    const Integer top = boost::multiprecision::numerator(scaled);
    const Integer bottom = boost::multiprecision::denominator(scaled);
    Integer rounded = top / bottom;
    const Integer rest = top % bottom;
    exact = rest == 0;
    if (!exact && rest * 2 >= bottom) {
        ++rounded;
    }
    std::string digits = rounded.str();
    if (digits.size() <= places) {
        digits.insert(0, places + 1 - digits.size(), '0');
    }
    std::string text = digits.substr(0, digits.size() - places);
    std::string fraction = digits.substr(digits.size() - places);
    while (!fraction.empty() && fraction.back() == '0') {
        fraction.pop_back();
    }
    if (!fraction.empty()) {
        text += "." + fraction;
    }
    return negative && text != "0" ? "-" + text : text;
}

std::string tell_number(const Number& value, unsigned places, bool& exact) {
    constexpr unsigned most_told = 40;  // digits before the point
    if (NumberParts::is_big(value)) {   // and therefore not 0
        const bool negative = value < 0;
        const Rational magnitude = NumberParts::rational(negative ? -value : value);
        const unsigned top =
            boost::multiprecision::msb(boost::multiprecision::numerator(magnitude));
        const unsigned bottom =
            boost::multiprecision::msb(boost::multiprecision::denominator(magnitude));
        // It is above 2^(top - bottom - 1); 30102/100000 is a little below the logarithm of 2.
        const unsigned tens = top > bottom ? (top - bottom - 1) * 30102U / 100000U : 0;
        if (tens >= most_told) {
            exact = true;
            return (negative ? "below -10^" : "over 10^") + std::to_string(tens);
        }
    }
    return decimal(value, places, exact);
}

RootBracket square_root(const Number& value) {
    const Rational rational = NumberParts::rational(value);
    const Integer top = boost::multiprecision::numerator(rational);
    const Integer bottom = boost::multiprecision::denominator(rational);
    Integer rest_top;
    Integer rest_bottom;
    const Integer root_top = boost::multiprecision::sqrt(top, rest_top);
    const Integer root_bottom = boost::multiprecision::sqrt(bottom, rest_bottom);
    if (rest_top == 0 && rest_bottom == 0) {
        const Number root = NumberParts::number(Rational(root_top, root_bottom));
        return {root, root};
    }
    // sqrt(n/d) = sqrt(n*d)/d; scaling n*d by 4^96 puts the integer root within 2^-96.
    constexpr unsigned bits = 96;
    Integer rest;
    const Integer scaled = (top * bottom) << (2 * bits);
    const Integer root = boost::multiprecision::sqrt(scaled, rest);
    const Integer divisor = bottom << bits;
    return {NumberParts::number(Rational(root, divisor)),
            NumberParts::number(Rational(Integer(root + 1), divisor))};
}

}  // namespace toprail
