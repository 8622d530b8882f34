// Entry point: report_unread_marks. A mark says how far a provision was compared with its source;
// where the rulepack says that nothing was read, no provision can bear a mark that it was.
#include "shelf/checks.hpp"

#include <algorithm>

namespace toprail {
namespace {

// A rulepack without any entry makes no such statement.
bool nothing_was_read(const Rulepack& pack) {
    return !pack.what_was_read.empty() &&
           std::all_of(pack.what_was_read.begin(), pack.what_was_read.end(),
                       [](const std::string& entry) { return entry.starts_with("nothing"); });
}

}  // namespace

void report_unread_marks(const Model& model, Findings& findings) {
    for (std::size_t i = 0; i < model.packs.size(); ++i) {
        const Rulepack& pack = model.packs[i];
        if (!nothing_was_read(pack)) {
            continue;
        }
        const Provision* first = nullptr;
        std::size_t marked = 0;
        for (const Provision& provision : model.provisions) {
            if (provision.pack == PackId(i) && provision.written_in == PackId(i) &&
                verified(provision.mark)) {
                first = first == nullptr ? &provision : first;
                ++marked;
            }
        }
        if (first == nullptr) {
            continue;
        }
        Finding& finding = findings.add(
            Kind::unread_mark, first->span,
            "\"" + first->id + "\" " +
                (marked == 1 ? "is" : "and " + std::to_string(marked - 1) + " more are") +
                " marked as read, but " + pack.id + " says that nothing was read");
        finding.help = "say under what-was-read which text was compared, or mark what was not "
                       "as secondary, memory or inference";
    }
}

}  // namespace toprail
