// Entry points: find_unit, unit_meant, how_to_measure, read_figure, show_in_unit.
#include "quantity/unit.hpp"

#include <array>
#include <utility>

namespace toprail {
namespace {

constexpr Dimension acceleration{1, 0, -2, 0};

// International yard and pound agreement of 1959: 1 yd = 0.9144 m, 1 lb = 0.45359237 kg, exactly.
// Standard gravity 9.80665 m/s2 (3rd CGPM, 1901), which defines the pound-force.
const std::vector<Unit>& table() {
    static const std::vector<Unit> units = [] {
        const Number foot(3048, 10000);
        const Number pound(45359237, 100000000);
        const Number gravity(980665, 100000);
        const Number mile = foot * 5280;
        return std::vector<Unit>{
            {"in", length_dimension, foot / 12},
            {"ft", length_dimension, foot},
            {"yd", length_dimension, foot * 3},
            {"mm", length_dimension, Number(1, 1000)},
            {"cm", length_dimension, Number(1, 100)},
            {"m", length_dimension, Number(1)},
            {"km", length_dimension, Number(1000)},
            {"lb", mass_dimension, pound},
            {"kg", mass_dimension, Number(1)},
            {"g", mass_dimension, Number(1, 1000)},
            {"lbf", force_dimension, pound * gravity},
            {"N", force_dimension, Number(1)},
            {"kN", force_dimension, Number(1000)},
            {"s", time_dimension, Number(1)},
            {"min", time_dimension, Number(60)},
            {"h", time_dimension, Number(3600)},
            {"day", time_dimension, Number(86400)},
            {"ft/s", speed_dimension, foot},
            {"ft/min", speed_dimension, foot / 60},
            {"m/s", speed_dimension, Number(1)},
            {"mph", speed_dimension, mile / 3600},
            {"km/h", speed_dimension, Number(1000, 3600)},
            {"deg", angle_dimension, Number(1)},
            {"gn", acceleration, gravity},
        };
    }();
    return units;
}

bool is_space(char c) {
    return c == ' ';
}

bool continues_word(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
}

std::string_view take_number(std::string_view& text) {
    std::size_t end = 0;
    while (end < text.size() && ((text[end] >= '0' && text[end] <= '9') || text[end] == '.' ||
                                 text[end] == ',' || (end == 0 && text[end] == '-'))) {
        ++end;
    }
    const std::string_view number = text.substr(0, end);
    text.remove_prefix(end);
    return number;
}

std::string_view take_unit(std::string_view& text) {
    std::size_t end = 0;
    while (end < text.size() && !is_space(text[end])) {
        ++end;
    }
    const std::string_view unit = text.substr(0, end);
    text.remove_prefix(end);
    return unit;
}

void skip_spaces(std::string_view& text) {
    while (!text.empty() && is_space(text.front())) {
        text.remove_prefix(1);
    }
}

FigureReading refuse(FigureTrouble trouble, std::string_view culprit) {
    return {std::nullopt, trouble, std::string(culprit)};
}

}  // namespace

const Unit* find_unit(std::string_view name) {
    for (const Unit& unit : table()) {
        if (unit.name == name) {
            return &unit;
        }
    }
    return nullptr;
}

std::size_t leading_unit(std::string_view text) {
    std::size_t longest = 0;
    for (const Unit& unit : table()) {
        const std::size_t size = unit.name.size();
        if (size > longest && text.substr(0, size) == unit.name &&
            (text.size() == size || !continues_word(text[size]))) {
            longest = size;
        }
    }
    return longest;
}

std::vector<std::string_view> units_of(Dimension dimension) {
    std::vector<std::string_view> names;
    for (const Unit& unit : table()) {
        if (unit.dimension == dimension) {
            names.push_back(unit.name);
        }
    }
    return names;
}

std::string_view unit_meant(std::string_view word) {
    static constexpr std::pair<std::string_view, std::string_view> spelled_out[] = {
        {"foot", "ft"},     {"feet", "ft"},    {"inch", "in"},     {"inches", "in"},
        {"yard", "yd"},     {"yards", "yd"},   {"metre", "m"},     {"metres", "m"},
        {"meter", "m"},     {"meters", "m"},   {"pound", "lb"},    {"pounds", "lb"},
        {"lbs", "lb"},      {"kilo", "kg"},    {"kilos", "kg"},    {"kgs", "kg"},
        {"newton", "N"},    {"newtons", "N"},  {"second", "s"},    {"seconds", "s"},
        {"sec", "s"},       {"minute", "min"}, {"minutes", "min"}, {"mins", "min"},
        {"hour", "h"},      {"hours", "h"},    {"days", "day"},    {"degree", "deg"},
        {"degrees", "deg"},
    };
    for (const auto& [spelled, unit] : spelled_out) {
        if (spelled == word) {
            return unit;
        }
    }
    return {};
}

std::string how_to_measure(Dimension dimension) {
    if (dimension == plain_number) {
        return "give a plain number, without a unit";
    }
    const std::string kind = describe(dimension);
    const std::vector<std::string_view> units = units_of(dimension);
    const bool vowel = std::string_view("aeiou").find(kind.front()) != std::string_view::npos;
    std::string text = std::string(vowel ? "give an " : "give a ") + kind;
    for (std::size_t i = 0; i < units.size(); ++i) {
        const bool last = i + 1 == units.size();
        text += i == 0 ? (last ? ", in " : ", with one of the units ") : last ? " or " : ", ";
        text += units[i];
    }
    return text;
}

FigureReading read_figure(std::string_view text) {
    const std::string_view whole = text;
    Figure figure{0, plain_number, std::string(text)};
    const Unit* before = nullptr;
    skip_spaces(text);
    while (!text.empty()) {
        const std::string_view digits = take_number(text);
        const std::optional<Number> number = parse_number(digits);
        if (!number || (before != nullptr && digits.front() == '-')) {
            return refuse(FigureTrouble::not_a_figure, whole);
        }
        skip_spaces(text);
        const std::string_view unit_name = take_unit(text);
        skip_spaces(text);
        if (unit_name.empty()) {
            if (before != nullptr) {
                return refuse(FigureTrouble::mixed_units, digits);
            }
            figure.base = *number;
            return {std::move(figure), {}, {}};
        }
        const Unit* unit = find_unit(unit_name);
        if (unit == nullptr) {
            return refuse(FigureTrouble::unknown_unit, unit_name);
        }
        if (before != nullptr && unit->dimension != figure.dimension) {
            return refuse(FigureTrouble::mixed_units, unit_name);
        }
        figure.dimension = unit->dimension;
        const Number part = *number * unit->scale;
        if (before != nullptr && unit->scale >= before->scale) {
            return refuse(FigureTrouble::parts_out_of_order, whole);
        }
        before = unit;
        // "-5 ft 6 in" means minus five and a half feet.
        figure.base += (figure.base < 0) ? Number(-part) : part;
    }
    if (before == nullptr) {
        return refuse(FigureTrouble::not_a_figure, whole);
    }
    return {std::move(figure), {}, {}};
}

std::string show_in_unit(const Number& base, const Unit& unit, unsigned places) {
    bool exact = true;
    std::string text = tell_number(base / unit.scale, places, exact);
    text += " ";
    text += unit.name;
    return exact ? text : "about " + text;
}

}  // namespace toprail
