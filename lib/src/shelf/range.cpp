// Entry points: arithmetic on Range.
#include "shelf/range.hpp"

#include <algorithm>
#include <vector>

namespace toprail {
namespace {

using End = std::optional<Number>;

// Numbers of more digits than any figure needs count as no end at all.
constexpr std::size_t most_bits = 2'048;

Range within_size(Range range) {
    for (End* end : {&range.low, &range.high}) {
        if (*end && (*end)->bits() > most_bits) {
            end->reset();
        }
    }
    return range;
}

End sum(const End& a, const End& b) {
    return a && b ? End(*a + *b) : std::nullopt;
}

End difference(const End& a, const End& b) {
    return a && b ? End(*a - *b) : std::nullopt;
}

bool not_negative(const Range& a) {
    return a.low && *a.low >= 0;
}

}  // namespace

Range operator+(const Range& a, const Range& b) {
    return within_size({sum(a.low, b.low), sum(a.high, b.high)});
}

Range operator-(const Range& a, const Range& b) {
    return within_size({difference(a.low, b.high), difference(a.high, b.low)});
}

Range operator*(const Range& a, const Range& b) {
    if (a.low && a.high && b.low && b.high) {
        const std::vector<Number> corners{*a.low * *b.low, *a.low * *b.high, *a.high * *b.low,
                                          *a.high * *b.high};
        return within_size({*std::min_element(corners.begin(), corners.end()),
                            *std::max_element(corners.begin(), corners.end())});
    }
    return not_negative(a) && not_negative(b) ? within_size({*a.low * *b.low, std::nullopt})
                                              : Range{};
}

Range operator/(const Range& a, const Range& b) {
    if (b.may_be_zero()) {
        return {};
    }
    if (not_negative(a) && b.low && *b.low > 0) {
        return within_size({b.high ? End(*a.low / *b.high) : End(Number(0)),
                            a.high ? End(*a.high / *b.low) : std::nullopt});
    }
    return b.low && b.high ? a * Range{Number(1) / *b.high, Number(1) / *b.low} : Range{};
}

Range square(const Range& a) {
    Range range = a * a;
    if (a.low && *a.low > 0) {
        range.low = *a.low * *a.low;
    } else if (a.high && *a.high < 0) {
        range.low = *a.high * *a.high;
    } else {
        range.low = Number(0);
    }
    return within_size(range);
}

Range root(const Range& a) {
    Range range;
    range.low = not_negative(a) ? square_root(*a.low).low : Number(0);
    if (a.high && *a.high >= 0) {
        range.high = square_root(*a.high).high;
    }
    return range;
}

Range least(const Range& a, const Range& b) {
    Range range;
    if (a.low && b.low) {
        range.low = std::min(*a.low, *b.low);
    }
    range.high = a.high && b.high ? End(std::min(*a.high, *b.high)) : a.high ? a.high : b.high;
    return range;
}

Range greatest(const Range& a, const Range& b) {
    const Range zero{Number(0), Number(0)};
    return zero - least(zero - a, zero - b);
}

Range hull(const Range& a, const Range& b) {
    return {a.low && b.low ? End(std::min(*a.low, *b.low)) : std::nullopt,
            a.high && b.high ? End(std::max(*a.high, *b.high)) : std::nullopt};
}

Range both(const Range& a, const Range& b) {
    Range range{a.low && b.low ? End(std::max(*a.low, *b.low))
                : a.low        ? a.low
                               : b.low,
                a.high && b.high ? End(std::min(*a.high, *b.high))
                : a.high         ? a.high
                                 : b.high};
    return range.low && range.high && *range.low > *range.high ? a : range;
}

Range range_of(Verb verb, const Number& than) {
    // Smaller than anything that is measured, in base units.
    const Number a_little(1, 1'000'000'000'000);
    switch (verb) {
    case Verb::more_than:
        return {than + a_little, std::nullopt};
    case Verb::at_least:
        return {than, std::nullopt};
    case Verb::at_most:
        return {std::nullopt, than};
    case Verb::less_than:
        return {std::nullopt, than - a_little};
    case Verb::exactly:
        return {than, than};
    default:
        return {};
    }
}

}  // namespace toprail
