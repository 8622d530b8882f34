// Entry point: Oracle::decide.

#include "oracle/oracle.hpp"

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

/// Every way in which the facts may be filled in, counted like the digits of a number.
struct Fillings {
    std::vector<std::string> names;
    std::vector<std::vector<Value>> values;
    std::vector<Outcomes> outcomes;

    /// The facts of which two values, all else equal, lead to different things.
    template <typename Look>
    [[nodiscard]] std::set<std::string> settling(Look look) const {
        std::set<std::string> facts;
        std::size_t stride = 1;
        for (std::size_t fact = 0; fact < names.size(); ++fact) {
            const std::size_t choices = values[fact].size();
            for (std::size_t at = 0; at < outcomes.size(); ++at) {
                const bool last_value = (at / stride) % choices == choices - 1;
                // Neighbouring values are enough: two that differ have a step between them.
                // Fillings without an answer are stepped over.
                if (last_value || outcomes[at].before_first_edition) {
                    continue;
                }
                std::size_t next = at + stride;
                const std::size_t end = at - at % (stride * choices) + stride * choices;
                while (next < end && outcomes[next].before_first_edition) {
                    next += stride;
                }
                if (next < end && look(outcomes[at]) != look(outcomes[next])) {
                    facts.insert(names[fact]);
                    break;
                }
            }
            stride *= choices;
        }
        return facts;
    }
};

class Tally {
  public:
    void see(bool yes) { (yes ? yes_ : no_) = true; }
    [[nodiscard]] Perhaps perhaps() const {
        return yes_ ? (no_ ? Perhaps::possibly : Perhaps::yes) : Perhaps::no;
    }

  private:
    bool yes_ = false;
    bool no_ = false;
};

std::vector<const Outcomes*> answered(const Fillings& fillings) {
    std::vector<const Outcomes*> list;
    for (const Outcomes& outcomes : fillings.outcomes) {
        if (!outcomes.before_first_edition) {
            list.push_back(&outcomes);
        }
    }
    return list;
}

void add_duty(const std::string& duty, const Fillings& fillings, Answer& answer) {
    DutyAnswer& into = answer.duties[duty];
    Tally contested;
    for (const Outcomes* outcomes : answered(fillings)) {
        into.possible.insert(outcomes->duties.at(duty));
        contested.see(outcomes->contested.count(duty) != 0);
    }
    into.contested = contested.perhaps();
    into.settled_by =
        fillings.settling([&](const Outcomes& outcomes) { return outcomes.duties.at(duty); });
}

void add_choice(const std::string& choice, const std::vector<std::string>& values,
                const Fillings& fillings, Answer& answer) {
    ChoiceAnswer& into = answer.choices[choice];
    Tally empty;
    for (const Outcomes* outcomes : answered(fillings)) {
        empty.see(outcomes->admissible.at(choice).empty());
    }
    into.empty = empty.perhaps();
    for (const std::string& value : values) {
        Tally left;
        for (const Outcomes* outcomes : answered(fillings)) {
            left.see(outcomes->admissible.at(choice).count(value) != 0);
        }
        (left.perhaps() == Perhaps::yes  ? into.admissible
         : left.perhaps() == Perhaps::no ? into.barred
                                         : into.open)
            .insert(value);
    }
    into.settled_by =
        fillings.settling([&](const Outcomes& outcomes) -> const std::set<std::string>& {
            return outcomes.admissible.at(choice);
        });
}

void add_governing(const Model& model, const Fillings& fillings, Answer& answer) {
    for (const auto& [authority, editions] : model.authorities) {
        const std::string& name = authority;
        Tally governs;
        for (const Outcomes* outcomes : answered(fillings)) {
            governs.see(outcomes->governing.count(name) != 0);
        }
        answer.governing[name] = {governs.perhaps(),
                                  fillings.settling([&](const Outcomes& outcomes) {
                                      return outcomes.governing.count(name) != 0;
                                  })};
    }
}

