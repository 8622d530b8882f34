// Entry point: decide_filling.

#include "oracle/filling.hpp"

#include <algorithm>

namespace oracle {

using toprail::Outcome;
using toprail::Verdict;

namespace {

/// The day that picks; empty when the fact does not apply.
std::optional<Date> picking_day(const Period& period, const Filling& filling) {
    return period.picked_by == "work-date" ? filling.on : filling.of(period.picked_by).day;
}

bool within(const Period& period, const Filling& filling) {
    const auto day = picking_day(period, filling);
    return day && (!period.from || *period.from <= *day) &&
           (!period.until || *day <= *period.until);
}

struct Weighed {
    const Provision* provision;
    bool stands = false;
    bool counts = false;  // its authority governs, or it says who does
    bool displaced = false;
};

class Deciding {
  public:
    Deciding(const Model& model, const Filling& filling, const std::set<std::string>& named)
        : model_(model),
          filling_(filling),
          named_(named) {}

    Outcomes run();

  private:
    void pick_editions();
    void find_governing();
    void displace();
    [[nodiscard]] bool effective(const Weighed& weighed) const {
        return weighed.stands && weighed.counts && !weighed.displaced;
    }
    /// Whether an effective provision displaces that one. Provisions displace in no circle, so the
    /// recursion ends.
    bool is_displaced(const Weighed& target) const;
    [[nodiscard]] bool relaxed(const Weighed& requiring) const;
    void decide_duty(const std::string& duty);
    [[nodiscard]] toprail::Verdict terms(const std::string& duty) const;
    void hold_plan();
    void decide_choice(const std::string& choice, std::set<std::string> left);

