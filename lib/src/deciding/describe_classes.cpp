// Entry point: describe_classes.
#include "deciding/knowledge.hpp"

namespace toprail {
namespace {

std::string value_name(const Fact& fact, std::uint32_t value) {
    return fact.type == FactType::yes_no ? (value == 1 ? "yes" : "no") : fact.values[value];
}

std::string describe_values(const Fact& fact, const Variable& variable,
                            const std::vector<bool>& chosen) {
    std::vector<std::string> names;
    for (std::size_t i = 0; i < chosen.size(); ++i) {
        if (chosen[i]) {
            for (const std::uint32_t value : variable.classes[i].values) {
                names.push_back(value_name(fact, value));
            }
        }
    }
    if (names.size() == 1) {
        return fact.name + " is " + names.front();
    }
    std::string list;
    for (const std::string& name : names) {
        list += (list.empty() ? "" : ", ") + name;
    }
    return fact.name + " is one of [" + list + "]";
}

std::string describe_days(const Fact& fact, const FactClass& first, const FactClass& last,
                          bool from_start, bool to_end) {
    const std::string from = Date::from_days(first.first_day).text();
    const std::string until = Date::from_days(last.last_day).text();
    if (from_start && to_end) {
        return fact.name + " is any day";
    }
    if (from_start) {
        return fact.name + " is on or before " + until;
    }
    return to_end ? fact.name + " is on or after " + from
                  : fact.name + " is from " + from + " to " + until;
}

std::string figure(const Fact& fact, const Number& value) {
    const Unit* unit = find_unit(fact.unit);
    if (unit != nullptr) {
        return show_in_unit(value, *unit);
    }
    bool exact = true;
    return tell_number(value, 2, exact);
}

// Whether the class is a single threshold rather than a gap between two.
bool is_point(const Variable& variable, std::size_t at, const Fact& fact) {
    const Number& sample = variable.classes[at].sample;
    const auto same = [&sample](const std::optional<Figure>& f) { return f && f->base == sample; };
    for (const Number& turn : variable.turns) {
        if (turn == sample) {
            return true;
        }
    }
    return same(fact.from) || same(fact.to);
}

std::string describe_numbers(const Fact& fact, const Variable& variable, std::size_t first,
                             std::size_t last, std::size_t count) {
    if (first == last && is_point(variable, first, fact)) {
        return fact.name + " is exactly " + figure(fact, variable.classes[first].sample);
    }
    std::string low;
    std::string high;
    if (first > 0) {
        low = is_point(variable, first, fact)
                  ? "at least " + figure(fact, variable.classes[first].sample)
                  : "more than " + figure(fact, variable.classes[first - 1].sample);
    }
    if (last + 1 < count) {
        high = is_point(variable, last, fact)
                   ? "at most " + figure(fact, variable.classes[last].sample)
                   : "less than " + figure(fact, variable.classes[last + 1].sample);
    }
    if (low.empty() && high.empty()) {
        return fact.name + " is any figure";
    }
    return fact.name + " is " + low + (low.empty() || high.empty() ? "" : " and ") + high;
}

}  // namespace

std::string describe_classes(const Model& model, const Variable& variable,
                             const std::vector<bool>& chosen) {
    if (!variable.fact.valid()) {
        std::string names;
        for (const FactId fact : variable.facts) {
            names += (names.empty() ? "" : ", ") + model[fact].name;
        }
        std::string way;
        const char* const ways[] = {"below", "equal", "above", "not to apply"};
        for (std::size_t i = 0; i < chosen.size(); ++i) {
            if (chosen[i]) {
                way += (way.empty() ? "" : " or ") + std::string(ways[i]);
            }
        }
        return "a comparison of " + names + " comes out " + way;
    }
    const Fact& fact = model[variable.fact];
    if (fact.type == FactType::choice || fact.type == FactType::yes_no) {
        std::vector<bool> given = chosen;
        std::string text;
        if (variable.classes.back().absent && given.back()) {
            given.back() = false;
            text = fact.name + " does not apply";
        }
        bool any = false;
        for (const bool c : given) {
            any = any || c;
        }
        return any ? describe_values(fact, variable, given) + (text.empty() ? "" : " or " + text)
                   : text;
    }
    // Measured facts and dates: runs of neighbouring classes.
    const std::size_t count = chosen.size() - (variable.classes.back().absent ? 1 : 0);
    std::string text;
    const auto add = [&text](const std::string& part) {
        text += (text.empty() ? "" : " or ") + part;
    };
    for (std::size_t i = 0; i < count; ++i) {
        if (!chosen[i]) {
            continue;
        }
        std::size_t last = i;
        while (last + 1 < count && chosen[last + 1]) {
            ++last;
        }
        add(fact.type == FactType::date
                ? describe_days(fact, variable.classes[i], variable.classes[last], i == 0,
                                last + 1 == count)
                : describe_numbers(fact, variable, i, last, count));
        i = last;
    }
    if (count < chosen.size() && chosen.back()) {
        add(fact.name + " does not apply");
    }
    return text;
}

}  // namespace toprail
