// The answers of one authority as alternatives that can be held against those of another: each
// answer is in exactly one state in every case.
#pragma once

#include "proving/law.hpp"
#include "toprail/decision.hpp"

#include <set>
#include <string>
#include <vector>

namespace toprail {

/// What an answer is about.
struct Subject {
    enum class Kind { duty, value, limit, governs };
    Kind kind = Kind::duty;
    std::string name;     // duty, choice, limited quantity, authority
    std::string value;    // value: which one
    bool at_most = true;  // limit

    [[nodiscard]] std::string text() const;
    friend auto operator<=>(const Subject&, const Subject&) = default;
};

/// One of the states that an answer can be in. A figure may be written in several ways.
struct State {
    std::vector<std::string> texts;
    z3::expr holds;
    /// How much is asked, more is stricter; not for limits.
    int strictness = 0;
};

struct AnswerTerms {
    std::vector<State> states;
    /// Limits only.
    std::optional<BoundTerms> bound;
};

/// The duties, values and limits that some provision of the law speaks of. `governs` is left to the
/// caller.
std::set<Subject> subjects_of(const Law& law);

/// A subject that this law does not speak of is in the state of being left alone.
AnswerTerms answer_terms(z3::context& context, const Law& law, const Subject& subject);

/// The text of the state in which a decision has the subject; empty when it is open.
std::string told(const Decision& decision, const Subject& subject);

/// The strictest bound of a limit with the figure that a quantity comes to.
std::string bound_told(const Decision& decision, const Subject& subject);

/// Keys of the standing provisions behind it.
std::vector<std::string> grounds(const Decision& decision, const Subject& subject);

}  // namespace toprail