Status status_of(const Which& which, const std::vector<const Outcomes*>& all) {
    Tally standing;
    Tally displaced;
    for (const Outcomes* outcomes : all) {
        standing.see(outcomes->standing.count(which) != 0);
        displaced.see(outcomes->displaced.count(which) != 0);
    }
    if (standing.perhaps() == Perhaps::no) {
        return Status::falls;
    }
    if (standing.perhaps() == Perhaps::yes && displaced.perhaps() != Perhaps::possibly) {
        return displaced.perhaps() == Perhaps::yes ? Status::displaced : Status::stands;
    }
    return Status::open;
}

void add_limits(const Which& which, const std::string& quantity, bool at_most,
                const Fillings& fillings, Answer& answer) {
    Tally effective;
    for (const Outcomes* outcomes : answered(fillings)) {
        const auto found = outcomes->limits.find(quantity);
        effective.see(found != outcomes->limits.end() && found->second.count(which) != 0);
    }
    if (effective.perhaps() == Perhaps::no) {
        return;
    }
    LimitAnswer limit;
    limit.status = effective.perhaps() == Perhaps::yes ? Status::stands : Status::open;
    limit.at_most = at_most;
    answer.limits[quantity][which] = limit;
}

/// Marks the strictest of the bounds that stand in every filling, where all of them have one value.
void mark_strictest(const Fillings& fillings, Answer& answer) {
    for (auto& [quantity, bounds] : answer.limits) {
        for (const bool at_most : {true, false}) {
            std::map<Which, Measure> standing;
            bool known = true;
            for (const auto& [which, bound] : bounds) {
                if (bound.status != Status::stands || bound.at_most != at_most) {
                    continue;
                }
                std::optional<Measure> value;
                bool first = true;
                for (const Outcomes* outcomes : answered(fillings)) {
                    const auto& now = outcomes->limits.at(quantity).at(which).bound;
                    known = known && now && (first || compare(*now, *value) == 0);
                    value = now;
                    first = false;
                }
                if (value) {
                    standing[which] = *value;
                }
            }
            for (auto& [which, bound] : bounds) {
                const auto own = standing.find(which);
                bound.all_known = bound.at_most == at_most ? known : bound.all_known;
                if (own == standing.end()) {
                    continue;
                }
                bound.strictest =
                    std::all_of(standing.begin(), standing.end(), [&](const auto& other) {
                        const int order = compare(own->second, other.second);
                        return at_most ? order <= 0 : order >= 0;
                    });
            }
        }
    }
}

Answer add_up(const Model& model, const Fillings& fillings) {
    Answer answer;
    const auto all = answered(fillings);
    answer.fillings = fillings.outcomes.size();
    answer.some_before_first_edition = all.size() < fillings.outcomes.size();
    answer.all_before_first_edition = all.empty();
    if (all.empty()) {
        return answer;
    }
    for (const std::string& duty : model.duties) {
        add_duty(duty, fillings, answer);
    }
    for (const auto& [choice, values] : model.choices) {
        add_choice(choice, values, fillings, answer);
    }
    add_governing(model, fillings, answer);
    for (const auto& [authority, editions] : model.authorities) {
        for (const auto& edition : editions) {
            for (const Provision& provision : edition->provisions) {
                const Which which{authority, provision.id, edition->period.from->text()};
                answer.provisions[which] = status_of(which, all);
                if (provision.effect == Provision::Effect::limit) {
                    add_limits(which, provision.about, provision.at_most, fillings, answer);
                }
            }
        }
    }
    mark_strictest(fillings, answer);
    return answer;
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

std::string text_of(const Fact& fact, const Value& value) {
    if (!value.applies()) {
        return "does not apply";
    }
    if (value.word) {
        return *value.word;
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
    if (!exact) {
        throw Unusable("a value without an exact text");
    }
    return text;
}

}  // namespace oracle
