// Entry point: tell_cause_first.
#include "shelf/follow_on.hpp"

#include "findings/kinds.hpp"

#include <algorithm>
#include <initializer_list>
#include <map>

namespace toprail {
namespace {

// So many can still be read one by one, and then each says more than their number.
constexpr std::size_t few = 20;

bool is_one_of(const Finding& finding, std::initializer_list<Kind> kinds) {
    return std::any_of(kinds.begin(), kinds.end(), [&finding](Kind kind) {
        return finding.code == finding_kinds()[static_cast<std::size_t>(kind)].code;
    });
}

bool is_cause(const Finding& finding) {
    return is_one_of(finding,
                     {Kind::listed_not_found, Kind::unknown_vocabulary, Kind::unknown_authority});
}

bool follows(const Finding& finding) {
    return is_one_of(finding, {Kind::unknown_name, Kind::unknown_provision, Kind::unknown_value,
                               Kind::too_many_findings});
}

// One finding for each missing thing, at the first place that names it.
std::vector<Finding> causes_once(const std::vector<Finding>& findings) {
    std::vector<Finding> causes;
    std::map<std::string, std::size_t> seen;  // message -> how many more name it
    for (const Finding& finding : findings) {
        if (is_cause(finding) && seen.try_emplace(finding.message, 0).second) {
            causes.push_back(finding);
        } else if (is_cause(finding)) {
            ++seen[finding.message];
        }
    }
    for (Finding& cause : causes) {
        if (const std::size_t more = seen[cause.message]; more > 0) {
            cause.message += "; it is named in " + std::to_string(more) + " more places";
        }
    }
    // What a list says was lost is nearer to the cause than who misses it.
    std::stable_partition(causes.begin(), causes.end(), [](const Finding& finding) {
        return is_one_of(finding, {Kind::listed_not_found});
    });
    return causes;
}

}  // namespace

void tell_cause_first(std::vector<Finding>& findings) {
    std::vector<Finding> told = causes_once(findings);
    const auto following =
        static_cast<std::size_t>(std::count_if(findings.begin(), findings.end(), follows));
    if (told.empty() || following <= few) {
        return;
    }
    const FindingKind& row = finding_kinds()[static_cast<std::size_t>(Kind::follow_on)];
    Finding rest;
    rest.code = row.code;
    rest.severity = row.severity;
    rest.message = std::to_string(following) +
                   " more findings name facts, conditions, values or provisions that are defined "
                   "nowhere";
    rest.help = "most follow from what is missing above: put that back, and look again";
    told.push_back(std::move(rest));
    std::copy_if(findings.begin(), findings.end(), std::back_inserter(told),
                 [](const Finding& each) { return !is_cause(each) && !follows(each); });
    findings = std::move(told);
}

}  // namespace toprail
