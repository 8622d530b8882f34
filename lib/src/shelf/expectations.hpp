// Holds a decision against what a worked case expects.
#pragma once

#include "rulepack/model.hpp"
#include "toprail/decision.hpp"

#include <optional>
#include <string>
#include <vector>

namespace toprail {

struct Expectations {
    std::vector<ExpectedAnswer> answers;
    std::vector<Word> stands;
    std::vector<Word> falls;
    std::vector<Word> open;
    std::vector<Word> displaced;
    std::optional<std::vector<Word>> asks;
};

struct Mismatch {
    Span span;
    std::string message;
    /// Keys of the provisions that brought what was seen, where that is known.
    std::vector<std::string> by;
};

/// Every expectation that the decision does not meet, and every one that makes no sense. Provisions
/// are named "id" (of `authority`) or "authority/id".
std::vector<Mismatch> mismatches(const Model& model, const Decision& decision,
                                 const std::string& authority, const Expectations& expected);

}  // namespace toprail
