// What a telling says of the provisions behind an answer, the same on paper and on a page.
#pragma once

#include "toprail/decision.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace toprail {

/// Said of a duty that is told although no provision speaks of it.
inline constexpr const char* nobody_speaks_of_it =
    "no provision that may govern this case speaks of it: stop and ask a competent person";

std::string joined(const std::vector<std::string>& words, std::string_view glue = ", ");

/// Cautions after which nobody should read on before asking: facts at odds, and what has no value.
/// They are told before the answer as well.
bool comes_first(const std::string& caution);

/// The facts that would settle a duty; where none could be named, that.
std::string settling(const std::vector<std::string>& facts);

/// The step of a provision by its name; null when it was not weighed.
const Step* find_step(const Decision& decision, const std::string& provision);

/// The citations of these provisions, each once, in order.
std::string cites(const Decision& decision, const std::vector<std::string>& provisions);

/// Said of a duty whose grounds are all open.
inline constexpr const char* whichever_way =
    "whichever way the facts that are not known turn out, by one of these:";

/// Whether the outcome is settled and no provision that it rests on stands for certain.
bool only_open_grounds(const Decision& decision, const DutyDecision& duty);

/// "displaced by us.federal.x/y", or that it may come to be.
std::string displacing_text(const Step& step);

/// Whether only the plan is open, and what the outcome comes to with it is known.
bool depends_on_plan(const DutyDecision& duty);

/// "required if means is arrest; not required if means is restraint".
std::string outcomes_by_plan(const DutyDecision& duty);

/// "not known", "does not apply", or the value as it was given.
std::string value_text(const FactEntry& fact);

/// Citations, adoption, standing and mark: "29 CFR 1926.453(b)(2)(v) [regulation, read]".
std::string source_text(const Step& step);

}  // namespace toprail
