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
    Comparison(const Subject& subject, const Cases& cases)
        : subject_(subject),
          cases_(cases),
          duties_(subject.full.duties().size()),
          provisions_(subject.full.provisions().size()) {
        toprail::BulkRun run;
        run.search = false;
        run.vectors = "portable";
        planes_.resize(subject.full.status_bytes(cases.count));
        run.statuses = planes_;
        outcomes_.resize(duties_ * cases.count);
        subject.full.decide(cases.spans(), cases.count, outcomes_, run);
    }

    bool run(std::size_t by_productions) {
        bulk(subject_.lean, "bulk without statuses");
        bulk(subject_.full, "bulk");
        one_by_one();
        written_out();
        walked();
        produced(by_productions);
        if (subject_.name == "invented") {
            documents();
        }
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
            if (status_of(p) != subject_.full.status(planes_, p, i)) {
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
            if (!same_statuses(i,
                               [&](std::size_t p) { return subject_.full.status(planes, p, i); })) {
                return false;
            }
        }
        return true;
    }

    void one_by_one() {
        toprail::CaseDecider lean(subject_.lean);
        toprail::CaseDecider full(subject_.full);
        bool same = true;
        for (std::size_t i = 0; i < cases_.count; ++i) {
            const std::span<const std::uint8_t> row(cases_.row(i), cases_.facts);
            same = same && same_case(i, lean.decide(row).data());
            same = same && same_case(i, full.decide(row).data());
            const auto statuses = full.statuses();
            same = same && same_statuses(i, [&](std::size_t p) { return statuses[p]; });
            for (std::size_t f = 0; f < cases_.facts; ++f) {
                lean.set_class(f, row[f]);
            }
            same = same && same_case(i, lean.decide().data());
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
        NodeWalk walk(subject_.rules);
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
        toprail::CaseDecider decider(subject_.full);
        bool same = true;
        for (std::size_t i = 0; i < cases_.count; ++i) {
            decider.decide({cases_.row(i), cases_.facts});
            std::string trail;
            decider.append_json(trail);
            same = same && trail == document(subject_, parts_of(trail));
        }
        hold(same, "the trail as a document");
    }

    const Subject& subject_;
    const Cases& cases_;
    std::size_t duties_;
    std::size_t provisions_;
    Bytes outcomes_;
    Bytes planes_;
    bool same_ = true;
};

}  // namespace

bool agree(const Subject& subject, const Cases& cases, std::size_t by_productions) {
    return Comparison(subject, cases).run(by_productions);
}

}  // namespace bench
