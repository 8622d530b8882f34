// Numeric values of one case: exact numbers, straight lines in one unknown fact, or no more than
// bounds.
#pragma once

#include "quantity/number.hpp"
#include "reading/formula.hpp"
#include "reading/sentence.hpp"
#include "rulepack/ids.hpp"

#include <optional>
#include <vector>

namespace toprail {

/// absent: does not apply. number: between `low` and `high`, which are equal unless a root made the
/// value irrational. line: slope * fact + offset, exactly, the slope may be 0. open: only bounds
/// are known.
struct Value {
    enum class Kind : std::uint8_t { absent, number, line, open };
    Kind kind = Kind::absent;
    Number low;
    Number high;
    FactId fact;
    Number slope;
    Number offset;
    std::optional<Number> at_least;  // line and open
    std::optional<Number> at_most;
    bool may_vanish =
        false;  // open: may not apply although its facts do (division by 0, root of < 0)
    std::vector<FactId> facts;  // open: what it hangs on, ascending
    /// open: tells two values with the same bounds apart, which need not be the same number. 0
    /// where nobody has to.
    std::uint32_t which = 0;

    friend bool operator==(const Value&, const Value&) = default;

    static Value absent() { return {}; }
    static Value number(Number value);
    static Value bracket(Number low, Number high);
    /// The value of a fact that is not known, within its sensible range.
    static Value unknown(FactId fact, std::optional<Number> at_least,
                         std::optional<Number> at_most);
};

/// add, subtract, multiply or divide. Dividing by zero does not apply. A result of thousands of
/// digits counts as one that is not known, and may not apply.
Value combine(Operation operation, const Value& a, const Value& b);

/// The square root; of a negative number it does not apply.
Value root(const Value& a);

/// What min or max of two values is when neither is known to be the smaller: bounds only.
Value either_of(Operation operation, const Value& a, const Value& b);

/// Whether `a <verb> b`: true, false, or empty when the bounds leave it open. Absent gives false.
std::optional<bool> compare(Verb verb, const Value& a, const Value& b);

/// Whether `number <verb> 0`.
bool holds(Verb verb, const Number& number);

/// A line that is not level, and a number that a root left between two ends: which is the larger is
/// known for all values of the fact but those between two turns.
bool is_line_against_root(const Value& line, const Value& root);

/// All facts that the value hangs on.
std::vector<FactId> facts_of(const Value& value);
std::vector<FactId> merge(const std::vector<FactId>& a, const std::vector<FactId>& b);

}  // namespace toprail
