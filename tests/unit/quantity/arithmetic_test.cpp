// Number held against Boost's rationals, inside 64 bits and past them.
#include "oracle/property.hpp"
#include "quantity/big_number.hpp"

#include <doctest/doctest.h>
#include <rapidcheck.h>

#include <limits>
#include <stdexcept>
#include <tuple>
#include <vector>

using namespace toprail;

namespace {

constexpr std::int64_t most = std::numeric_limits<std::int64_t>::max();
constexpr std::int64_t least = std::numeric_limits<std::int64_t>::min();

// Small integers, any integer, and the edges of 64 bits, each as often.
rc::Gen<std::int64_t> integers() {
    return rc::gen::oneOf(
        rc::gen::inRange<std::int64_t>(-40, 41), rc::gen::arbitrary<std::int64_t>(),
        rc::gen::elementOf(std::vector<std::int64_t>{most, most - 1, -most, least, least + 1, 0, 1,
                                                     -1, std::int64_t(1) << 32}));
}

struct Pair {
    Number number;
    Rational rational;
};

Pair quotient(std::int64_t top, std::int64_t bottom) {
    bottom = bottom == 0 ? 1 : bottom;
    return {Number(top, bottom), Rational(top) / Rational(bottom)};
}

// Far past 64 bits, when the integers are large.
Pair cubed(const Pair& a) {
    return {a.number * a.number * a.number, a.rational * a.rational * a.rational};
}

bool same(const Number& number, const Rational& rational) {
    return NumberParts::rational(number) == rational && number == NumberParts::number(rational) &&
           number.str() == rational.str() && parse_fraction(number.str()) == number;
}

void check_operations(const Pair& a, const Pair& b) {
    RC_ASSERT(same(a.number, a.rational));
    RC_ASSERT(same(-a.number, -a.rational));
    RC_ASSERT(same(a.number + b.number, a.rational + b.rational));
    RC_ASSERT(same(a.number - b.number, a.rational - b.rational));
    RC_ASSERT(same(a.number * b.number, a.rational * b.rational));
    if (b.rational != 0) {
        RC_ASSERT(same(a.number / b.number, a.rational / b.rational));
    }
    RC_ASSERT((a.number < b.number) == (a.rational < b.rational));
    RC_ASSERT((a.number == b.number) == (a.rational == b.rational));
    RC_ASSERT(a.number.whole() == (boost::multiprecision::denominator(a.rational) == 1));
    const Number floor = a.number.floor();
    const Rational rest = a.rational - NumberParts::rational(floor);
    RC_ASSERT(floor.whole());
    RC_ASSERT(rest >= 0);
    RC_ASSERT(rest < 1);
}

}  // namespace

TEST_CASE("number: its operations are those of Boost's rationals") {
    const auto four = rc::gen::tuple(integers(), integers(), integers(), integers());
    CHECK(oracle::check_property(four, 2000, oracle::first_seed(), [](const auto& drawn) {
        const Pair a = quotient(std::get<0>(drawn), std::get<1>(drawn));
        const Pair b = quotient(std::get<2>(drawn), std::get<3>(drawn));
        check_operations(a, b);
        check_operations(cubed(a), b);
        check_operations(cubed(a), cubed(b));
    }));
}

TEST_CASE("number: the edges of 64 bits") {
    CHECK(Number(least).str() == "-9223372036854775808");
    CHECK((-Number(least)).str() == "9223372036854775808");
    CHECK((Number(most) + 1).str() == "9223372036854775808");
    CHECK(Number(most) + 1 - 1 == Number(most));
    CHECK(Number(least, least) == Number(1));
    CHECK(Number(1, most) * most == Number(1));
    CHECK((Number(1) / most / most) * most * most == Number(1));
    CHECK(Number(1, most) > Number(1, most) / 2);
    CHECK((Number(most) * 3).integer() == std::nullopt);
    CHECK(Number(7, 2).integer() == std::nullopt);
    CHECK(Number(-7, 2).floor() == Number(-4));
    CHECK((Number(-most) * most / 2).floor() < 0);
}

TEST_CASE("number: nothing divides by zero") {
    CHECK_THROWS_AS(Number(1, 0), std::overflow_error);
    CHECK_THROWS_AS(Number(1) / Number(0), std::overflow_error);
}

TEST_CASE("number: what is no fraction") {
    for (const char* text : {"", "-", "1/", "/2", "1/0", "1.5", "01", "1/02", "--1", "1/-2"}) {
        CAPTURE(text);
        CHECK_FALSE(parse_fraction(text));
    }
}
