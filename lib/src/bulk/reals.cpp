// Entry points: shortest_decimal, real_reader.
#include "bulk/reals.hpp"

#include <array>
#include <bit>
#include <charconv>
#include <cmath>
#include <cstdlib>
#include <limits>
#include <numeric>
#include <string>

namespace toprail::bulk {
namespace {

/// The least number of 31 digits, which nobody could write down as a fact (parse_number).
constexpr double too_long_to_read = 1e30;

// Doubles in their order as whole numbers: neighbours differ by one.
std::int64_t key_of(double value) {
    const auto bits = std::bit_cast<std::int64_t>(value);
    return bits >= 0 ? bits : std::numeric_limits<std::int64_t>::min() - bits;
}

double of_key(std::int64_t key) {
    return std::bit_cast<double>(key >= 0 ? key : std::numeric_limits<std::int64_t>::min() - key);
}

double rounded(const Number& value) {
    bool exact = true;
    return std::strtod(decimal(value, 20, exact).c_str(), nullptr);
}

// The least double past the cut, infinity when there is none. It lies beside the rounded cut,
// unless that is so small that the rounding lost it: so the steps grow before they shrink.
double first_past(const Cut& cut, const Number& scale) {
    const std::int64_t lowest = key_of(std::numeric_limits<double>::lowest());
    const std::int64_t highest = key_of(std::numeric_limits<double>::max());
    const auto past = [&](std::int64_t key) {
        const Number value = shortest_decimal(of_key(key)) * scale;
        return cut.above ? value > cut.at : value >= cut.at;
    };
    if (!past(highest)) {
        return std::numeric_limits<double>::infinity();
    }
    if (past(lowest)) {
        return std::numeric_limits<double>::lowest();
    }
    std::int64_t short_of = lowest;
    std::int64_t beyond = highest;
    const double near = rounded(cut.at / scale);
    const std::int64_t middle =
        std::isfinite(near) ? std::min(std::max(key_of(near), lowest), highest) : 0;
    const bool up = !past(middle);
    (up ? short_of : beyond) = middle;
    for (std::int64_t step = 1; step < std::numeric_limits<std::int64_t>::max() / 4; step *= 2) {
        if (up ? middle >= highest - step : middle <= lowest + step) {
            break;
        }
        const std::int64_t at = up ? middle + step : middle - step;
        const bool is_past = past(at);
        (is_past ? beyond : short_of) = at;
        if (is_past == up) {
            break;
        }
    }
    while (short_of + 1 < beyond) {
        const std::int64_t at = std::midpoint(short_of, beyond);
        (past(at) ? beyond : short_of) = at;
    }
    return of_key(beyond);
}

}  // namespace

Number shortest_decimal(double value) {
    std::array<char, 64> text{};
    const char* const end =
        std::to_chars(text.data(), text.data() + text.size(), value, std::chars_format::scientific)
            .ptr;
    std::int64_t digits = 0;
    int exponent = 0;
    bool fraction = false;
    for (const char* at = text.data(); at != end; ++at) {
        if (*at >= '0' && *at <= '9') {
            digits = digits * 10 + (*at - '0');  // seventeen digits at most
            exponent -= fraction ? 1 : 0;
        } else if (*at == '.') {
            fraction = true;
        } else if (*at == 'e') {
            exponent += std::atoi(at + 1);
            break;
        }
    }
    Number power(1);
    Number square(10);
    for (int left = std::abs(exponent); left > 0; left /= 2) {
        if (left % 2 != 0) {
            power *= square;
        }
        square *= square;
    }
    const Number plain(std::signbit(value) ? -digits : digits);
    return exponent < 0 ? plain / power : plain * power;
}

bool RealReader::usable(double value) const {
    return value >= least && value < beyond && (!whole || value == std::floor(value));
}

RealReader real_reader(const Fact& fact, const FactClasses& classes, const Number& scale) {
    RealReader reader;
    reader.scale = scale;
    for (const Cut& cut : classes.cuts()) {
        reader.starts.push_back(first_past(cut, scale));
    }
    reader.least = fact.from ? first_past({fact.from->base, false}, scale)
                             : std::nextafter(-too_long_to_read, 0.0);
    reader.beyond = fact.to ? first_past({fact.to->base, true}, scale) : too_long_to_read;
    reader.whole = fact.type == FactType::count;
    return reader;
}

}  // namespace toprail::bulk
