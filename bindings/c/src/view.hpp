// A decision laid out in the structs of the interface.
#pragma once

#include "toprail.h"

#include <toprail/decision.hpp>

#include <deque>
#include <string>
#include <vector>

namespace toprail::c {

/// Points into the decision, which must outlive it. Immutable.
class DecisionView {
  public:
    explicit DecisionView(const Decision& decision);
    DecisionView(const DecisionView&) = delete;
    DecisionView& operator=(const DecisionView&) = delete;
    ~DecisionView() = default;

    std::vector<toprail_duty> duties;
    std::vector<toprail_choice> choices;
    std::vector<toprail_limit> limits;
    std::vector<toprail_fit> fits;
    std::vector<toprail_step> steps;
    std::vector<toprail_text> cautions;

  private:
    toprail_texts list(const std::vector<std::string>& texts);
    toprail_texts keep(std::vector<toprail_text> texts);

    // Deques: what was added stays where it is.
    std::deque<std::vector<toprail_text>> lists_;
    std::deque<std::vector<toprail_bound>> bounds_;
};

}  // namespace toprail::c
