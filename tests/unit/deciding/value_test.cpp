// Values of unknown facts, held against every filling: what is known of a result holds for all of
// them, and no tighter bound would.
#include "deciding/value.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace toprail;

namespace {

using Bound = std::optional<Number>;

struct Range {
    Bound low;
    Bound high;
};

constexpr Operation arithmetic[] = {Operation::add, Operation::subtract, Operation::multiply,
                                    Operation::divide};
constexpr Verb verbs[] = {Verb::more_than, Verb::at_least, Verb::at_most, Verb::less_than,
                          Verb::exactly};

std::vector<Range> ranges() {
    const Bound ends[] = {std::nullopt, Number(-3), Number(-1), Number(0), Number(2), Number(3)};
    std::vector<Range> all;
    for (const Bound& low : ends) {
        for (const Bound& high : ends) {
            if (!low || !high || *low <= *high) {
                all.push_back({low, high});
            }
        }
    }
    return all;
}

bool bounded(const Range& range) {
    return range.low && range.high;
}

// Values of a fact within its range: both ends, and what lies between by halves.
std::vector<Number> fillings(const Range& range) {
    std::vector<Number> all;
    for (int half = -12; half <= 12; ++half) {
        const Number value(half, 2);
        if ((!range.low || value >= *range.low) && (!range.high || value <= *range.high)) {
            all.push_back(value);
        }
    }
    return all;
}

Value unknown(std::size_t fact, const Range& range) {
    return Value::unknown(FactId(fact), range.low, range.high);
}

// Empty when it does not apply.
Bound apply(Operation operation, const Number& a, const Number& b) {
    switch (operation) {
    case Operation::add:
        return a + b;
    case Operation::subtract:
        return a - b;
    case Operation::multiply:
        return a * b;
    case Operation::divide:
        return b == 0 ? Bound() : Bound(a / b);
    case Operation::minimum:
        return std::min(a, b);
    default:
        return std::max(a, b);
    }
}

bool says(Verb verb, const Number& a, const Number& b) {
    switch (verb) {
    case Verb::more_than:
        return a > b;
    case Verb::at_least:
        return a >= b;
    case Verb::at_most:
        return a <= b;
    case Verb::less_than:
        return a < b;
    default:
        return a == b;
    }
}

// Every result of two facts, and whether some filling has none.
struct Results {
    std::vector<Number> all;
    bool vanishes = false;
};

Results results(Operation operation, const Range& a, const Range& b) {
    Results results;
    for (const Number& x : fillings(a)) {
        for (const Number& y : fillings(b)) {
            if (const Bound result = apply(operation, x, y)) {
                results.all.push_back(*result);
            } else {
                results.vanishes = true;
            }
        }
    }
    std::sort(results.all.begin(), results.all.end());
    return results;
}

void hold_bounds(const Value& value, const Results& results, bool tight) {
    REQUIRE(!results.all.empty());
    CHECK((!value.at_least || *value.at_least <= results.all.front()));
    CHECK((!value.at_most || *value.at_most >= results.all.back()));
    if (tight) {
        CHECK(value.at_least == results.all.front());
        CHECK(value.at_most == results.all.back());
    }
}

// A value that grows without end: the square of the square of ... of a number.
Value squared_often(Value value) {
    for (int i = 0; i < 20; ++i) {
        value = combine(Operation::multiply, value, value);
    }
    return value;
}

}  // namespace

TEST_CASE("value: bounds of two unknown facts put together hold for every filling, and no closer") {
    for (const Range& a : ranges()) {
        for (const Range& b : ranges()) {
            for (const Operation operation : arithmetic) {
                const Results all = results(operation, a, b);
                if (all.all.empty()) {
                    continue;  // divided by a fact that is 0 in any case
                }
                const Value value = combine(operation, unknown(0, a), unknown(1, b));
                hold_bounds(value, all, bounded(a) && bounded(b) && !all.vanishes);
                CHECK(value.kind == Value::Kind::open);
                CHECK((value.may_vanish || !all.vanishes));
                if (operation != Operation::divide || bounded(b)) {
                    CHECK(value.may_vanish == all.vanishes);
                }
                CHECK(value.facts == std::vector<FactId>{FactId(0), FactId(1)});
            }
        }
    }
}

