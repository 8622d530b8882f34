// What would change the answer: the smallest changes of given facts that give a duty another
// outcome.
//
//   toprail::Changes found = toprail::smallest_changes(shelf, facts, on, "tie-off");
//   for (const toprail::Change& change : found.changes) { ... change.facts, change.brings_in ... }
//
// Facts that are not known are left so: what they can change stands in DutyDecision::settled_by.
// The deciding date is not varied. Pure and thread-safe.
#pragma once

#include "toprail/decision.hpp"
#include "toprail/shelf.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace toprail {

/// One fact told otherwise: "platform-height was 14 ft" and "platform-height is less than 4 ft".
struct FactChange {
    std::string fact;
    std::string was;
    /// Every value of which this is true has the same effect.
    std::string now;
};

struct Change {
    /// One fact, or two.
    std::vector<FactChange> facts;
    Outcome outcome = Outcome::undetermined;
    /// As in DutyDecision; one entry when decided.
    std::vector<Outcome> possible;
    /// Provisions the new outcome rests on that the old one did not, and the other way round, each
    /// with its citation: "yard/open-rails (Yard 1)".
    std::vector<std::string> brings_in;
    std::vector<std::string> takes_away;
};

struct Changes {
    /// Empty unless the facts could not be used, or no such duty is spoken of.
    std::vector<Finding> findings;
    Outcome outcome = Outcome::undetermined;
    std::vector<Change> changes;
    /// How many facts each of them changes: 1, 2, or 0 when none was found.
    std::size_t size = 0;
    /// True when it is proved that nothing smaller changes the outcome; with size 0, that no change
    /// of two facts does.
    bool proved_smallest = false;
    /// True when `changes` holds every change of that size.
    bool complete = false;
};

/// Looks at every class of values of every given fact and, when none of them alone changes the
/// outcome, at pairs. `most_tries` bounds the cases that are decided.
Changes smallest_changes(const Shelf& shelf, const Facts& facts, Date on, const std::string& duty,
                         const DecideOptions& options = {}, std::size_t most_tries = 20'000);

}  // namespace toprail
