// Entry points: joined, comes_first, settling, find_step, cites, only_open_grounds,
// displacing_text, depends_on_plan, outcomes_by_plan, value_text, source_text.
#include "telling/sources.hpp"

#include "deciding/cautions.hpp"

#include <algorithm>
#include <set>

namespace toprail {

std::string joined(const std::vector<std::string>& words, std::string_view glue) {
    std::string text;
    for (const std::string& word : words) {
        text += text.empty() ? "" : glue;
        text += word;
    }
    return text;
}

bool comes_first(const std::string& caution) {
    return caution.starts_with(at_odds) || caution.starts_with(no_value);
}

std::string settling(const std::vector<std::string>& facts) {
    return facts.empty() ? "no fact that could be named" : joined(facts);
}

const Step* find_step(const Decision& decision, const std::string& provision) {
    const auto found = std::find_if(decision.trail.begin(), decision.trail.end(),
                                    [&](const Step& each) { return each.provision == provision; });
    return found == decision.trail.end() ? nullptr : &*found;
}

std::string cites(const Decision& decision, const std::vector<std::string>& provisions) {
    std::set<std::string> all;
    for (const std::string& provision : provisions) {
        const Step* found = find_step(decision, provision);
        all.insert(found == nullptr ? provision : found->cite);
    }
    return joined({all.begin(), all.end()}, "; ");
}

bool only_open_grounds(const Decision& decision, const DutyDecision& duty) {
    return duty.outcome != Outcome::undetermined && !duty.provisions.empty() &&
           std::all_of(duty.provisions.begin(), duty.provisions.end(), [&](const auto& provision) {
               const Step* step = find_step(decision, provision);
               return step != nullptr && step->status == Status::open;
           });
}

std::string displacing_text(const Step& step) {
    return (step.status == Status::open ? "its conditions are met, but it may be displaced by "
                                        : "displaced by ") +
           joined(step.displaced_by);
}

bool depends_on_plan(const DutyDecision& duty) {
    return duty.outcome == Outcome::undetermined && duty.waits_for_plan &&
           !duty.conditional.empty();
}

std::string outcomes_by_plan(const DutyDecision& duty) {
    std::vector<std::string> all;
    for (const Conditional& each : duty.conditional) {
        all.push_back(each.then + " if " + each.when);
    }
    return joined(all, "; ");
}

std::string value_text(const FactEntry& fact) {
    return fact.state == FactState::given       ? fact.text
           : fact.state == FactState::not_known ? "not known"
                                                : "does not apply";
}

std::string source_text(const Step& step) {
    std::string text = step.cite;
    if (!step.also_cite.empty()) {
        text += "; " + joined(step.also_cite, "; ");
    }
    if (!step.adopted_by.empty()) {
        text += "; adopted from " + step.adopted_from + " by " + step.authority + ": " +
                step.adopted_by;
    }
    return text + " [" + step.standing + ", " + step.source + "]";
}

}  // namespace toprail
