// What is known of a case once both passes are done: the truth of nodes, what they hang on, and
// which of several ranked outcomes can still come about.
#pragma once

#include "deciding/exact.hpp"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace toprail {

/// Several nodes in order of rank: the first that is true names the outcome; none of them is the
/// last.
struct Ranking {
    std::vector<bool> reachable;     // one more entry than nodes
    std::vector<FactId> settled_by;  // ascending
    FactId ask_next;
    bool exact = true;
    /// Per outcome, the diagram of when it comes about; empty when the budget was spent.
    std::vector<Diagrams::Ref> when;
};

/// Not thread-safe; one per case. Everything handed in must outlive it.
class Knowledge {
  public:
    Knowledge(const Program& program, const Model& model, const std::vector<BoundFact>& facts,
              const Circumstances& circumstances, std::size_t budget);

    /// Works out these nodes and forgets what was worked out before: classes of values fit one set
    /// of nodes. When the budget is spent, the first pass's answer stands for them.
    void work_out(const std::vector<NodeId>& outputs);

    [[nodiscard]] Truth truth(NodeId node) const;
    /// Unknown facts that can change the node. `exact` is cleared when there may be fewer.
    [[nodiscard]] std::vector<FactId> hangs_on(NodeId node, bool& exact) const;
    /// Which outcomes of a Ranking some filling leads to, and nothing else of it.
    [[nodiscard]] std::vector<bool> reachable(const std::vector<NodeId>& nodes);
    [[nodiscard]] Ranking rank(const std::vector<NodeId>& nodes);
    /// In words, when the node is true: "means is arrest". Empty when that takes too many words.
    [[nodiscard]] std::string when(NodeId node) const;
    [[nodiscard]] std::string when(Diagrams::Ref ref) const;

    [[nodiscard]] const std::optional<Value>& value(ExpressionId id) const {
        return first_.expressions[id.value];
    }
    [[nodiscard]] const FirstPass& first() const { return first_; }
    [[nodiscard]] const std::vector<BoundFact>& facts() const { return facts_; }

  private:
    [[nodiscard]] std::vector<FactId> facts_of_support(const std::vector<bool>& used,
                                                       bool& exact) const;
    [[nodiscard]] std::vector<FactId> facts_of_cone(const std::vector<NodeId>& nodes) const;
    /// Leaves out the fillings in which an authority governs at a date before its first edition.
    void leave_out_impossible();
    [[nodiscard]] std::vector<FactId>
    matters_within_possible(const std::vector<Diagrams::Ref>& outcomes, bool& exact) const;
    [[nodiscard]] FactId best_to_ask(const Ranking& ranking);
    [[nodiscard]] Ranking rank_roughly(const std::vector<NodeId>& nodes) const;

    const Program& program_;
    const Model& model_;
    const std::vector<BoundFact>& facts_;
    std::size_t budget_;
    FirstPass first_;
    Diagrams::Ref possible_ = Diagrams::always;  // the fillings that have an answer
    std::unique_ptr<Exact> exact_;  // empty before work_out and once the budget is spent
};

/// In words, a set of classes of one variable: "platform-height is more than 10 ft".
std::string describe_classes(const Model& model, const Variable& variable,
                             const std::vector<bool>& chosen);

}  // namespace toprail
