// One case with every fact known: the rules of the design applied to the letter, without a thought
// for speed. Pure functions of a Model and a Filling.
#pragma once

#include "oracle/model.hpp"
#include "toprail/decision.hpp"

#include <map>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

namespace oracle {

/// A known value of a fact; all empty when the fact does not apply.
struct Value {
    std::optional<std::string> word;  // a choice value, or "yes" and "no"
    std::optional<Date> day;
    std::optional<Number> number;

    [[nodiscard]] bool applies() const { return word || day || number; }
    friend bool operator==(const Value&, const Value&) = default;
};

/// What every fact of the model is, and the deciding date.
struct Filling {
    std::map<std::string, const Value*> facts;
    Date on;

    [[nodiscard]] const Value& of(const std::string& fact) const { return *facts.at(fact); }
};

/// A number, or the square root of one: a root that is not rational cannot be written down.
struct Measure {
    Number number;
    bool root = false;
    friend bool operator==(const Measure&, const Measure&) = default;
};

/// -1, 0 or 1.
int compare(const Measure& a, const Measure& b);

/// The value of an expression; empty when it does not apply.
std::optional<Measure> measure(const Model& model, const Scope& scope, const Expression& expression,
                               const Filling& filling);

/// The pieces of a quantity, from the scope or the vocabularies; null when the name is no quantity.
const std::vector<Scope::Piece>* pieces_of(const Model& model, const Scope& scope,
                                           const std::string& name);

bool holds(const Model& model, const Scope& scope, const Condition& condition,
           const Filling& filling);

/// One limit that stands, is not displaced, and whose authority governs.
struct StandingLimit {
    bool at_most = true;
    std::optional<Measure> bound;
};

/// What the plan does about one duty, as far as the vocabulary and the packs let it show.
struct DutyFit {
    /// Whether the plan shows the duty as met; open when nothing says how it would.
    toprail::Verdict done = toprail::Verdict::open;
    /// Whether the terms of every exception that covers a standing demand are met.
    toprail::Verdict terms = toprail::Verdict::met;
    friend bool operator==(const DutyFit&, const DutyFit&) = default;
};

/// What a case without unknown facts comes to.
struct Outcomes {
    /// An authority that governs is asked about a day before its first edition: no answer.
    bool before_first_edition = false;
    std::set<std::string> governing;
    std::map<std::string, toprail::Outcome> duties;
    std::set<std::string> contested;
    std::map<std::string, std::set<std::string>> admissible;
    std::map<std::string, std::map<const Provision*, StandingLimit>> limits;
    /// The conditions of the provision are true and it is in force.
    std::set<const Provision*> standing;
    std::set<const Provision*> displaced;
    std::map<std::string, DutyFit> fit;
    /// What the limited quantities come to; empty for those that do not apply.
    std::map<std::string, std::optional<Measure>> measured;
};

/// `named` are the authorities that the host says govern; empty when the packs decide that.
Outcomes decide_filling(const Model& model, const Filling& filling,
                        const std::set<std::string>& named);

}  // namespace oracle
