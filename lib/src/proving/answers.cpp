// Entry points: subjects_of, answer_terms, told.
#include "proving/answers.hpp"

#include <algorithm>
#include <map>

namespace toprail {
namespace {

const char* const no_bound = "no bound";

const LoweredLimit* find_limit(const Law& law, const std::string& name) {
    const LoweredLimit* found = nullptr;
    for (const LoweredLimit& limit : law.program().limits) {
        if (law.model().name(limit.limited) == name) {
            if (found != nullptr) {
                return nullptr;  // two packs have a quantity of that name each: a decision tells
                                 // them as one
            }
            found = &limit;
        }
    }
    return found;
}

const LoweredChoice* find_choice(const Law& law, const std::string& name) {
    for (const LoweredChoice& choice : law.program().choices) {
        if (law.model()[choice.choice].name == name) {
            return &choice;
        }
    }
    return nullptr;
}

AnswerTerms duty_terms(z3::context& context, const Law& law, const Subject& subject) {
    const auto found = law.model().duty_names.find(subject.name);
    DutyTerms duty{context.bool_val(false), context.bool_val(false), context.bool_val(false)};
    if (found != law.model().duty_names.end()) {
        duty = law.duty(found->second, law.live());
    }
    const auto text = [](Outcome outcome) { return std::vector{std::string(word(outcome))}; };
    const z3::expr asks = duty.required || duty.excepted;
    AnswerTerms terms;
    terms.states = {{text(Outcome::required), duty.required, 3},
                    {text(Outcome::required_with_exception), duty.excepted && !duty.required, 2},
                    {text(Outcome::not_required), duty.not_required && !asks, 1},
                    {text(Outcome::not_addressed), !duty.not_required && !asks, 0}};
    return terms;
}

AnswerTerms value_terms(z3::context& context, const Law& law, const Subject& subject) {
    z3::expr removed = context.bool_val(false);
    if (const LoweredChoice* choice = find_choice(law, subject.name)) {
        const std::vector<std::string>& values = law.model()[choice->choice].values;
        const auto at = std::find(values.begin(), values.end(), subject.value);
        if (at != values.end()) {
            removed =
                law.removed(*choice, law.live())[static_cast<std::size_t>(at - values.begin())];
        }
    }
    AnswerTerms terms;
    terms.states = {{{"barred"}, removed, 1}, {{"admissible"}, !removed, 0}};
    return terms;
}

AnswerTerms limit_terms(z3::context& context, const Law& law, const Subject& subject) {
    AnswerTerms terms;
    const LoweredLimit* limit = find_limit(law, subject.name);
    const LiveTerms live = law.live();
    terms.bound = limit == nullptr ? BoundTerms{context.bool_val(false), context.real_val(0)}
                                   : law.bound(*limit, subject.at_most, live);
    terms.states.push_back({{no_bound}, !terms.bound->any, 0});
    const std::string lead = subject.at_most ? "at most " : "at least ";
    std::map<Number, std::vector<std::string>> figures;
    std::map<std::string, std::vector<z3::expr>> names;
    for (const ProvisionId id : limit == nullptr ? std::vector<ProvisionId>{} : limit->provisions) {
        const Effect& effect = law.model()[id].effect;
        if (effect.at_most != subject.at_most) {
            continue;
        }
        if (effect.bound_figure) {
            figures[effect.bound_figure->base].push_back(lead + effect.bound_figure->text);
        } else {
            names[lead + effect.bound.text].push_back(live[id.value] && law.bound_applies(id) &&
                                                      law.bound_value(id) == terms.bound->value);
        }
    }
    std::vector<z3::expr> by_figure;
    for (auto& [figure, texts] : figures) {
        const z3::expr holds = terms.bound->any && terms.bound->value == real(context, figure);
        by_figure.push_back(holds);
        terms.states.push_back({std::move(texts), holds, 0});
    }
    for (const auto& [name, holds] : names) {
        terms.states.push_back({{name}, any_of(context, holds) && !any_of(context, by_figure), 0});
    }
    return terms;
}

}  // namespace

std::string Subject::text() const {
    switch (kind) {
    case Kind::duty:
        return name;
    case Kind::value:
        return name + " " + value;
    case Kind::limit:
        return name + (at_most ? ", upper limit" : ", lower limit");
    case Kind::governs:
        break;
    }
    return "who governs";
}

std::set<Subject> subjects_of(const Law& law) {
    std::set<Subject> subjects;
    const Model& model = law.model();
    for (const Provision& provision : model.provisions) {
        const Effect& effect = provision.effect;
        Subject subject;
        if (effect.kind == EffectKind::duty) {
            subject.name = effect.target.text;
            subjects.insert(subject);
        } else if (effect.kind == EffectKind::choice) {
            subject.kind = Subject::Kind::value;
            subject.name = effect.target.text;
            for (const std::string& value : model[effect.choice].values) {
                subject.value = value;
                subjects.insert(subject);
            }
        } else if (effect.kind == EffectKind::limit) {
            subject.kind = Subject::Kind::limit;
            subject.name = model.name(effect.limited);
            subject.at_most = effect.at_most;
            if (find_limit(law, subject.name) != nullptr) {
                subjects.insert(subject);
            }
        }
    }
    return subjects;
}

AnswerTerms answer_terms(z3::context& context, const Law& law, const Subject& subject) {
    switch (subject.kind) {
    case Subject::Kind::duty:
        return duty_terms(context, law, subject);
    case Subject::Kind::value:
        return value_terms(context, law, subject);
    case Subject::Kind::limit:
        return limit_terms(context, law, subject);
    case Subject::Kind::governs:
        break;
    }
    const auto found = law.model().authority_names.find(subject.name);
    const z3::expr governs = found == law.model().authority_names.end()
                                 ? context.bool_val(false)
                                 : law.node(law.program().governs[found->second.value]);
    AnswerTerms terms;
    terms.states = {{{"governs"}, governs, 1}, {{"does not govern"}, !governs, 0}};
    return terms;
}

std::string bound_told(const Decision& decision, const Subject& subject) {
    const LimitDecision* limit = decision.limit(subject.name);
    std::string strictest = no_bound;
    for (const Bound& bound : limit == nullptr ? std::vector<Bound>{} : limit->bounds) {
        if (bound.at_most != subject.at_most) {
            continue;
        }
        if (bound.status == Status::open) {
            return {};
        }
        if (bound.strictest) {
            strictest = (bound.at_most ? "at most " : "at least ") + bound.text;
        }
    }
    return strictest;
}

std::string told(const Decision& decision, const Subject& subject) {
    switch (subject.kind) {
    case Subject::Kind::duty: {
        const DutyDecision* duty = decision.duty(subject.name);
        const Outcome outcome = duty == nullptr ? Outcome::not_addressed : duty->outcome;
        return outcome == Outcome::undetermined ? std::string{} : std::string(word(outcome));
    }
    case Subject::Kind::value: {
        const ChoiceDecision* choice = decision.choice(subject.name);
        const bool open = choice != nullptr && choice->open.contains(subject.value);
        const bool barred = choice != nullptr && choice->barred.contains(subject.value);
        return open ? "" : barred ? "barred" : "admissible";
    }
    case Subject::Kind::limit: {
        const std::string bound = bound_told(decision, subject);
        return bound.substr(0, bound.find(" ("));
    }
    case Subject::Kind::governs:
        break;
    }
    for (const Governing& governing : decision.governing) {
        if (governing.authority == subject.name) {
            return governing.governs == Perhaps::yes ? "governs" : "";
        }
    }
    return "does not govern";
}

std::vector<std::string> grounds(const Decision& decision, const Subject& subject) {
    std::vector<std::string> keys;
    if (const DutyDecision* duty = decision.duty(subject.name)) {
        keys = duty->provisions;
    }
    const ChoiceDecision* choice = decision.choice(subject.name);
    if (choice != nullptr && choice->barred.contains(subject.value)) {
        keys = choice->barred.at(subject.value);
    }
    const LimitDecision* limit = decision.limit(subject.name);
    for (const Bound& bound : limit == nullptr ? std::vector<Bound>{} : limit->bounds) {
        if (bound.strictest && bound.at_most == subject.at_most) {
            keys.push_back(bound.provision);
        }
    }
    return keys;
}

}  // namespace toprail
