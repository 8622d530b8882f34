// The checks of lint_shelf, one file each. All of them suppose a shelf that loaded without errors.
#pragma once

#include "findings/collector.hpp"
#include "shelf/shelf_data.hpp"

namespace toprail {

class Shelf;

/// never-true: conditions, and parts of them, that no case makes true. never-false: comparisons
/// that every case makes true.
void report_never_true(const ShelfData& data, Findings& findings);

/// never-counts: pieces of quantities behind one that always counts.
void report_never_counts(const Model& model, Findings& findings);

/// stands-twice: lists that hold one entry twice.
void report_stands_twice(const Model& model, Findings& findings);

/// may-lack-value: quantities that may divide by zero or take the root of a negative number.
void report_may_lack_value(const Model& model, const DependencyGraph& graph, Findings& findings);

/// never-governs: authorities that count in no case.
void report_never_governs(const Model& model, Findings& findings);

/// odd-citation: citations that break the form of their authority.
void report_odd_citations(const Model& model, Findings& findings);

/// unread-mark: provisions marked read in a rulepack that says that nothing was.
void report_unread_marks(const Model& model, Findings& findings);

/// adopts-newest: adoption of a rulepack that has several editions.
void report_adopted_editions(const Model& model, Findings& findings);

/// yaml-trap: values that other programs read as something else.
void report_yaml_traps(const Model& model, Findings& findings);

/// stale-figure: texts for readers that tell another figure than the rule has.
void report_stale_figures(const Model& model, Findings& findings);

/// case-fails and case-rests-elsewhere, and no-worked-case where there is none.
void report_worked_cases(const Shelf& shelf, Findings& findings);

}  // namespace toprail
