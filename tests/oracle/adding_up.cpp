// Entry point: add_up.

#include "oracle/adding_up.hpp"

#include <algorithm>

namespace oracle {

using toprail::Outcome;
using toprail::Verdict;

namespace {

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

Status status_of(const Provision* which, const std::vector<const Outcomes*>& all) {
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

void add_limits(const Provision& provision, const Fillings& fillings, Answer& answer) {
    const std::string& quantity = provision.about;
    Tally effective;
    for (const Outcomes* outcomes : answered(fillings)) {
        const auto found = outcomes->limits.find(quantity);
        effective.see(found != outcomes->limits.end() && found->second.count(&provision) != 0);
    }
    if (effective.perhaps() == Perhaps::no) {
        return;
    }
    LimitAnswer limit;
    limit.status = effective.perhaps() == Perhaps::yes ? Status::stands : Status::open;
    limit.at_most = provision.at_most;
    limit.provision = &provision;
    answer.limits[quantity][provision.which] = limit;
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
                    const auto& now = outcomes->limits.at(quantity).at(bound.provision).bound;
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

/// Whether all that was seen was the same.
template <typename Seen>
class Same {
  public:
    void see(const Seen& seen) {
        same_ = same_ && (!first_ || *first_ == seen);
        first_ = first_ ? first_ : seen;
    }
    [[nodiscard]] bool same() const { return same_; }

  private:
    std::optional<Seen> first_;
    bool same_ = true;
};

FitAnswer duty_fit(const std::string& duty, const std::vector<const Outcomes*>& all) {
    FitAnswer answer;
    Tally lenient;
    Tally done;
    Same<Outcome> outcome;
    Same<DutyFit> plan;
    bool shown = true;
    for (const Outcomes* outcomes : all) {
        const Outcome demand = outcomes->duties.at(duty);
        const DutyFit& fit = outcomes->fit.at(duty);
        const bool asked =
            demand == Outcome::required || demand == Outcome::required_with_exception;
        lenient.see(!asked);
        done.see(fit.done == Verdict::met);
        outcome.see(demand);
        plan.see(demand == Outcome::required_with_exception ? fit : DutyFit{fit.done});
        shown = shown && fit.done != Verdict::open;
        if (!asked || fit.done != Verdict::not_met) {
            answer.reachable.insert(Verdict::met);
        }
        if (asked && fit.done != Verdict::met) {
            answer.reachable.insert(demand == Outcome::required ? Verdict::not_met : fit.terms);
        }
    }
    answer.plain = lenient.perhaps() == Perhaps::yes || done.perhaps() == Perhaps::yes ||
                   (shown && outcome.same() && plan.same());
    return answer;
}

FitAnswer choice_fit(const std::string& choice, const std::string& planned,
                     const std::vector<const Outcomes*>& all) {
    FitAnswer answer;
    for (const Outcomes* outcomes : all) {
        answer.reachable.insert(
            outcomes->admissible.at(choice).count(planned) != 0 ? Verdict::met : Verdict::not_met);
    }
    return answer;
}

FitAnswer limit_fit(const std::string& quantity, const std::vector<const Outcomes*>& all) {
    FitAnswer answer;
    Same<std::optional<Measure>> value;
    Same<std::set<const Provision*>> bounds;
    for (const Outcomes* outcomes : all) {
        const auto& measured = outcomes->measured.at(quantity);
        value.see(measured);
        const auto limits = outcomes->limits.find(quantity);
        std::set<const Provision*> standing;
        bool held = true;
        if (limits != outcomes->limits.end()) {
            for (const auto& [provision, limit] : limits->second) {
                standing.insert(provision);
                const int order = measured && limit.bound ? compare(*measured, *limit.bound) : 0;
                held = held && limit.bound && (limit.at_most ? order <= 0 : order >= 0);
            }
        }
        bounds.see(standing);
        if (measured) {
            answer.reachable.insert(held ? Verdict::met : Verdict::not_met);
        }
    }
    answer.plain = value.same() && bounds.same();
    return answer;
}

void add_fit(const Model& model, const Fillings& fillings, Answer& answer) {
    const auto all = answered(fillings);
    for (const std::string& duty : model.duties) {
        answer.fit["duty"][duty] = duty_fit(duty, all);
    }
    for (const auto& [quantity, scope] : model.limited) {
        answer.fit["limit"][quantity] = limit_fit(quantity, all);
    }
    for (std::size_t fact = 0; fact < fillings.names.size(); ++fact) {
        const std::string& name = fillings.names[fact];
        const auto& values = fillings.values[fact];
        const bool planned = values.size() == 1 && values.front().word;
        if (answer.choices.count(name) != 0 &&
            (planned || answer.choices.at(name).empty == Perhaps::yes)) {
            answer.fit["choice"][name] =
                choice_fit(name, planned ? *values.front().word : std::string(), all);
        }
    }
}

}  // namespace

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
                answer.provisions[provision.which] = status_of(&provision, all);
                if (provision.effect == Provision::Effect::limit) {
                    add_limits(provision, fillings, answer);
                }
            }
        }
    }
    mark_strictest(fillings, answer);
    add_fit(model, fillings, answer);
    return answer;
}

}  // namespace oracle