TEST_CASE(
    "value: of two factors that are never negative the product is not, without an upper end") {
    const Value value = combine(Operation::multiply, unknown(0, {Number(2), std::nullopt}),
                                unknown(1, {Number(3), std::nullopt}));
    CHECK(value.at_least == Number(6));
    CHECK_FALSE(value.at_most);
    const Value perhaps = combine(Operation::multiply, unknown(0, {Number(-1), std::nullopt}),
                                  unknown(1, {Number(3), std::nullopt}));
    CHECK_FALSE(perhaps.at_least);
}

TEST_CASE("value: the smaller and the larger of two unknown facts") {
    for (const Range& a : ranges()) {
        for (const Range& b : ranges()) {
            for (const Operation operation : {Operation::minimum, Operation::maximum}) {
                const Value value = either_of(operation, unknown(0, a), unknown(1, b));
                hold_bounds(value, results(operation, a, b), bounded(a) && bounded(b));
                // One end is known as soon as one of the two has it.
                const bool least = operation == Operation::minimum;
                CHECK(value.at_most.has_value() == (least ? a.high || b.high : a.high && b.high));
                CHECK(value.at_least.has_value() == (least ? a.low && b.low : a.low || b.low));
            }
        }
    }
}

TEST_CASE("value: a comparison is known exactly where all fillings agree") {
    for (const Range& a : ranges()) {
        for (const Range& b : ranges()) {
            for (const Verb verb : verbs) {
                std::size_t yes = 0;
                std::size_t no = 0;
                for (const Number& x : fillings(a)) {
                    for (const Number& y : fillings(b)) {
                        (says(verb, x, y) ? yes : no) += 1;
                    }
                }
                const std::optional<bool> known = compare(verb, unknown(0, a), unknown(1, b));
                if (known) {
                    CHECK((*known ? no : yes) == 0);
                } else if (bounded(a) && bounded(b)) {
                    CHECK(yes != 0);
                    CHECK(no != 0);
                }
            }
        }
    }
}

TEST_CASE("value: whatever is done to one unknown fact with numbers is a line in it") {
    const Range range{Number(-3), Number(3)};
    const Value fact = unknown(0, range);
    for (const int n : {-2, 1, 3}) {
        const Number number(n);
        for (const Operation operation : arithmetic) {
            for (const bool fact_first : {true, false}) {
                const Value other = Value::number(number);
                const Value value =
                    fact_first ? combine(operation, fact, other) : combine(operation, other, fact);
                if (operation == Operation::divide && !fact_first) {
                    CHECK(value.kind == Value::Kind::open);
                    CHECK(value.may_vanish);
                    continue;
                }
                REQUIRE(value.kind == Value::Kind::line);
                CHECK(value.fact == FactId(0));
                for (const Number& x : fillings(range)) {
                    const Bound expected =
                        fact_first ? apply(operation, x, number) : apply(operation, number, x);
                    CHECK(value.slope * x + value.offset == expected);
                }
            }
        }
    }
}

TEST_CASE("value: two lines in one fact add up to a line, in two they do not") {
    const Value twice = combine(Operation::multiply, unknown(0, {}), Value::number(2));
    const Value up = combine(Operation::add, unknown(0, {}), Value::number(5));
    const Value sum = combine(Operation::add, twice, up);
    REQUIRE(sum.kind == Value::Kind::line);
    CHECK(sum.slope == 3);
    CHECK(sum.offset == 5);
    const Value level = combine(Operation::subtract, up, unknown(0, {}));
    REQUIRE(level.kind == Value::Kind::line);
    CHECK(level.slope == 0);
    CHECK(level.at_least == Number(5));
    CHECK(level.at_most == Number(5));
    CHECK(compare(Verb::exactly, up, combine(Operation::add, unknown(0, {}), Value::number(5))) ==
          true);
    CHECK(combine(Operation::multiply, twice, up).kind == Value::Kind::open);
    CHECK(combine(Operation::divide, twice, up).kind == Value::Kind::open);
    CHECK(combine(Operation::add, twice, unknown(1, {})).kind == Value::Kind::open);
}

