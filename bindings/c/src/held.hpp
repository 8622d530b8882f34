// What handles stand for.
#pragma once

#include "handles.hpp"
#include "view.hpp"

#include <toprail/decision.hpp>
#include <toprail/facts.hpp>
#include <toprail/finding.hpp>
#include <toprail/shelf.hpp>

#include <memory>
#include <mutex>
#include <string>
#include <utility>
#include <vector>

namespace toprail::c {

struct HeldShelf : Held {
    explicit HeldShelf(Shelf held) : shelf(std::move(held)) {}
    const Shelf shelf;
};

struct HeldFacts : Held {
    Facts facts;
};

struct HeldFindings : Held {
    explicit HeldFindings(std::vector<Finding> held) : findings(std::move(held)) {}
    const std::vector<Finding> findings;
};

struct HeldBuffer : Held {
    std::string text;
};

class HeldDecision : public Held {
  public:
    explicit HeldDecision(Decision held) : decision(std::move(held)) {}

    const Decision decision;

    /// The decision laid out as the interface tells it; made when it is first asked for, since a
    /// caller who wants JSON alone never does.
    const DecisionView& view() {
        const std::lock_guard lock(mutex_);
        if (!view_) {
            view_ = std::make_unique<DecisionView>(decision);
        }
        return *view_;
    }

  private:
    std::mutex mutex_;
    std::unique_ptr<DecisionView> view_;
};

/// A handle for the findings, when there are any and the caller has a place for them.
inline Kept<toprail_findings> keep_findings(std::vector<Finding>&& findings,
                                            toprail_findings** wanted) {
    if (wanted == nullptr || findings.empty()) {
        return {};
    }
    return Kept<toprail_findings>(std::make_shared<HeldFindings>(std::move(findings)));
}

/// Sets the place for findings, when there is one.
inline void hand_out(Kept<toprail_findings>& kept, toprail_findings** wanted) {
    if (wanted != nullptr) {
        *wanted = kept.release();
    }
}

/// Lets `append` add to the buffer, or leaves it as it was.
template <class Append>
void append_to(HeldBuffer& buffer, Append&& append) {
    const std::size_t before = buffer.text.size();
    try {
        append(buffer.text);
    } catch (...) {
        buffer.text.resize(before);
        throw;
    }
}

}  // namespace toprail::c
