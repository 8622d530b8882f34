// Entry point: mismatches.
#include "shelf/expectations.hpp"

#include "quantity/unit.hpp"

#include <algorithm>
#include <set>

namespace toprail {
namespace {

std::string joined(const std::vector<std::string>& words) {
    std::string text;
    for (const std::string& word : words) {
        text += (text.empty() ? "" : ", ") + word;
    }
    return "[" + text + "]";
}

class Holder {
  public:
    Holder(const Model& model, const Decision& decision, const std::string& authority)
        : model_(model),
          decision_(decision),
          authority_(authority) {}

    std::vector<Mismatch> hold(const Expectations& expected) {
        for (const ExpectedAnswer& answer : expected.answers) {
            hold_answer(answer);
        }
        hold_status(expected.stands, Status::stands);
        hold_status(expected.falls, Status::falls);
        hold_status(expected.open, Status::open);
        hold_status(expected.displaced, Status::displaced);
        if (expected.asks) {
            hold_asks(*expected.asks, expected.answers);
        }
        return std::move(result_);
    }

  private:
    void add(const Span& span, std::string message, std::vector<std::string> by = {}) {
        result_.push_back({span, std::move(message), std::move(by)});
    }

    void hold_answer(const ExpectedAnswer& answer) {
        const std::string& name = answer.key.text;
        const Ref ref =
            model_.shared_names.contains(name) ? model_.shared_names.find(name)->second : Ref{};
        if (model_.duty_names.contains(name)) {
            hold_duty(answer);
        } else if (ref.kind == RefKind::fact && model_.facts[ref.index].is_choice) {
            hold_choice(answer, model_.facts[ref.index]);
        } else {
            hold_limit(answer);
        }
    }

    void hold_duty(const ExpectedAnswer& answer) {
        const DutyDecision* duty = decision_.duty(answer.key.text);
        const std::string seen(word(duty == nullptr ? Outcome::not_addressed : duty->outcome));
        if (answer.value->text != seen) {
            std::string message = answer.key.text + " comes out \"" + seen +
                                  "\"; the case expects \"" + answer.value->text + "\"";
            if (duty != nullptr && duty->outcome == Outcome::undetermined) {
                message += "; still to settle: " + joined(duty->settled_by);
            }
            add(answer.value->span, std::move(message),
                duty == nullptr ? std::vector<std::string>{} : duty->provisions);
        }
    }

    void hold_choice(const ExpectedAnswer& answer, const Fact& fact) {
        const ChoiceDecision* choice = decision_.choice(answer.key.text);
        std::vector<std::string> seen = choice == nullptr ? fact.values : choice->admissible;
        std::vector<std::string> wanted;
        for (const Node& item : answer.value->items) {
            wanted.push_back(item.text);
        }
        if (answer.value->is_text() && answer.value->text != "none") {
            wanted.push_back(answer.value->text);
        }
        std::sort(seen.begin(), seen.end());
        std::sort(wanted.begin(), wanted.end());
        if (seen != wanted) {
            std::vector<std::string> by;
            const auto barred = choice == nullptr ? decltype(choice->barred){} : choice->barred;
            for (const auto& [value, barring] : barred) {
                if (std::find(wanted.begin(), wanted.end(), value) != wanted.end()) {
                    by.insert(by.end(), barring.begin(), barring.end());
                }
            }
            add(answer.value->span,
                answer.key.text + " admits " + joined(seen) + ", not " + joined(wanted),
                std::move(by));
        }
    }

    void hold_limit(const ExpectedAnswer& answer) {
        const std::string& wanted = answer.value->text;
        const LimitDecision* limit = decision_.limit(answer.key.text);
        std::vector<std::string> seen;
        std::vector<std::string> by;
        bool met = false;
        if (limit != nullptr) {
            for (const Bound& bound : limit->bounds) {
                if (bound.strictest) {
                    const std::string text =
                        (bound.at_most ? "at most " : "at least ") + bound.text;
                    seen.push_back(text);
                    by.push_back(bound.provision);
                    met = met || same_bound(wanted, text);
                }
            }
        }
        if (wanted == "no bound" ? !seen.empty() : !met) {
            add(answer.value->span,
                answer.key.text + " has the bounds " + joined(seen) + ", not " + wanted,
                std::move(by));
        }
    }

