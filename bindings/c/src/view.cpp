#include "view.hpp"

#include "entry.hpp"

#include <map>
#include <utility>

namespace toprail::c {
namespace {

// The numbers of the interface are those of the library.
static_assert(static_cast<int>(Outcome::required) == TOPRAIL_REQUIRED);
static_assert(static_cast<int>(Outcome::undetermined) == TOPRAIL_UNDETERMINED);
static_assert(static_cast<int>(Verdict::met) == TOPRAIL_MET);
static_assert(static_cast<int>(Verdict::open) == TOPRAIL_VERDICT_OPEN);
static_assert(static_cast<int>(Status::stands) == TOPRAIL_STANDS);
static_assert(static_cast<int>(Status::displaced) == TOPRAIL_DISPLACED);
static_assert(static_cast<int>(Perhaps::no) == TOPRAIL_NO);
static_assert(static_cast<int>(Perhaps::yes) == TOPRAIL_YES);

template <class Word>
std::int32_t number(Word word) {
    return static_cast<std::int32_t>(word);
}

std::uint32_t bits(const std::vector<Outcome>& outcomes) {
    std::uint32_t all = 0;
    for (const Outcome outcome : outcomes) {
        all |= 1U << static_cast<unsigned>(outcome);
    }
    return all;
}

std::vector<toprail_text> names(const std::map<std::string, std::vector<std::string>>& values) {
    std::vector<toprail_text> all;
    for (const auto& value : values) {
        all.push_back(text(value.first));
    }
    return all;
}

}  // namespace

toprail_texts DecisionView::keep(std::vector<toprail_text> texts) {
    const auto& kept = lists_.emplace_back(std::move(texts));
    return {kept.data(), kept.size()};
}

toprail_texts DecisionView::list(const std::vector<std::string>& texts) {
    std::vector<toprail_text> all;
    all.reserve(texts.size());
    for (const std::string& each : texts) {
        all.push_back(text(each));
    }
    return keep(std::move(all));
}

DecisionView::DecisionView(const Decision& decision) {
    for (const DutyDecision& duty : decision.duties) {
        duties.push_back({sizeof(toprail_duty), text(duty.duty), text(duty.reads), text(duty.asks),
                          number(duty.outcome), number(duty.act_as_if), bits(duty.possible),
                          duty.exact, duty.waits_for_plan, number(duty.contested),
                          text(duty.ask_next), list(duty.settled_by), list(duty.provisions)});
    }
    for (const ChoiceDecision& choice : decision.choices) {
        choices.push_back({sizeof(toprail_choice), text(choice.choice), text(choice.reads),
                           list(choice.admissible), keep(names(choice.barred)),
                           keep(names(choice.open)), number(choice.empty), choice.exact,
                           list(choice.settled_by)});
    }
    for (const LimitDecision& limit : decision.limits) {
        std::vector<toprail_bound>& kept = bounds_.emplace_back();
        for (const Bound& bound : limit.bounds) {
            kept.push_back({text(bound.provision), text(bound.text), text(bound.when),
                            bound.at_most, number(bound.status), bound.strictest});
        }
        limits.push_back({sizeof(toprail_limit), text(limit.quantity), text(limit.reads),
                          text(limit.value), kept.data(), kept.size()});
    }
    for (const Fit& fit : decision.fit) {
        fits.push_back({sizeof(toprail_fit), text(fit.about), text(fit.name), number(fit.verdict),
                        text(fit.reason), list(fit.provisions)});
    }
    for (const Step& step : decision.trail) {
        std::vector<toprail_text> because;
        for (const Reason& reason : step.because) {
            because.push_back(text(reason.says));
        }
        steps.push_back({sizeof(toprail_step), text(step.provision), text(step.authority),
                         number(step.status), text(step.cite), text(step.standing),
                         text(step.source), text(step.gist), text(step.effect), text(step.in_force),
                         keep(std::move(because)), list(step.displaced_by),
                         text(step.adopted_from)});
    }
    for (const std::string& caution : decision.cautions) {
        cautions.push_back(text(caution));
    }
}

}  // namespace toprail::c
