#include "quantity/number.hpp"

#include <doctest/doctest.h>

using namespace toprail;

namespace {

std::string shown(const Number& value, unsigned places) {
    bool exact = true;
    const std::string text = decimal(value, places, exact);
    return exact ? text : "about " + text;
}

}  // namespace

TEST_CASE("number: what is a number") {
    CHECK(parse_number("12") == Number(12));
    CHECK(parse_number("-3.5") == Number(-7, 2));
    CHECK(parse_number(".5") == Number(1, 2));
    CHECK(parse_number("1,800") == Number(1800));
    CHECK(parse_number("1,234,567.25") == Number(4938269, 4));
    CHECK(parse_number("007") == Number(7));
    CHECK(parse_number("-0") == Number(0));
}

TEST_CASE("number: what is none") {
    for (const char* text : {"",
                             "-",
                             ".",
                             "5.",
                             "1,00",
                             "1,0000",
                             "0,500",
                             "00,500",
                             "-0,022",
                             "000,121",
                             ",100",
                             "1,",
                             "12,34,567",
                             "1.2.3",
                             "1e5",
                             "0x10",
                             "five",
                             "--1",
                             "+1",
                             " 1",
                             "1 ",
                             "1_000",
                             "\xE2\x88\x92"
                             "1"}) {
        CAPTURE(text);
        CHECK_FALSE(parse_number(text));
    }
}

TEST_CASE("number: thirty digits are read, one more is refused") {
    const std::string thirty(30, '9');
    CHECK(parse_number(thirty));
    CHECK_FALSE(parse_number(thirty + "9"));
    CHECK_FALSE(parse_number("0." + std::string(31, '1')));
}

TEST_CASE("number: decimal text") {
    CHECK(shown(Number(0), 2) == "0");
    CHECK(shown(Number(10), 2) == "10");
    CHECK(shown(Number(7, 2), 2) == "3.5");
    CHECK(shown(Number(-7, 2), 2) == "-3.5");
    CHECK(shown(Number(1, 100), 2) == "0.01");
    CHECK(shown(Number(1, 3), 2) == "about 0.33");
    CHECK(shown(Number(2, 3), 2) == "about 0.67");
    CHECK(shown(Number(1, 200), 2) == "about 0.01");
    CHECK(shown(Number(-1, 200), 2) == "about -0.01");
    CHECK(shown(Number(-1, 1000), 2) == "about 0");
    CHECK(shown(Number(1999, 1000), 2) == "about 2");
    CHECK(shown(Number(5, 2), 0) == "about 3");
    CHECK(shown(Number(100), 0) == "100");
}

TEST_CASE("number: people are told no more than forty digits") {
    const auto told = [](const Number& value) {
        bool exact = true;
        const std::string text = tell_number(value, 2, exact);
        return exact ? text : "about " + text;
    };
    Number ten_to_39(1);
    for (int i = 0; i < 39; ++i) {
        ten_to_39 *= 10;
    }
    CHECK(told(ten_to_39) == "1" + std::string(39, '0'));
    CHECK(told(ten_to_39 * 1000) == "over 10^41");
    CHECK(told(ten_to_39 * -1000) == "below -10^41");
    CHECK(told(1 / ten_to_39) == "about 0");
    CHECK(told(ten_to_39 * ten_to_39 / (ten_to_39 - 1)).size() > 40);
    CHECK(told(Number(-7, 2)) == "-3.5");
    CHECK(told(Number(0)) == "0");
    // Every digit, for those who calculate on with them.
    bool exact = false;
    CHECK(decimal(ten_to_39 * 1000, 2, exact) == "1" + std::string(42, '0'));
    CHECK(exact);
}

TEST_CASE("number: a rational root is exact") {
    for (const Number& root :
         {Number(0), Number(1), Number(29), Number(5, 3), Number(3048, 10000)}) {
        const RootBracket bracket = square_root(root * root);
        CHECK(bracket.low == root);
        CHECK(bracket.high == root);
    }
}

TEST_CASE("number: an irrational root lies in a narrow bracket") {
    const Number width = Number(1, std::int64_t(1) << 48) / (std::int64_t(1) << 48);
    for (const Number& value :
         {Number(2), Number(1, 2), Number(3, 7), Number(1000001), Number(1, 1000000007)}) {
        const RootBracket bracket = square_root(value);
        CHECK(bracket.low < bracket.high);
        CHECK(bracket.low * bracket.low < value);
        CHECK(bracket.high * bracket.high > value);
        CHECK(bracket.high - bracket.low <= width);
    }
}
