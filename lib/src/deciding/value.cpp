// Entry points: combine, root, compare.
#include "deciding/value.hpp"

#include <algorithm>
#include <iterator>

namespace toprail {
namespace {

using Form = Value::Kind;
using Bound = std::optional<Number>;

struct Bounds {
    Bound low;
    Bound high;
};

Bounds bounds(const Value& v) {
    return v.kind == Form::number ? Bounds{v.low, v.high} : Bounds{v.at_least, v.at_most};
}

bool exact(const Value& v) {
    return v.kind == Form::number && v.low == v.high;
}

Bound plus(const Bound& a, const Bound& b) {
    return a && b ? Bound(*a + *b) : std::nullopt;
}
Bound minus(const Bound& a, const Bound& b) {
    return a && b ? Bound(*a - *b) : std::nullopt;
}

Bounds product(const Bounds& a, const Bounds& b) {
    if (!a.low || !a.high || !b.low || !b.high) {
        // Factors that are never negative still give a product that is not.
        const bool both_positive = a.low && b.low && *a.low >= 0 && *b.low >= 0;
        return both_positive ? Bounds{Number(*a.low * *b.low), std::nullopt} : Bounds{};
    }
    const Number corners[] = {*a.low * *b.low, *a.low * *b.high, *a.high * *b.low,
                              *a.high * *b.high};
    return {*std::min_element(std::begin(corners), std::end(corners)),
            *std::max_element(std::begin(corners), std::end(corners))};
}

bool crosses_zero(const Bounds& b) {
    return !b.low || !b.high || (*b.low <= 0 && *b.high >= 0);
}

Bounds quotient(const Bounds& a, const Bounds& b) {
    if (crosses_zero(b)) {
        return {};
    }
    return product(a, {Number(1 / *b.high), Number(1 / *b.low)});
}

Value open(const Bounds& within, std::vector<FactId> facts, bool may_vanish) {
    Value value;
    value.may_vanish = may_vanish;
    value.kind = Form::open;
    value.at_least = within.low;
    value.at_most = within.high;
    value.facts = std::move(facts);
    return value;
}

Bounds combine_bounds(Operation operation, const Bounds& a, const Bounds& b) {
    switch (operation) {
    case Operation::add:
        return {plus(a.low, b.low), plus(a.high, b.high)};
    case Operation::subtract:
        return {minus(a.low, b.high), minus(a.high, b.low)};
    case Operation::multiply:
        return product(a, b);
    case Operation::divide:
        return quotient(a, b);
    default:
        return {};
    }
}

// slope * fact + offset. Without a slope the figure is settled, but whether it applies still hangs
// on the fact.
Value line(FactId fact, Number slope, Number offset, const Bounds& within) {
    Value value;
    value.kind = Form::line;
    value.fact = fact;
    const bool level = slope == 0;
    value.at_least = level ? Bound(offset) : within.low;
    value.at_most = level ? Bound(offset) : within.high;
    value.slope = std::move(slope);
    value.offset = std::move(offset);
    return value;
}

// A line or exact number as slope and offset.
Number slope_of(const Value& v) {
    return v.kind == Form::line ? v.slope : Number(0);
}
Number offset_of(const Value& v) {
    return v.kind == Form::line ? v.offset : v.low;
}

std::optional<Value> combine_lines(Operation operation, const Value& a, const Value& b,
                                   const Bounds& within) {
    const bool straight = (a.kind == Form::line || exact(a)) && (b.kind == Form::line || exact(b));
    const bool one_fact = a.kind != Form::line || b.kind != Form::line || a.fact == b.fact;
    if (!straight || !one_fact) {
        return std::nullopt;
    }
    const FactId fact = a.kind == Form::line ? a.fact : b.fact;
    switch (operation) {
    case Operation::add:
        return line(fact, slope_of(a) + slope_of(b), offset_of(a) + offset_of(b), within);
    case Operation::subtract:
        return line(fact, slope_of(a) - slope_of(b), offset_of(a) - offset_of(b), within);
    case Operation::multiply:
        if (a.kind == Form::line && b.kind == Form::line) {
            return std::nullopt;
        }
        if (a.kind == Form::line) {
            return line(fact, a.slope * b.low, a.offset * b.low, within);
        }
        return line(fact, b.slope * a.low, b.offset * a.low, within);
    case Operation::divide:
        if (b.kind == Form::line) {
            return std::nullopt;
        }
        return line(fact, a.slope / b.low, a.offset / b.low, within);
    default:
        return std::nullopt;
    }
}

}  // namespace

Value Value::number(Number value) {
    Number high = value;
    return bracket(std::move(value), std::move(high));
}

Value Value::bracket(Number low, Number high) {
    Value v;
    v.kind = Form::number;
    v.low = std::move(low);
    v.high = std::move(high);
    return v;
}

Value Value::unknown(FactId fact, std::optional<Number> at_least, std::optional<Number> at_most) {
    return line(fact, 1, 0, {std::move(at_least), std::move(at_most)});
}

namespace {

// Figures of thirty digits, multiplied a hundred times over, stay below it. A chain of quantities
// that square each other would otherwise double its digits at every link.
constexpr std::size_t most_bits = 16'384;

// A value whose numbers have grown beyond all sense is one of which nothing is known: whatever
// rests on it stays open.
Value within_size(Value value) {
    const auto large = [](const Number& number) { return number.bits() > most_bits; };
    const auto large_bound = [&large](const Bound& bound) { return bound && large(*bound); };
    if (large(value.low) || large(value.high) || large(value.slope) || large(value.offset) ||
        large_bound(value.at_least) || large_bound(value.at_most)) {
        return open({}, facts_of(value), true);
    }
    return value;
}

Value combined(Operation operation, const Value& a, const Value& b) {
    if (a.kind == Form::absent || b.kind == Form::absent) {
        return Value::absent();
    }
    if (operation == Operation::divide && exact(b) && b.low == 0) {
        return Value::absent();
    }
    const Bounds within = combine_bounds(operation, bounds(a), bounds(b));
    if (a.kind == Form::number && b.kind == Form::number) {
        if (within.low && within.high) {
            return Value::bracket(*within.low, *within.high);
        }
        return open(within, {}, true);
    }
    if (auto straight = combine_lines(operation, a, b, within)) {
        return std::move(*straight);
    }
    const bool by_zero = operation == Operation::divide && crosses_zero(bounds(b));
    return open(within, merge(facts_of(a), facts_of(b)), a.may_vanish || b.may_vanish || by_zero);
}

}  // namespace

Value combine(Operation operation, const Value& a, const Value& b) {
    return within_size(combined(operation, a, b));
}

Value root(const Value& a) {
    if (a.kind == Form::absent || (a.kind == Form::number && a.high < 0)) {
        return Value::absent();
    }
    const Bounds inner = bounds(a);
    if (!inner.low || *inner.low < 0) {
        return open({}, facts_of(a), true);
    }
    Bounds within{square_root(*inner.low).low, std::nullopt};
    if (inner.high) {
        within.high = square_root(*inner.high).high;
    }
    return a.kind == Form::number ? Value::bracket(*within.low, *within.high)
                                  : open(within, facts_of(a), a.may_vanish);
}

Value either_of(Operation operation, const Value& a, const Value& b) {
    const Bounds x = bounds(a);
    const Bounds y = bounds(b);
    Bounds within;
    if (operation == Operation::minimum) {
        if (x.low && y.low) {
            within.low = std::min(*x.low, *y.low);
        }
        within.high =
            x.high && y.high ? Bound(std::min(*x.high, *y.high)) : (x.high ? x.high : y.high);
    } else {
        if (x.high && y.high) {
            within.high = std::max(*x.high, *y.high);
        }
        within.low = x.low && y.low ? Bound(std::max(*x.low, *y.low)) : (x.low ? x.low : y.low);
    }
    return open(within, merge(facts_of(a), facts_of(b)), a.may_vanish || b.may_vanish);
}

bool holds(Verb verb, const Number& number) {
    switch (verb) {
    case Verb::more_than:
        return number > 0;
    case Verb::at_least:
        return number >= 0;
    case Verb::at_most:
        return number <= 0;
    case Verb::less_than:
        return number < 0;
    default:
        return number == 0;
    }
}

std::optional<bool> compare(Verb verb, const Value& a, const Value& b) {
    if (a.kind == Form::absent || b.kind == Form::absent) {
        return false;
    }
    const Value difference = combine(Operation::subtract, a, b);
    const Bounds within = bounds(difference);
    if (within.low && within.high && *within.low == *within.high) {
        return holds(verb, *within.low);
    }
    const bool above = within.low && *within.low > 0;
    const bool not_below = within.low && *within.low >= 0;
    const bool below = within.high && *within.high < 0;
    const bool not_above = within.high && *within.high <= 0;
    switch (verb) {
    case Verb::more_than:
        return above ? std::optional(true) : not_above ? std::optional(false) : std::nullopt;
    case Verb::at_least:
        return not_below ? std::optional(true) : below ? std::optional(false) : std::nullopt;
    case Verb::at_most:
        return not_above ? std::optional(true) : above ? std::optional(false) : std::nullopt;
    case Verb::less_than:
        return below ? std::optional(true) : not_below ? std::optional(false) : std::nullopt;
    default:
        return above || below ? std::optional(false) : std::nullopt;
    }
}

bool is_line_against_root(const Value& line, const Value& root) {
    return line.kind == Form::line && line.slope != 0 && root.kind == Form::number &&
           root.low != root.high;
}

std::vector<FactId> facts_of(const Value& value) {
    return value.kind == Form::line ? std::vector<FactId>{value.fact} : value.facts;
}

std::vector<FactId> merge(const std::vector<FactId>& a, const std::vector<FactId>& b) {
    std::vector<FactId> all;
    std::set_union(a.begin(), a.end(), b.begin(), b.end(), std::back_inserter(all));
    return all;
}

}  // namespace toprail
