// Entry point: agree.
#include "productions.hpp"
#include "subject.hpp"
#include "toprail/case_decider.hpp"

#include <algorithm>
#include <iostream>

namespace bench {
namespace {

using Bytes = std::vector<std::uint8_t>;

class Comparison {
  public:
    /// Classes of one plan mean nothing to another: `plan` is the one that the cases were drawn
    /// for.
    Comparison(const Subject& subject, const toprail::BulkPlan& plan, const Cases& cases)
        : subject_(subject),
          plan_(plan),
          cases_(cases),
          duties_(plan.duties().size()),
          provisions_(plan.provisions().size()) {
        toprail::BulkRun run;
        run.search = false;
        run.vectors = "portable";
        planes_.resize(plan.status_bytes(cases.count));
        run.statuses = planes_;
        outcomes_.resize(duties_ * cases.count);
        plan.decide(cases.spans(), cases.count, outcomes_, run);
    }

    /// The plan against a walk over its nodes.
    bool run() {
        bulk(plan_, "bulk");
        one_by_one(plan_);
        walked();
        return same_;
    }

    /// What else is made from the same classes.
    bool run_rivals(std::size_t by_productions) {
        written_out();
        produced(by_productions);
        if (provisions_ != 0) {
            documents();
        }
        return same_;
    }

    bool run_other(const toprail::BulkPlan& plan) {
        bulk(plan, "bulk by another plan");
        one_by_one(plan);
        return same_;
    }

  private:
    void hold(bool same, const std::string& who) {
        if (!same) {
            std::cerr << "bench: " << who << " answers otherwise (" << subject_.name << " rules)\n";
            same_ = false;
        }
    }

    [[nodiscard]] bool same_case(std::size_t i, const std::uint8_t* outcomes) const {
        for (std::size_t d = 0; d < duties_; ++d) {
            if (outcomes[d] != outcomes_[d * cases_.count + i]) {
                return false;
            }
        }
        return true;
    }

    template <class StatusOf>
    [[nodiscard]] bool same_statuses(std::size_t i, StatusOf status_of) const {
        for (std::size_t p = 0; p < provisions_; ++p) {
            if (status_of(p) != plan_.status(planes_, p, i)) {
                return false;
            }
        }
        return true;
    }

    void bulk(const toprail::BulkPlan& plan, const std::string& who) {
        for (const std::string_view vectors : toprail::BulkPlan::vectors()) {
            Bytes seen(outcomes_.size());
            Bytes planes(plan.status_bytes(cases_.count));
            toprail::BulkRun run;
            run.search = false;
            run.vectors = vectors;
            run.statuses = planes;
            plan.decide(cases_.spans(), cases_.count, seen, run);
            hold(seen == outcomes_, who + " by " + std::string(vectors));
            hold(planes.empty() || same_planes(planes),
                 who + " by " + std::string(vectors) + ", statuses");
        }
    }

    [[nodiscard]] bool same_planes(const Bytes& planes) const {
        for (std::size_t i = 0; i < cases_.count; ++i) {
            if (!same_statuses(i, [&](std::size_t p) { return plan_.status(planes, p, i); })) {
                return false;
            }
        }
        return true;
    }

    void one_by_one(const toprail::BulkPlan& plan) {
        toprail::CaseDecider decider(plan);
        toprail::CaseDecider by_handle(plan);
        bool same = true;
        for (std::size_t i = 0; i < cases_.count; ++i) {
            const std::span<const std::uint8_t> row(cases_.row(i), cases_.facts);
            same = same && same_case(i, decider.decide(row).data());
            const auto statuses = decider.statuses();
            same = same && (statuses.empty() ||
                            same_statuses(i, [&](std::size_t p) { return statuses[p]; }));
            for (std::size_t f = 0; f < cases_.facts; ++f) {
                by_handle.set_class(f, row[f]);
            }
            same = same && same_case(i, by_handle.decide().data());
        }
        hold(same, "one case at a time");
    }

    void written_out() {
        const Rival& rival = *subject_.rival;
        Bytes outcomes(duties_);
        Bytes statuses(provisions_);
        bool branchy = true;
        bool plain = true;
        bool told = true;
        for (std::size_t i = 0; i < cases_.count; ++i) {
            rival.branchy(cases_.row(i), outcomes.data());
            branchy = branchy && same_case(i, outcomes.data());
            rival.plain(cases_.row(i), outcomes.data());
            plain = plain && same_case(i, outcomes.data());
            rival.plain_statuses(cases_.row(i), outcomes.data(), statuses.data());
            told = told && same_case(i, outcomes.data());
            told = told && (!rival.statuses || same_statuses(i, [&](std::size_t p) {
                       return static_cast<toprail::Status>(statuses[p]);
                   }));
        }
        hold(branchy, "C++ with branches");
        hold(plain, "C++ without branches");
        hold(told, "C++ without branches, statuses");
        Bytes seen(outcomes_.size());
        Bytes all(provisions_ * cases_.count);
        rival.columns(cases_.pointers().data(), cases_.count, seen.data());
        hold(seen == outcomes_, "C++ over columns");
        if (!rival.statuses) {
            return;
        }
        rival.columns_statuses(cases_.pointers().data(), cases_.count, seen.data(), all.data());
        bool same = seen == outcomes_;
        for (std::size_t i = 0; i < cases_.count; ++i) {
            same = same && same_statuses(i, [&](std::size_t p) {
                       return static_cast<toprail::Status>(all[i * provisions_ + p]);
                   });
        }
        hold(same, "C++ over columns, statuses");
    }

    void walked() {
        NodeWalk walk(plain_rules(plan_));
        Bytes outcomes(duties_);
        bool same = true;
        for (std::size_t i = 0; i < cases_.count; ++i) {
            walk.decide(cases_.row(i), outcomes.data());
            same = same && same_case(i, outcomes.data());
        }
        hold(same, "the walk over nodes");
    }

    void produced(std::size_t count) {
        if (count == 0) {
            return;
        }
        Productions productions(subject_.rules);
        bool same = true;
        for (std::size_t i = 0; i < std::min(count, cases_.count); ++i) {
            productions.reset();
            productions.run(cases_.row(i));
            same = same && productions.outcome() == outcomes_[i];
        }
        hold(same, "the production rules");
    }

    void documents() {
        toprail::CaseDecider decider(plan_);
        bool same = true;
        for (std::size_t i = 0; i < cases_.count; ++i) {
            decider.decide({cases_.row(i), cases_.facts});
            std::string trail;
            decider.append_json(trail);
            const std::string other = document(subject_, parts_of(trail));
            if (same && trail != other) {
                std::cerr << trail << '\n' << other << '\n';
                same = false;
            }
        }
        hold(same, "the trail as a document");
    }

    const Subject& subject_;
    const toprail::BulkPlan& plan_;
    const Cases& cases_;
    std::size_t duties_;
    std::size_t provisions_;
    Bytes outcomes_;
    Bytes planes_;
    bool same_ = true;
};

}  // namespace

bool agree(const Subject& subject, std::size_t count, std::size_t by_productions) {
    const Cases lean = draw_cases(subject.lean, count);
    const Cases full = draw_cases(subject.full, count);
    // Where both plans have the same classes, the rivals were made from that with statuses.
    const bool alike = lean.rows == full.rows;
    Comparison by_lean(subject, subject.lean, lean);
    Comparison by_full(subject, subject.full, full);
    return by_lean.run() && by_full.run() && (!alike || by_full.run_other(subject.lean)) &&
           (subject.rival->statuses ? by_full : by_lean).run_rivals(by_productions);
}

}  // namespace bench
