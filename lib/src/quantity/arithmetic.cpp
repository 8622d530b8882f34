// Entry points: the operations of Number.
#include "quantity/big_number.hpp"

#include <limits>
#include <numeric>
#include <stdexcept>

namespace toprail {
namespace {

constexpr std::int64_t lowest = std::numeric_limits<std::int64_t>::min();

// a * b + c * d, empty when any part of it does not fit. The lowest value counts as not fitting, so
// that a sign can always be turned.
std::optional<std::int64_t> sum_of_products(std::int64_t a, std::int64_t b, std::int64_t c,
                                            std::int64_t d) {
    std::int64_t first = 0;
    std::int64_t second = 0;
    std::int64_t sum = 0;
    if (__builtin_mul_overflow(a, b, &first) || __builtin_mul_overflow(c, d, &second) ||
        __builtin_add_overflow(first, second, &sum) || sum == lowest) {
        return std::nullopt;
    }
    return sum;
}

std::optional<std::int64_t> product(std::int64_t a, std::int64_t b) {
    return sum_of_products(a, b, 0, 0);
}

bool small(const Number& a, const Number& b) {
    return !NumberParts::is_big(a) && !NumberParts::is_big(b);
}

// (a/b) * (c/d), both in lowest terms with b and d above 0; empty when it does not fit.
std::optional<Number> small_product(std::int64_t a, std::int64_t b, std::int64_t c,
                                    std::int64_t d) {
    const std::int64_t across = std::gcd(a, d);
    const std::int64_t back = std::gcd(c, b);
    const auto top = product(a / across, c / back);
    const auto bottom = product(b / back, d / across);
    return top && bottom ? std::optional(Number(*top, *bottom)) : std::nullopt;
}

}  // namespace

Rational NumberParts::rational(const Number& number) {
    return number.big_ ? number.big_->value : Rational(number.top_, number.bottom_);
}

Number NumberParts::number(const Rational& value) {
    constexpr std::int64_t most = std::numeric_limits<std::int64_t>::max();
    const Integer top = boost::multiprecision::numerator(value);
    const Integer bottom = boost::multiprecision::denominator(value);
    Number result;
    if (boost::multiprecision::abs(top) <= most && bottom <= most) {
        result.top_ = static_cast<std::int64_t>(top);
        result.bottom_ = static_cast<std::int64_t>(bottom);
    } else {
        result.bottom_ = 0;
        result.big_ = std::make_shared<const Number::Big>(Number::Big{value});
    }
    return result;
}

Number::Number(std::int64_t top, std::int64_t bottom) {
    if (bottom == 0) {
        throw std::overflow_error("division by zero");
    }
    if (top == lowest || bottom == lowest) {
        *this = NumberParts::number(Rational(top) / Rational(bottom));
        return;
    }
    const std::int64_t common = bottom == 1 ? 1 : std::gcd(top, bottom);
    const std::int64_t sign = bottom < 0 ? -1 : 1;
    top_ = sign * (top / common);
    bottom_ = sign * (bottom / common);
}

Number operator-(const Number& a) {
    if (!a.big_) {
        Number result = a;
        result.top_ = -a.top_;
        return result;
    }
    return NumberParts::number(-a.big_->value);
}

Number operator+(const Number& a, const Number& b) {
    if (small(a, b)) {
        const std::int64_t common = std::gcd(a.bottom_, b.bottom_);
        const auto bottom = product(a.bottom_, b.bottom_ / common);
        const auto top = sum_of_products(a.top_, b.bottom_ / common, b.top_, a.bottom_ / common);
        if (top && bottom) {
            return Number(*top, *bottom);
        }
    }
    return NumberParts::number(NumberParts::rational(a) + NumberParts::rational(b));
}

Number operator-(const Number& a, const Number& b) {
    return a + -b;
}

Number operator*(const Number& a, const Number& b) {
    if (small(a, b)) {
        if (auto result = small_product(a.top_, a.bottom_, b.top_, b.bottom_)) {
            return *std::move(result);
        }
    }
    return NumberParts::number(NumberParts::rational(a) * NumberParts::rational(b));
}

Number operator/(const Number& a, const Number& b) {
    if (b == 0) {
        throw std::overflow_error("division by zero");
    }
    if (small(a, b)) {
        const std::int64_t sign = b.top_ < 0 ? -1 : 1;
        if (auto result = small_product(a.top_, a.bottom_, sign * b.bottom_, sign * b.top_)) {
            return *std::move(result);
        }
    }
    return NumberParts::number(NumberParts::rational(a) / NumberParts::rational(b));
}

bool operator==(const Number& a, const Number& b) {
    if (a.big_ && b.big_) {
        return a.big_->value == b.big_->value;
    }
    // Lowest terms, and no number is held both ways.
    return small(a, b) && a.top_ == b.top_ && a.bottom_ == b.bottom_;
}

std::strong_ordering operator<=>(const Number& a, const Number& b) {
    if (small(a, b)) {
        if (a.bottom_ == b.bottom_) {
            return a.top_ <=> b.top_;
        }
        const auto left = product(a.top_, b.bottom_);
        const auto right = product(b.top_, a.bottom_);
        if (left && right) {
            return *left <=> *right;
        }
    }
    return NumberParts::rational(a).compare(NumberParts::rational(b)) <=> 0;
}

bool Number::whole() const {
    return big_ ? boost::multiprecision::denominator(big_->value) == 1 : bottom_ == 1;
}

Number Number::floor() const {
    if (!big_) {
        const bool below = top_ < 0 && top_ % bottom_ != 0;
        return {top_ / bottom_ - (below ? 1 : 0), 1};
    }
    const Integer top = boost::multiprecision::numerator(big_->value);
    const Integer bottom = boost::multiprecision::denominator(big_->value);
    Integer quotient = top / bottom;
    if (top < 0 && top % bottom != 0) {
        --quotient;
    }
    return NumberParts::number(Rational(quotient));
}

std::optional<std::int64_t> Number::integer() const {
    return !big_ && bottom_ == 1 ? std::optional(top_) : std::nullopt;
}

std::size_t Number::bits() const {
    if (!big_) {
        return std::size_t{2} * std::numeric_limits<std::int64_t>::digits;
    }
    const Integer top = boost::multiprecision::abs(boost::multiprecision::numerator(big_->value));
    const Integer bottom = boost::multiprecision::denominator(big_->value);
    return static_cast<std::size_t>((top == 0 ? 0U : msb(top) + 1) + msb(bottom) + 1);
}

std::string Number::str() const {
    if (big_) {
        return big_->value.str();
    }
    return bottom_ == 1 ? std::to_string(top_)
                        : std::to_string(top_) + "/" + std::to_string(bottom_);
}

}  // namespace toprail
