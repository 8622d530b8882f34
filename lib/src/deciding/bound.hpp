// The facts of a case held against the vocabulary: each fact's state and value in program terms.
#pragma once

#include "rulepack/model.hpp"
#include "toprail/facts.hpp"

#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

namespace toprail {

struct BoundFact {
    FactState state = FactState::not_known;
    std::uint32_t value = 0;  // choice: position; yes-no: 0 no, 1 yes
    std::int32_t day = 0;     // date
    Number number;            // measured and count, in base units
};

/// Per FactId. Reports unknown-fact, unreadable-fact, out-of-range and cannot-be-absent; such a
/// fact is left not known, and the case must not be decided.
std::vector<BoundFact> bind_facts(const Model& model, const Facts& facts, Findings& findings);

/// One fact, from the text that Facts::set takes; empty where that reports a finding.
std::optional<BoundFact> bind_fact(const Model& model, FactId fact, std::string_view text,
                                   Findings& findings);

}  // namespace toprail