TEST_CASE("value: roots") {
    CHECK(root(Value::number(9)) == Value::number(3));
    CHECK(root(Value::number(0)) == Value::number(0));
    CHECK(root(Value::number(-1)).kind == Value::Kind::absent);
    CHECK(root(Value::absent()).kind == Value::Kind::absent);
    const Value two = root(Value::number(2));
    REQUIRE(two.kind == Value::Kind::number);
    CHECK(two.low < two.high);
    CHECK(two.low * two.low < 2);
    CHECK(two.high * two.high > 2);
    // Not exact, so no line comes of it.
    CHECK(combine(Operation::multiply, unknown(0, {}), two).kind == Value::Kind::open);
    const Value within = root(unknown(0, {Number(4), Number(9)}));
    CHECK(within.kind == Value::Kind::open);
    CHECK(within.at_least == Number(2));
    CHECK(within.at_most == Number(3));
    CHECK_FALSE(within.may_vanish);
    CHECK(within.facts == std::vector<FactId>{FactId(0)});
    CHECK_FALSE(root(unknown(0, {Number(4), std::nullopt})).at_most);
    CHECK_FALSE(root(unknown(0, {Number(0), std::nullopt})).may_vanish);
    for (const Range& range : {Range{Number(-1), Number(9)}, Range{std::nullopt, Number(9)}}) {
        const Value perhaps = root(unknown(0, range));
        CHECK(perhaps.may_vanish);
        CHECK_FALSE(perhaps.at_least);
    }
}

TEST_CASE("value: what does not apply stays so, and nothing holds of it") {
    const Value one = Value::number(1);
    for (const Operation operation : arithmetic) {
        CHECK(combine(operation, Value::absent(), one).kind == Value::Kind::absent);
        CHECK(combine(operation, one, Value::absent()).kind == Value::Kind::absent);
    }
    CHECK(combine(Operation::divide, one, Value::number(0)).kind == Value::Kind::absent);
    CHECK(combine(Operation::divide, unknown(0, {}), Value::number(0)).kind == Value::Kind::absent);
    for (const Verb verb : verbs) {
        CHECK(compare(verb, Value::absent(), one) == false);
        CHECK(compare(verb, one, Value::absent()) == false);
    }
}

TEST_CASE("value: what may not apply makes what is built on it so") {
    const Value perhaps = combine(Operation::divide, Value::number(1), unknown(0, {}));
    REQUIRE(perhaps.may_vanish);
    CHECK(combine(Operation::add, perhaps, unknown(1, {})).may_vanish);
    CHECK(combine(Operation::add, unknown(1, {}), perhaps).may_vanish);
    CHECK(either_of(Operation::minimum, perhaps, unknown(1, {})).may_vanish);
    CHECK(either_of(Operation::maximum, unknown(1, {}), perhaps).may_vanish);
}

TEST_CASE("value: a number of thousands of digits counts as one that is not known") {
    const Value grown = squared_often(Value::number(3));
    CHECK(grown.kind == Value::Kind::open);
    CHECK(grown.may_vanish);
    CHECK_FALSE(grown.at_least);
    CHECK_FALSE(grown.at_most);
    CHECK(squared_often(Value::number(1)) == Value::number(1));
    // So does one that is too large on one side alone, or in one part of a line.
    CHECK(squared_often(Value::bracket(1, 3)).kind == Value::Kind::open);
    Number digits = 3;
    for (int i = 0; i < 13; ++i) {
        digits = digits * digits;  // 8,192 factors: some 13,000 bits, still within bounds
    }
    const Value large = Value::number(digits);
    const Value line = unknown(0, {});
    const Value steep = combine(Operation::multiply, line, large);
    CHECK(steep.kind == Value::Kind::line);
    CHECK(combine(Operation::multiply, steep, large).kind == Value::Kind::open);
    const Value level = combine(Operation::add, combine(Operation::divide, line, large), large);
    CHECK(level.kind == Value::Kind::line);
    CHECK(combine(Operation::multiply, level, large).kind == Value::Kind::open);
    // So does a bound of one.
    const Value range = squared_often(unknown(0, {Number(2), Number(3)}));
    CHECK_FALSE(range.at_most);
    CHECK(range.may_vanish);
    CHECK(range.facts == std::vector<FactId>{FactId(0)});
}
