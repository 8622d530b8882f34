// One set of rules with everything that decides it.
#pragma once

#include "node_walk.hpp"
#include "plain_rules.hpp"
#include "plans.hpp"
#include "rivals.hpp"

#include <string>

namespace bench {

struct Subject {
    std::string name;
    toprail::Shelf shelf;
    toprail::BulkPlan lean;  // outcomes alone
    toprail::BulkPlan full;  // with statuses
    PlainRules rules;        // of the lean plan
    const Rival* rival;
};

Subject invented_subject();
Subject shipped_subject(const std::string& rulepacks);

/// What nlohmann builds and writes for a case; its parts looked up before.
struct TrailParts {
    std::string outcome;
    std::string act_as_if;  // empty when the outcome is settled
    std::vector<toprail::Status> statuses;
    std::vector<std::string> cautions;
};
/// Precondition: every authority governs, as in the invented rules.
std::string document(const Subject& subject, const TrailParts& parts);
/// Reads them back from a trail.
TrailParts parts_of(const std::string& trail);

/// Decides the cases in every way there is and compares. Tells what differs on standard error.
bool agree(const Subject& subject, std::size_t count, std::size_t by_productions);

}  // namespace bench
