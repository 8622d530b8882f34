// Entry points: holds, measure, decide_filling.

#include "oracle/filling.hpp"

#include <algorithm>

namespace oracle {

using toprail::Outcome;
using toprail::Verb;

namespace {

using Kind = Expression::Kind;

std::optional<Measure> value_of_name(const Model& model, const Scope& scope,
                                     const std::string& name, const Filling& filling) {
    if (const auto* pieces = pieces_of(model, scope, name)) {
        for (const auto& piece : *pieces) {
            if (!piece.where || holds(model, scope, *piece.where, filling)) {
                return measure(model, scope, piece.equals, filling);
            }
        }
        return std::nullopt;
    }
    const auto& number = filling.of(name).number;
    return number ? std::optional(Measure{*number}) : std::nullopt;
}

bool true_of_order(Verb verb, int order) {
    switch (verb) {
    case Verb::more_than:
    case Verb::after:
        return order > 0;
    case Verb::at_least:
    case Verb::on_or_after:
        return order >= 0;
    case Verb::at_most:
    case Verb::on_or_before:
        return order <= 0;
    case Verb::less_than:
    case Verb::before:
        return order < 0;
    default:
        return order == 0;
    }
}

bool sentence_holds(const Model& model, const Scope& scope, const Condition& sentence,
                    const Filling& filling) {
    if (sentence.verb == Verb::holds) {
        for (const Scope* place : {&scope, &model.shared}) {
            const auto named = place->conditions.find(sentence.subject);
            if (named != place->conditions.end()) {
                return holds(model, *place, named->second, filling);
            }
        }
        return filling.of(sentence.subject).word == "yes";
    }
    if (sentence.bound) {
        const auto left = value_of_name(model, scope, sentence.subject, filling);
        const auto right = measure(model, scope, *sentence.bound, filling);
        return left && right && true_of_order(sentence.verb, compare(*left, *right));
    }
    const Value& value = filling.of(sentence.subject);
    if (!value.applies()) {
        return false;
    }
    if (sentence.day) {
        const int order = *value.day < *sentence.day ? -1 : (*value.day == *sentence.day ? 0 : 1);
        return true_of_order(sentence.verb, order);
    }
    const bool listed = std::find(sentence.values.begin(), sentence.values.end(), *value.word) !=
                        sentence.values.end();
    return listed == (sentence.verb == Verb::is || sentence.verb == Verb::is_one_of);
}

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
    Which which;
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
        outcomes_.editions.insert({authority, chosen->period.from->text()});
        for (const Provision& provision : chosen->provisions) {
            bool stands = !provision.in_force || within(*provision.in_force, filling_);
            for (const auto& [scope, condition] : provision.where) {
                stands = stands && holds(model_, *scope, condition, filling_);
            }
            weighed_.push_back(
                {&provision, {authority, provision.id, chosen->period.from->text()}, stands});
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
                         outcomes_.governing.count(weighed.which.authority) != 0;
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
            outcomes_.standing.insert(weighed.which);
        }
        if (weighed.displaced) {
            outcomes_.displaced.insert(weighed.which);
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
            if (weighed.which.authority != authority || !effective(weighed) ||
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
    for (const Weighed& weighed : weighed_) {
        const Provision& provision = *weighed.provision;
        if (effective(weighed) && provision.effect == Provision::Effect::limit) {
            outcomes_.limits[provision.about][weighed.which] = {
                provision.at_most, measure(model_, *provision.scope, *provision.bound, filling_)};
        }
    }
    return std::move(outcomes_);
}

}  // namespace

int compare(const Measure& a, const Measure& b) {
    if (a.root == b.root) {
        return a.number < b.number ? -1 : (a.number == b.number ? 0 : 1);
    }
    if (b.root) {
        return -compare(b, a);
    }
    // sqrt(a) against b: a root is never negative, and squaring keeps the order of the rest.
    return b.number < 0 ? 1 : compare({a.number}, {b.number * b.number});
}

std::optional<Measure> measure(const Model& model, const Scope& scope, const Expression& expression,
                               const Filling& filling) {
    if (expression.kind == Kind::figure) {
        return Measure{expression.figure};
    }
    if (expression.kind == Kind::name) {
        return value_of_name(model, scope, expression.name, filling);
    }
    std::vector<Number> parts;
    for (const Expression& part : expression.parts) {
        const auto value = measure(model, scope, part, filling);
        if (!value) {
            return std::nullopt;
        }
        if (value->root) {
            throw Unusable("a root inside a formula");
        }
        parts.push_back(value->number);
    }
    switch (expression.kind) {
    case Kind::add:
        return Measure{parts.at(0) + parts.at(1)};
    case Kind::subtract:
        return Measure{parts.at(0) - parts.at(1)};
    case Kind::multiply:
        return Measure{parts.at(0) * parts.at(1)};
    case Kind::divide:
        return parts.at(1) == 0 ? std::nullopt : std::optional(Measure{parts.at(0) / parts.at(1)});
    case Kind::minimum:
        return Measure{*std::min_element(parts.begin(), parts.end())};
    case Kind::maximum:
        return Measure{*std::max_element(parts.begin(), parts.end())};
    default:
        return parts.at(0) < 0 ? std::nullopt : std::optional(Measure{parts.at(0), true});
    }
}

const std::vector<Scope::Piece>* pieces_of(const Model& model, const Scope& scope,
                                           const std::string& name) {
    for (const Scope* place : {&scope, &model.shared}) {
        const auto found = place->quantities.find(name);
        if (found != place->quantities.end()) {
            return &found->second;
        }
    }
    return nullptr;
}

bool holds(const Model& model, const Scope& scope, const Condition& condition,
           const Filling& filling) {
    if (condition.kind == Condition::Kind::sentence) {
        return sentence_holds(model, scope, condition, filling) != condition.negated;
    }
    const auto true_part = [&](const Condition& part) {
        return holds(model, scope, part, filling);
    };
    const auto& parts = condition.parts;
    if (condition.kind == Condition::Kind::all_of) {
        return std::all_of(parts.begin(), parts.end(), true_part);
    }
    return std::any_of(parts.begin(), parts.end(), true_part) ==
           (condition.kind == Condition::Kind::any_of);
}

Outcomes decide_filling(const Model& model, const Filling& filling,
                        const std::set<std::string>& named) {
    return Deciding(model, filling, named).run();
}

}  // namespace oracle
