// Entry point: report_adopted_editions. An adopted rulepack of several editions is taken over as
// its newest one is, for all days.
#include "shelf/checks.hpp"

namespace toprail {

void report_adopted_editions(const Model& model, Findings& findings) {
    for (const Rulepack& pack : model.packs) {
        for (const Adoption& adoption : pack.adopts) {
            const Rulepack& newest = model[adoption.adopted];
            const auto& editions = model.authorities[newest.authority.value].editions;
            if (editions.size() < 2 || newest.from <= pack.from) {
                continue;
            }
            Finding& finding = findings.add(
                Kind::adopts_newest, adoption.pack.span,
                "the edition of " + newest.id + " from " + newest.from.text() +
                    " is taken over for all days of " + pack.id + ", those before it included");
            finding.others.push_back({place_of(newest.span), "the newest edition"});
            finding.help = "write what changes as provisions with a first and last day in force, "
                           "in one edition of " +
                           newest.id;
        }
    }
}

}  // namespace toprail
