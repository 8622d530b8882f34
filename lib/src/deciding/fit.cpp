// Entry point: hold_plan. The planned arrangement against duties, choices and limits.
#include "deciding/work.hpp"

#include <algorithm>

namespace toprail {
namespace {

std::string joined(const std::vector<std::string>& words) {
    std::string text;
    for (const std::string& word : words) {
        text += (text.empty() ? "" : ", ") + word;
    }
    return text.empty() ? "nothing" : text;
}

// Every exception that covers the duty has to be met on its own terms, one that may come to cover
// it included. Asked of a duty that some exception covers.
Truth exceptions_met(Work& work, const LoweredDuty& lowered) {
    const Truth broken = work.knowledge.truth(lowered.terms_broken);
    if (broken == Truth::yes) {
        return Truth::no;
    }
    const Truth unshown = work.knowledge.truth(lowered.terms_unshown);
    return broken == Truth::no && unshown == Truth::no ? Truth::yes : Truth::open;
}

Fit fit_duty(Work& work, const LoweredDuty& lowered, const DutyDecision& decision) {
    Fit fit;
    fit.about = "duty";
    fit.name = decision.duty;
    fit.provisions = decision.provisions;
    const std::string outcome(word(decision.outcome));
    // Undetermined between these two, the duty asks for nothing either way.
    if (decision.act_as_if == Outcome::not_required ||
        decision.act_as_if == Outcome::not_addressed) {
        fit.verdict = Verdict::met;
        fit.reason =
            decision.outcome == Outcome::undetermined ? "not required or not addressed" : outcome;
        return fit;
    }
    const Truth done = lowered.met_by ? work.knowledge.truth(lowered.met_by->node) : Truth::open;
    if (done == Truth::yes) {
        fit.verdict = Verdict::met;
        fit.reason = outcome + ", and the plan shows it";
    } else if (decision.outcome == Outcome::undetermined || done == Truth::open) {
        fit.verdict = Verdict::open;
        fit.reason = decision.outcome == Outcome::undetermined
                         ? outcome + "; act as if " + std::string(word(decision.act_as_if))
                         : outcome + ", and the plan does not say whether it is done";
    } else if (decision.outcome == Outcome::required_with_exception) {
        const Truth terms_met = exceptions_met(work, lowered);
        if (terms_met == Truth::yes) {
            fit.verdict = Verdict::met;
            fit.reason = "not done, but the terms of the exception are met";
        } else if (terms_met == Truth::no) {
            fit.verdict = Verdict::not_met;
            fit.reason = "not done, and the terms of the exception are not met";
        } else {
            fit.verdict = Verdict::open;
            fit.reason =
                "not done: only the exception covers it, and its terms are not shown to be met";
        }
    } else {
        fit.verdict = Verdict::not_met;
        fit.reason = outcome + ", and the plan does not do it";
    }
    return fit;
}

std::optional<Fit> fit_choice(Work& work, const LoweredChoice& lowered,
                              const ChoiceDecision& decision) {
    const BoundFact& planned = work.knowledge.facts()[lowered.choice.value];
    Fit fit;
    fit.about = "choice";
    fit.name = decision.choice;
    if (decision.empty == Perhaps::yes) {
        fit.verdict = Verdict::not_met;
        fit.reason = "no " + decision.reads + " satisfies every authority: stop and ask";
        for (const auto& [value, by] : decision.barred) {
            fit.provisions.insert(fit.provisions.end(), by.begin(), by.end());
        }
        std::sort(fit.provisions.begin(), fit.provisions.end());
        fit.provisions.erase(std::unique(fit.provisions.begin(), fit.provisions.end()),
                             fit.provisions.end());
        return fit;
    }
    if (planned.state != FactState::given) {
        return std::nullopt;
    }
    const std::string& value = work.model[lowered.choice].values[planned.value];
    if (const auto barred = decision.barred.find(value); barred != decision.barred.end()) {
        fit.verdict = Verdict::not_met;
        fit.reason = value + " is barred; admissible: " + joined(decision.admissible);
        fit.provisions = barred->second;
    } else if (const auto open = decision.open.find(value); open != decision.open.end()) {
        fit.verdict = Verdict::open;
        fit.reason = value + " may still be barred; settle " + joined(decision.settled_by);
        fit.provisions = open->second;
    } else {
        fit.verdict = Verdict::met;
        fit.reason = value + " is admissible";
    }
    return fit;
}

std::optional<Fit> fit_limit(Work& work, const LoweredLimit& lowered,
                             const LimitDecision& decision) {
    Fit fit;
    fit.about = "limit";
    fit.name = decision.quantity;
    fit.verdict = Verdict::met;
    const ExpressionId expression = lowered.limited.kind == RefKind::quantity
                                        ? work.program.quantities[lowered.limited.index]
                                        : work.program.facts[lowered.limited.index];
    const auto& value = work.knowledge.value(expression);
    if (work.without_value(lowered.limited)) {
        fit.verdict = Verdict::open;
        fit.reason = "it has no value that could be held against its bounds";
        for (const Bound& bound : decision.bounds) {
            fit.provisions.push_back(bound.provision);
        }
        return fit;
    }
    if (value && value->kind == Value::Kind::absent) {
        return std::nullopt;
    }
    for (const Bound& bound : decision.bounds) {
        const auto id =
            std::find_if(lowered.provisions.begin(), lowered.provisions.end(),
                         [&](ProvisionId p) { return work.model.key(p) == bound.provision; });
        const auto& figure = work.knowledge.value(work.program.bounds[id->value]);
        const std::optional<bool> held =
            value && figure
                ? compare(bound.at_most ? Verb::at_most : Verb::at_least, *value, *figure)
                : std::nullopt;
        // A value that a root left between two figures counts as not met: the stricter answer.
        const bool rounded = value && figure && !held;
        Verdict verdict = rounded || held == false ? Verdict::not_met
                          : held == true           ? Verdict::met
                                                   : Verdict::open;
        if (verdict != Verdict::met && bound.status == Status::open) {
            verdict = Verdict::open;
        }
        const std::string text = decision.value + " against " +
                                 (bound.at_most ? "at most " : "at least ") + bound.text +
                                 (bound.when.empty() ? "" : ", if " + bound.when);
        if (verdict == fit.verdict || (fit.verdict == Verdict::met) ||
            verdict == Verdict::not_met) {
            if (verdict != fit.verdict) {
                fit.reason.clear();
                fit.provisions.clear();
            }
            fit.verdict = verdict;
            fit.reason += (fit.reason.empty() ? "" : "; ") + text;
            fit.provisions.push_back(bound.provision);
        }
    }
    return fit;
}

}  // namespace

std::vector<Fit> hold_plan(Work& work, const Decision& decision) {
    std::vector<Fit> fits;
    for (const DutyDecision& duty : decision.duties) {
        const DutyId id = work.model.duty_names.find(duty.duty)->second;
        fits.push_back(fit_duty(work, work.program.duties[id.value], duty));
    }
    for (const LoweredChoice& lowered : work.program.choices) {
        if (const ChoiceDecision* choice = decision.choice(work.model[lowered.choice].name)) {
            if (auto fit = fit_choice(work, lowered, *choice)) {
                fits.push_back(std::move(*fit));
            }
        }
    }
    for (const LoweredLimit& lowered : work.program.limits) {
        if (const LimitDecision* limit = decision.limit(work.model.name(lowered.limited))) {
            if (auto fit = fit_limit(work, lowered, *limit)) {
                fits.push_back(std::move(*fit));
            }
        }
    }
    return fits;
}

}  // namespace toprail
