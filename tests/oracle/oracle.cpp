// Entry point: Oracle::decide.

#include "oracle/oracle.hpp"

#include "oracle/adding_up.hpp"
#include "oracle/breaks.hpp"
#include "quantity/unit.hpp"

#include <algorithm>

namespace oracle {

namespace {

Value read_value(const Fact& fact, const toprail::FactEntry& entry) {
    Value value;
    if (entry.state == toprail::FactState::does_not_apply) {
        return value;
    }
    if (fact.type == Type::yes_no || fact.type == Type::choice) {
        value.word = entry.text;
    } else if (fact.type == Type::date) {
        value.day = Date::parse(entry.text);
    } else {
        value.number = toprail::read_figure(entry.text).figure.value().base;
    }
    if (!value.applies()) {
        throw Unusable("no value: " + entry.text);
    }
    return value;
}

const toprail::FactEntry* known(const toprail::Facts& facts, const std::string& fact) {
    const auto* entry = facts.find(fact);
    return entry != nullptr && entry->state != toprail::FactState::not_known ? entry : nullptr;
}

Value word_value(std::string word) {
    Value value;
    value.word = std::move(word);
    return value;
}

Value number_value(Number number) {
    Value value;
    value.number = std::move(number);
    return value;
}

std::vector<Value> numbers_with_gaps(const Fact& fact, std::set<Number> points) {
    for (const auto& end : {fact.from, fact.to}) {
        if (end) {
            points.insert(*end);
        }
    }
    if (points.empty()) {
        points.insert(Number(0));
    }
    std::vector<Value> values;
    const auto offer = [&](const Number& number) {
        if ((!fact.from || *fact.from <= number) && (!fact.to || number <= *fact.to)) {
            values.push_back(number_value(number));
        }
    };
    offer(*points.begin() - 1);
    for (auto point = points.begin(); point != points.end(); ++point) {
        if (point != points.begin()) {
            offer((*std::prev(point) + *point) / 2);
        }
        offer(*point);
    }
    offer(*points.rbegin() + 1);
    return values;
}

std::vector<Value> whole_numbers(const Fact& fact) {
    std::vector<Value> values;
    for (Number number = fact.from.value(); number <= fact.to.value(); number += 1) {
        values.push_back(number_value(number));
    }
    return values;
}

std::vector<Value> days_and_neighbours(const std::set<Date>& days) {
    std::set<Date> wider{Date::from_days(0)};
    for (const Date& day : days) {
        for (const int step : {-1, 0, 1}) {
            wider.insert(Date::from_days(day.days() + step));
        }
    }
    std::vector<Value> values;
    for (const Date& day : wider) {
        values.emplace_back();
        values.back().day = day;
    }
    return values;
}

}  // namespace

std::vector<Value> Oracle::values_of(const toprail::Facts& facts, Date on,
                                     const std::string& name) const {
    const Fact& fact = model_->facts.at(name);
    if (const auto* entry = known(facts, name)) {
        return {read_value(fact, *entry)};
    }
    std::vector<Value> values;
    if (fact.type == Type::yes_no) {
        values = {word_value("no"), word_value("yes")};
    } else if (fact.type == Type::choice) {
        std::transform(fact.values.begin(), fact.values.end(), std::back_inserter(values),
                       word_value);
    } else if (fact.type == Type::date) {
        values = days_and_neighbours(model_->days);
    } else if (fact.type == Type::count) {
        values = whole_numbers(fact);
    } else {
        std::map<std::string, Value> given;
        Filling known_facts{{}, on};
        for (const auto& [other, about] : model_->facts) {
            if (const auto* entry = known(facts, other)) {
                given[other] = read_value(about, *entry);
                known_facts.facts[other] = &given[other];
            }
        }
        std::set<Number> points = breaks_of(*model_, name, known_facts);
        for (const auto& [dimension, figure] : model_->figures) {
            if (dimension == fact.dimension) {
                points.insert(figure);
            }
        }
        values = numbers_with_gaps(fact, std::move(points));
    }
    if (fact.may_not_apply) {
        values.emplace_back();
    }
    return values;
}

Answer Oracle::decide(const toprail::Facts& facts, Date on,
                      const std::set<std::string>& authorities) const {
    Fillings fillings;
    std::size_t count = 1;
    for (const auto& [name, fact] : model_->facts) {
        fillings.names.push_back(name);
        fillings.values.push_back(values_of(facts, on, name));
        count *= fillings.values.back().size();
    }
    for (std::size_t number = 0; number < count; ++number) {
        Filling filling{{}, on};
        std::size_t rest = number;
        for (std::size_t fact = 0; fact < fillings.names.size(); ++fact) {
            const auto& values = fillings.values[fact];
            filling.facts[fillings.names[fact]] = &values[rest % values.size()];
            rest /= values.size();
        }
        fillings.outcomes.push_back(decide_filling(*model_, filling, authorities));
    }
    return add_up(*model_, fillings);
}

std::optional<std::string> exact_text_of(const Fact& fact, const Value& value) {
    if (!value.applies()) {
        return "does not apply";
    }
    if (value.word) {
        return value.word;
    }
    if (value.day) {
        return value.day->text();
    }
    bool exact = true;
    static const std::vector<std::pair<toprail::Dimension, std::string>> units{
        {toprail::length_dimension, "m"},  {toprail::mass_dimension, "kg"},
        {toprail::force_dimension, "N"},   {toprail::time_dimension, "s"},
        {toprail::speed_dimension, "m/s"}, {toprail::angle_dimension, "deg"}};
    std::string text = toprail::decimal(*value.number, 20, exact);
    for (const auto& [dimension, unit] : units) {
        if (dimension == fact.dimension) {
            text += " " + unit;
        }
    }
    return exact ? std::optional(text) : std::nullopt;
}

}  // namespace oracle
