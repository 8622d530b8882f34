// The reference evaluator: slow, obvious, and independent of the library's own way of deciding. It
// knows the library's readers of texts and figures, and nothing above them.
//
// For one case it lists every filling of the facts that are not known, decides each by the letter
// of the rules (filling.hpp), and adds up. Numbers that have no end of values stand in through
// representatives: every figure mentioned, every break of a formula, and one point in each gap.
#pragma once

#include "oracle/filling.hpp"
#include "oracle/model.hpp"
#include "toprail/facts.hpp"

#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

namespace oracle {

using toprail::Perhaps;
using toprail::Status;

struct DutyAnswer {
    std::set<toprail::Outcome> possible;
    Perhaps contested = Perhaps::no;
    std::set<std::string> settled_by;
};

struct ChoiceAnswer {
    std::set<std::string> admissible;
    std::set<std::string> barred;
    std::set<std::string> open;
    Perhaps empty = Perhaps::no;
    std::set<std::string> settled_by;
};

struct LimitAnswer {
    const Provision* provision = nullptr;
    Status status = Status::open;
    bool at_most = true;
    /// Among the bounds that stand in every filling; compared only when every bound has a known
    /// value.
    bool strictest = false;
    bool all_known = true;
};

struct GoverningAnswer {
    Perhaps governs = Perhaps::no;
    std::set<std::string> settled_by;
};

/// What the fillings make of the plan for one duty, choice or limit; nothing is reachable where a
/// limited quantity never applies. Unless it is plain, the answer may stay open: the demand and the
/// plan then hang together by facts that are not known, or the packs do not say how to tell.
struct FitAnswer {
    std::set<toprail::Verdict> reachable;
    bool plain = true;
};

struct Answer {
    /// Some filling leads before the first edition of a governing authority; all of them do.
    bool some_before_first_edition = false;
    bool all_before_first_edition = true;
    std::map<std::string, DutyAnswer> duties;
    std::map<std::string, ChoiceAnswer> choices;
    std::map<std::string, std::map<Which, LimitAnswer>> limits;
    std::map<std::string, GoverningAnswer> governing;
    std::map<Which, Status> provisions;
    /// By "duty", "choice" and "limit", and by name.
    std::map<std::string, std::map<std::string, FitAnswer>> fit;
    /// The fillings that were decided.
    std::size_t fillings = 0;
};

class Oracle {
  public:
    /// Throws Unusable.
    explicit Oracle(const std::vector<toprail::SourceText>& texts) : model_(read_model(texts)) {}

    [[nodiscard]] const Model& model() const { return *model_; }

    /// The values that a fact may take in this case: one when it is given.
    [[nodiscard]] std::vector<Value> values_of(const toprail::Facts& facts, Date on,
                                               const std::string& fact) const;

    [[nodiscard]] Answer decide(const toprail::Facts& facts, Date on,
                                const std::set<std::string>& authorities) const;

  private:
    std::unique_ptr<Model> model_;
};

/// A value as a person would give it, for a fact of that type; empty when no decimal says it.
std::optional<std::string> exact_text_of(const Fact& fact, const Value& value);

}  // namespace oracle