    // "at most 6 ft" and "at most 72 in" are the same; a bound by a quantity is compared by its
    // name.
    static bool same_bound(const std::string& wanted, const std::string& seen) {
        for (const std::string lead : {"at most ", "at least "}) {
            if (wanted.starts_with(lead) && seen.starts_with(lead)) {
                const std::string a = wanted.substr(lead.size());
                const std::string b = seen.substr(lead.size());
                const FigureReading x = read_figure(a);
                const FigureReading y = read_figure(b);
                if (x.figure && y.figure) {
                    return *x.figure == *y.figure;
                }
                // A bound by a quantity is told as "name (value)"; either part may be expected.
                const std::size_t bracket = b.find(" (");
                if (bracket == std::string::npos) {
                    return a == b;
                }
                const FigureReading value =
                    read_figure(b.substr(bracket + 2, b.size() - bracket - 3));
                return a == b.substr(0, bracket) ||
                       (x.figure && value.figure && *x.figure == *value.figure);
            }
        }
        return false;
    }

    // The status that contradicts the wanted one; the end if there is none. The editions that are
    // not in force have a copy, too, and it falls: what must fall does so in all of them, and of
    // anything else one suffices.
    static std::vector<std::string>::const_iterator otherwise(const std::vector<std::string>& seen,
                                                              Status wanted) {
        const auto differs = [&](const std::string& status) { return status != word(wanted); };
        const bool met = wanted == Status::falls ? std::none_of(seen.begin(), seen.end(), differs)
                                                 : !std::all_of(seen.begin(), seen.end(), differs);
        return met ? seen.end() : std::find_if(seen.begin(), seen.end(), differs);
    }

    void hold_status(const std::vector<Word>& provisions, Status wanted) {
        for (const Word& word_of_id : provisions) {
            const std::string wanted_key = word_of_id.text.find('/') == std::string::npos
                                               ? authority_ + "/" + word_of_id.text
                                               : word_of_id.text;
            std::vector<std::string> seen;
            std::vector<std::string> by;
            for (const Step& step : decision_.trail) {
                if (step.provision.substr(0, step.provision.find('@')) == wanted_key) {
                    seen.emplace_back(word(step.status));
                    by.push_back(step.provision);
                }
            }
            const bool known = std::any_of(
                model_.provisions.begin(), model_.provisions.end(),
                [&](const Provision& p) { return model_[p.pack].id + "/" + p.id == wanted_key; });
            if (!known) {
                add(word_of_id.span, "no provision is called \"" + wanted_key + "\"");
            } else if (seen.empty() && wanted != Status::falls) {
                add(word_of_id.span, wanted_key + " is not weighed in this case");
            } else if (const auto other = otherwise(seen, wanted); other != seen.end()) {
                add(word_of_id.span,
                    wanted_key + " " + *other + ", but the case says " + std::string(word(wanted)),
                    std::move(by));
            }
        }
    }

    // The facts that would settle the duties that the case calls undetermined.
    void hold_asks(const std::vector<Word>& asks, const std::vector<ExpectedAnswer>& answers) {
        std::set<std::string> seen;
        for (const ExpectedAnswer& answer : answers) {
            if (!answer.value->is_text() || answer.value->text != word(Outcome::undetermined)) {
                continue;
            }
            if (const DutyDecision* found = decision_.duty(answer.key.text)) {
                const DutyDecision& duty = *found;
                seen.insert(duty.settled_by.begin(), duty.settled_by.end());
            }
        }
        std::set<std::string> wanted;
        for (const Word& ask : asks) {
            wanted.insert(ask.text);
        }
        if (seen != wanted && !asks.empty()) {
            add(asks.front().span, "the case asks " + joined({seen.begin(), seen.end()}) +
                                       ", not " + joined({wanted.begin(), wanted.end()}));
        }
    }

    const Model& model_;
    const Decision& decision_;
    const std::string& authority_;
    std::vector<Mismatch> result_;
};

}  // namespace

std::vector<Mismatch> mismatches(const Model& model, const Decision& decision,
                                 const std::string& authority, const Expectations& expected) {
    return Holder(model, decision, authority).hold(expected);
}

}  // namespace toprail
