// The sentences, conditions and formulas of a world, and the figures in them.

#include "oracle/world_builder.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>

namespace oracle {

const Texts world_lengths{"6 ft", "4 ft", "10 ft", "72 in", "1.8288 m", "48 in", "3.048 m", "0 ft"};
const Texts world_days{"2010-01-01", "2005-06-30", "2015-03-01", "2010-01-02"};

namespace {

const Texts forces{"900 lbf", "1,800 lbf", "8 kN"};
const Texts times{"5 min", "300 s", "6 min"};
const Texts ratios{"2", "0.5", "3"};
const Texts counts{"2", "1", "3"};

const Texts& figures_of(const std::string& type) {
    return type == "length"  ? world_lengths
           : type == "force" ? forces
           : type == "time"  ? times
           : type == "ratio" ? ratios
                             : counts;
}

}  // namespace

std::vector<Named> of_type(const std::vector<Named>& names, const std::string& type) {
    std::vector<Named> some;
    std::copy_if(names.begin(), names.end(), std::back_inserter(some),
                 [&](const Named& named) { return named.type == type; });
    return some;
}

/// A formula of kind length that rises and falls in straight lines.
std::string WorldBuilder::linear(Draw& draw, const std::vector<Named>& names, int depth) {
    const auto measured = of_type(names, "length");
    const auto counted = of_type(names, "count");
    std::vector<Named> usable;
    std::copy_if(measured.begin(), measured.end(), std::back_inserter(usable),
                 [](const Named& named) { return named.linear; });
    const std::size_t way = draw.pick(depth == 0 ? 3 : 9);
    if (way == 1 || usable.empty()) {
        return draw.from(world_lengths);
    }
    if (way == 2 && !counted.empty()) {
        return fmt::format("{} * {}", draw.from(counted).name, draw.from(world_lengths));
    }
    if (way <= 2) {
        return draw.from(usable).name;
    }
    const std::string left = linear(draw, names, depth - 1);
    const std::string right = linear(draw, names, depth - 1);
    switch (way) {
    case 3:
        return fmt::format("({} + {})", left, right);
    case 4:
        return fmt::format("({} - {})", left, right);
    case 5:
        return fmt::format("min({}, {})", left, right);
    case 6:
        return fmt::format("max({}, {})", left, right);
    case 7:
        return fmt::format("{} * {}", left, draw.from(ratios));
    default:
        return fmt::format("{} / {}", left, draw.from(ratios));
    }
}

std::string WorldBuilder::formula(Draw& draw, const std::vector<Named>& names, bool& straight) {
    const auto measured = of_type(facts_, "length");
    const auto counted = of_type(facts_, "count");
    const std::size_t way = draw.pick(10);
    if (way >= 6 && !measured.empty()) {
        straight = false;
        const std::string length = draw.from(measured).name;
        switch (way) {
        case 6:
            return fmt::format("sqrt({} * {})", length, draw.from(world_lengths));
        case 7:
            return fmt::format("sqrt({0} * {0})", length);
        case 8:
            return fmt::format("{} * {} / {}", draw.from(world_lengths), draw.from(world_lengths),
                               length);
        default:
            return counted.empty()
                       ? length
                       : fmt::format("{} / {}", draw.from(world_lengths), draw.from(counted).name);
        }
    }
    return linear(draw, names, 2);
}

std::string WorldBuilder::sentence(Draw& draw, const std::vector<Named>& known) {
    static const Texts orders{"is more than", "is at least", "is at most", "is less than",
                              "is exactly"};
    static const Texts dates{"is on or after", "is before", "is on or before", "is after", "is on"};
    const Named named = draw.from(known);
    if (named.type == "condition" || named.type == "yes-no") {
        const std::size_t way = draw.pick(named.type == "yes-no" ? 5 : 2);
        static const Texts forms{"{}", "not {}", "{} is no", "{} is not yes", "{} is yes"};
        return fmt::format(fmt::runtime(forms[way]), named.name);
    }
    if (named.type == "choice") {
        const bool one = !draw.one_in(3);
        const std::string verb = draw.one_in(3) ? "is not" : "is";
        const std::string& value = draw.from(named.values);
        const std::string& other = draw.from(named.values);
        return one || value == other
                   ? fmt::format("{} {} {}", named.name, verb, value)
                   : fmt::format("{} {} one of [{}, {}]", named.name, verb, value, other);
    }
    if (named.type == "date") {
        return fmt::format("{} {} {}", named.name, draw.from(dates), draw.from(world_days));
    }
    const std::string order = draw.from(orders);
    if (named.linear && draw.one_in(5)) {
        for (const Named& other : of_type(known, named.type)) {
            if (other.linear && other.name != named.name) {
                return fmt::format("{} {} {}", named.name, order, other.name);
            }
        }
    }
    return fmt::format("{} {} {}", named.name, order, draw.from(figures_of(named.type)));
}

std::string WorldBuilder::condition(Draw& draw, const std::vector<Named>& known, int depth) {
    static const Texts lists{"all-of", "any-of", "none-of"};
    if (depth == 0 || draw.pick(3) == 0) {
        return fmt::format("'{}'", sentence(draw, known));
    }
    const std::string list = draw.from(lists);
    Texts parts;
    for (std::size_t i = 1 + draw.pick(3); i > 0; --i) {
        parts.push_back(condition(draw, known, depth - 1));
    }
    return fmt::format("{{{}: [{}]}}", list, fmt::join(parts, ", "));
}

}  // namespace oracle
