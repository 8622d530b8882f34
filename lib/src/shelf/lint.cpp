// Entry point: lint_shelf. What can only be said of a shelf that loads.
#include "shelf/checks.hpp"
#include "toprail/shelf.hpp"

namespace toprail {

std::vector<Finding> lint_shelf(const Shelf& shelf) {
    Findings findings;
    const ShelfData& data = shelf.data();
    report_unused(data.model, data.graph, findings);
    report_never_true(data, findings);
    report_never_counts(data.model, findings);
    report_stands_twice(data.model, findings);
    report_may_lack_value(data.model, data.graph, findings);
    report_never_governs(data.model, findings);
    report_odd_citations(data.model, findings);
    report_unread_marks(data.model, findings);
    report_adopted_editions(data.model, findings);
    report_yaml_traps(data.model, findings);
    report_stale_figures(data.model, findings);
    report_worked_cases(shelf, findings);
    return findings.take();
}

}  // namespace toprail