    const Model& model_;
    const Filling& filling_;
    const std::set<std::string>& named_;
    std::vector<Weighed> weighed_;
    std::set<std::string> too_early_;
    Outcomes outcomes_;
};

void Deciding::pick_editions() {
    for (const auto& [authority, editions] : model_.authorities) {
        const Edition* chosen = nullptr;
        const auto day = picking_day(editions.front()->period, filling_);
        if (day && *day < *editions.front()->period.from) {
            too_early_.insert(authority);
        }
        for (const auto& edition : editions) {
            if (day && *edition->period.from <= *day) {
                chosen = edition.get();
            }
        }
        if (chosen == nullptr || (chosen->period.until && *chosen->period.until < *day)) {
            continue;
        }
        for (const Provision& provision : chosen->provisions) {
            bool stands = !provision.in_force || within(*provision.in_force, filling_);
            for (const auto& [scope, condition] : provision.where) {
                stands = stands && holds(model_, *scope, condition, filling_);
            }
            weighed_.push_back({&provision, stands});
        }
    }
}

void Deciding::find_governing() {
    bool packs_decide = false;
    for (const auto& [authority, editions] : model_.authorities) {
        for (const auto& edition : editions) {
            for (const Provision& provision : edition->provisions) {
                packs_decide = packs_decide || provision.effect == Provision::Effect::governs;
            }
        }
    }
    if (!named_.empty()) {
        outcomes_.governing = named_;
    } else if (!packs_decide) {
        for (const auto& [authority, editions] : model_.authorities) {
            outcomes_.governing.insert(authority);
        }
    } else {
        // Who governs is settled among the provisions that say so; they count in every pack.
        for (Weighed& weighed : weighed_) {
            weighed.counts = weighed.provision->effect == Provision::Effect::governs;
        }
        for (const Weighed& weighed : weighed_) {
            if (weighed.counts && weighed.stands && !is_displaced(weighed)) {
                outcomes_.governing.insert(weighed.provision->about);
            }
        }
    }
    for (Weighed& weighed : weighed_) {
        weighed.counts = weighed.provision->effect == Provision::Effect::governs ||
                         outcomes_.governing.count(weighed.provision->which.authority) != 0;
    }
}

bool Deciding::is_displaced(const Weighed& target) const {
    for (const Weighed& other : weighed_) {
        for (const std::string& reference : other.provision->displaces) {
            if (reference == target.provision->key && other.stands && other.counts &&
                !is_displaced(other)) {
                return true;
            }
        }
    }
    return false;
}

void Deciding::displace() {
    for (Weighed& weighed : weighed_) {
        weighed.displaced = weighed.stands && is_displaced(weighed);
        if (weighed.stands) {
            outcomes_.standing.insert(weighed.provision);
        }
        if (weighed.displaced) {
            outcomes_.displaced.insert(weighed.provision);
        }
    }
}

bool Deciding::relaxed(const Weighed& requiring) const {
    for (const Weighed& other : weighed_) {
        for (const std::string& reference : other.provision->relaxes) {
            if (reference == requiring.provision->key && effective(other)) {
                return true;
            }
        }
    }
    return false;
}

void Deciding::decide_duty(const std::string& duty) {
    Outcome strictest = Outcome::not_addressed;
    for (const std::string& authority : outcomes_.governing) {
        Outcome outcome = Outcome::not_addressed;
        bool required = false;
        bool not_required = false;
        for (const Weighed& weighed : weighed_) {
            if (weighed.provision->which.authority != authority || !effective(weighed) ||
                weighed.provision->effect != Provision::Effect::duty ||
                weighed.provision->about != duty) {
                continue;
            }
            if (!weighed.provision->required) {
                not_required = true;
                outcome = std::min(outcome, Outcome::not_required);
            } else {
                required = true;
                outcome = std::min(outcome, relaxed(weighed) ? Outcome::required_with_exception
                                                             : Outcome::required);
            }
        }
        if (required && not_required) {
            outcomes_.contested.insert(duty);
        }
        strictest = std::min(strictest, outcome);
    }
    outcomes_.duties[duty] = strictest;
}

void Deciding::decide_choice(const std::string& choice, std::set<std::string> left) {
    for (const Weighed& weighed : weighed_) {
        const Provision& provision = *weighed.provision;
        if (!effective(weighed) || provision.about != choice) {
            continue;
        }
        if (provision.effect == Provision::Effect::bars) {
            for (const std::string& value : provision.values) {
                left.erase(value);
            }
        } else if (provision.effect == Provision::Effect::admits) {
            for (auto value = left.begin(); value != left.end();) {
                const bool admitted =
                    std::count(provision.values.begin(), provision.values.end(), *value) != 0;
                value = admitted ? std::next(value) : left.erase(value);
            }
        }
    }
    outcomes_.admissible[choice] = std::move(left);
}

Verdict Deciding::terms(const std::string& duty) const {
    Verdict verdict = Verdict::met;
    for (const Weighed& exception : weighed_) {
        if (!effective(exception)) {
            continue;
        }
        const auto& relaxes = exception.provision->relaxes;
        const bool covers =
            std::any_of(weighed_.begin(), weighed_.end(), [&](const Weighed& other) {
                return effective(other) && other.provision->required &&
                       other.provision->about == duty &&
                       std::count(relaxes.begin(), relaxes.end(), other.provision->key) != 0;
            });
        if (!covers) {
            continue;
        }
        const auto& shows = exception.provision->terms_met_by;
        if (shows && !holds(model_, *exception.provision->scope, *shows, filling_)) {
            return Verdict::not_met;
        }
        verdict = shows ? verdict : Verdict::open;
    }
    return verdict;
}

void Deciding::hold_plan() {
    for (const std::string& duty : model_.duties) {
        DutyFit fit;
        const auto met_by = model_.met_by.find(duty);
        if (met_by != model_.met_by.end()) {
            fit.done = holds(model_, model_.shared, met_by->second, filling_) ? Verdict::met
                                                                              : Verdict::not_met;
        }
        fit.terms = terms(duty);
        outcomes_.fit[duty] = fit;
    }
    for (const auto& [quantity, scope] : model_.limited) {
        outcomes_.measured[quantity] =
            measure(model_, *scope, {Expression::Kind::name, 0, quantity, {}}, filling_);
    }
}

Outcomes Deciding::run() {
    pick_editions();
    find_governing();
    for (const std::string& authority : outcomes_.governing) {
        outcomes_.before_first_edition =
            outcomes_.before_first_edition || too_early_.count(authority) != 0;
    }
    displace();
    for (const std::string& duty : model_.duties) {
        decide_duty(duty);
    }
    for (const auto& [choice, values] : model_.choices) {
        decide_choice(choice, {values.begin(), values.end()});
    }
    hold_plan();
    for (const Weighed& weighed : weighed_) {
        const Provision& provision = *weighed.provision;
        if (effective(weighed) && provision.effect == Provision::Effect::limit) {
            outcomes_.limits[provision.about][&provision] = {
                provision.at_most, measure(model_, *provision.scope, *provision.bound, filling_)};
        }
    }
    return std::move(outcomes_);
}

}  // namespace

Outcomes decide_filling(const Model& model, const Filling& filling,
                        const std::set<std::string>& named) {
    return Deciding(model, filling, named).run();
}

}  // namespace oracle
