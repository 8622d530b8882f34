// Entry points: reading decisions and findings.
#include "entry.hpp"
#include "held.hpp"

#include <toprail/telling.hpp>

#include <type_traits>

using namespace toprail::c;

namespace {

/// Gives the caller one entry of the decision: a text, or a struct as far as the caller knows it.
template <class Entry>
toprail_status tell(const toprail_decision* decision,
                    const std::vector<Entry> DecisionView::*entries, size_t number, Entry* to) {
    return entry([&] {
        const auto from = held<HeldDecision>(decision);
        const Entry& one = numbered(from->view().*entries, number);
        if constexpr (std::is_same_v<Entry, toprail_text>) {
            place(to) = one;
        } else {
            fill(to, one);
        }
        return TOPRAIL_OK;
    });
}

}  // namespace

extern "C" {

toprail_status toprail_decision_count(const toprail_decision* decision,
                                      toprail_decision_sizes* sizes) {
    return entry([&] {
        const auto from = held<HeldDecision>(decision);
        const toprail::Decision& all = from->decision;
        fill(sizes, {sizeof(toprail_decision_sizes), all.duties.size(), all.choices.size(),
                     all.limits.size(), all.fit.size(), all.trail.size(), all.cautions.size(),
                     all.undetermined()});
        return TOPRAIL_OK;
    });
}

toprail_status toprail_duty_at(const toprail_decision* decision, size_t number,
                               toprail_duty* duty) {
    return tell(decision, &DecisionView::duties, number, duty);
}

toprail_status toprail_duty_named(const toprail_decision* decision, toprail_text name,
                                  toprail_duty* duty) {
    return entry([&] {
        const auto from = held<HeldDecision>(decision);
        for (const toprail_duty& each : from->view().duties) {
            if (view(each.duty) == view(name)) {
                fill(duty, each);
                return TOPRAIL_OK;
            }
        }
        refuse(TOPRAIL_NO_SUCH, "no governing authority may speak of a duty of that name");
    });
}

toprail_status toprail_choice_at(const toprail_decision* decision, size_t number,
                                 toprail_choice* choice) {
    return tell(decision, &DecisionView::choices, number, choice);
}

toprail_status toprail_limit_at(const toprail_decision* decision, size_t number,
                                toprail_limit* limit) {
    return tell(decision, &DecisionView::limits, number, limit);
}

toprail_status toprail_fit_at(const toprail_decision* decision, size_t number, toprail_fit* fit) {
    return tell(decision, &DecisionView::fits, number, fit);
}

toprail_status toprail_step_at(const toprail_decision* decision, size_t number,
                               toprail_step* step) {
    return tell(decision, &DecisionView::steps, number, step);
}

toprail_status toprail_caution_at(const toprail_decision* decision, size_t number,
                                  toprail_text* caution) {
    return tell(decision, &DecisionView::cautions, number, caution);
}

toprail_status toprail_findings_count(const toprail_findings* findings, size_t* count) {
    return entry([&] {
        place(count) = held<HeldFindings>(findings)->findings.size();
        return TOPRAIL_OK;
    });
}

toprail_status toprail_finding_at(const toprail_findings* findings, size_t number,
                                  toprail_finding* finding) {
    return entry([&] {
        const auto from = held<HeldFindings>(findings);
        const toprail::Finding& one = numbered(from->findings, number);
        const toprail::Place& at = one.place;
        fill(finding, {sizeof(toprail_finding), text(one.code),
                       static_cast<toprail_severity>(one.severity), at.line, at.column, at.length,
                       text(at.file), text(at.text), text(one.message), text(one.help)});
        return TOPRAIL_OK;
    });
}
}
