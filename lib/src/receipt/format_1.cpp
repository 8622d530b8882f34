// Entry point: cautions_in_format_1. Receipts of format 1 name the paragraphs that nobody has seen
// in one caution for all answers, leave out those that were read in part, and say nothing of packs
// that only name authorities, of what naming authorities leaves out, or of law that is missing.
#include "deciding/cautions.hpp"
#include "receipt/body.hpp"

#include <algorithm>

namespace toprail {
namespace {

bool tells_of_naming_pack(const std::string& caution, const Decision& decision) {
    return std::any_of(decision.packs.begin(), decision.packs.end(), [&](const PackUsed& pack) {
        return pack.role == PackRole::names_authorities &&
               caution.starts_with("not verified for this date: " + pack.authority + " ");
    });
}

}  // namespace

std::vector<std::string> cautions_in_format_1(const Decision& decision) {
    std::set<std::string> unseen;
    const std::set<std::string> grounds = grounds_of(decision);
    for (const Step& step : decision.trail) {
        if (grounds.contains(step.provision) && step.source != "read" &&
            step.source != "read-part") {
            unseen.insert(step.cite + " (" + step.source + ")");
        }
    }
    std::vector<std::string> cautions;
    for (const std::string& each : unseen) {
        if (cautions.empty()) {
            cautions.emplace_back(
                "unverified: this rests on text that nobody has compared with the source; check ");
        } else {
            cautions.front() += "; ";
        }
        cautions.front() += each;
    }
    for (const std::string& caution : decision.cautions) {
        if (!caution.starts_with("unverified") && !caution.starts_with(named_alone) &&
            !caution.starts_with(without_edition) && !caution.starts_with(adopted_later) &&
            !caution.starts_with(no_rule_looks) && !caution.starts_with(at_odds) &&
            !caution.starts_with(no_value) && caution != no_law &&
            !tells_of_naming_pack(caution, decision)) {
            cautions.push_back(caution);
        }
    }
    return cautions;
}

}  // namespace toprail
