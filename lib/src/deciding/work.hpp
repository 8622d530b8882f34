// One case being decided: what the parts of a decision are built from. Internal to this room.
#pragma once

#include "deciding/cautions.hpp"
#include "deciding/knowledge.hpp"
#include "shelf/shelf_data.hpp"
#include "toprail/decision.hpp"
#include "toprail/shelf.hpp"

#include <string>
#include <vector>

namespace toprail {

/// Not thread-safe; lives for one call of decide.
struct Work {
    const Model& model;
    const Program& program;
    const Facts& given;
    const Circumstances& circumstances;
    Knowledge& knowledge;
    /// Per AuthorityId.
    std::vector<Truth> governs;

    [[nodiscard]] bool may_govern(ProvisionId id) const {
        const AuthorityId authority = model[model[id].pack].authority;
        return program.provisions[id.value].always_weighed || governs[authority.value] != Truth::no;
    }
    [[nodiscard]] Status status(ProvisionId id) const;
    [[nodiscard]] bool plan_only(const std::vector<FactId>& facts) const;
    [[nodiscard]] std::vector<std::string> names(const std::vector<FactId>& facts) const;
    /// Whether a quantity has no value although the facts that it needs apply.
    [[nodiscard]] bool without_value(Ref ref) const;
    /// The same, or it has none in some piece of which it is open whether it counts.
    [[nodiscard]] bool may_lack_value(Ref ref) const;
    /// "14 ft", as the person gave it; "not known" or "does not apply".
    [[nodiscard]] std::string given_text(FactId fact) const;
    /// The value of a fact or quantity in its unit; a fact keeps the person's own figure, and a
    /// quantity may have "no value".
    [[nodiscard]] std::string value_text(Ref ref) const;
    [[nodiscard]] std::string bound_text(ProvisionId id) const;
};

/// The parts of a decision, each from one file of this room.
std::vector<DutyDecision> decide_duties(Work& work);
/// Adds the first duty of the vocabulary, as not addressed, where nothing speaks of it.
void add_first_duty(const Model& model, std::vector<DutyDecision>& decisions);
std::vector<ChoiceDecision> decide_choices(Work& work);
std::vector<LimitDecision> decide_limits(Work& work);
std::vector<Fit> hold_plan(Work& work, const Decision& decision);
std::vector<Governing> tell_governing(Work& work);
std::vector<Step> tell_steps(Work& work);
std::vector<QuantityValue> tell_quantities(Work& work);
std::vector<PackUsed> tell_packs(Work& work);

/// The date, and the authorities that the host named; unknown ones are findings.
Circumstances read_circumstances(const Model& model, Date on, const DecideOptions& options,
                                 Findings& findings);

/// Facts that were given and cannot be true together, each in a sentence that names them.
Sentences tell_at_odds(const Work& work);

/// Quantities that divide by zero or take the root of a negative number, each in a sentence, as far
/// as something hinges on them: were their comparisons not known, one of these nodes would not be
/// known, or some limit is set on them or by them.
Sentences tell_without_value(const Work& work, const std::vector<NodeId>& nodes);

/// Authorities that would govern this case by their own words and have no edition for the day, each
/// in a sentence, such as a policy that begins next month.
std::vector<std::string> tell_not_in_force(Work& work);

/// Facts that were answered with yes and that no rule on the shelf looks at: a rulepack may be
/// missing. The graph is that of the model.
std::vector<std::string> tell_unheeded(const Work& work, const DependencyGraph& graph);

/// Reports an authority that governs whose editions all begin after the date that picks among them.
void report_before_first_edition(const Work& work, Findings& findings);

std::string value_text(const std::optional<Value>& value, const std::string& unit);

}  // namespace toprail
