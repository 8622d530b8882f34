// The second pass: what the first pass left open, as diagrams over the unknown facts.
#pragma once

#include "deciding/classes.hpp"
#include "deciding/diagram.hpp"
#include "deciding/three_valued.hpp"
#include "deciding/thresholds.hpp"

#include <optional>
#include <vector>

namespace toprail {

/// One variable of the diagrams: an unknown fact, or a comparison that hangs on several unknown
/// facts and is taken to come out either way (`fact` invalid; then answers are bounds, not exact).
struct Variable {
    FactId fact;
    std::vector<FactId> facts;       // free comparisons: what they hang on
    std::vector<FactClass> classes;  // facts only
    std::vector<Number> turns;       // measured facts: where its comparisons may turn
};

/// Diagrams of the open nodes in the cone of some outputs. Not thread-safe; one per case. The
/// program, model and first pass must outlive it.
class Exact {
  public:
    Exact(const Program& program, const Model& model, const FirstPass& first, std::size_t budget);

    /// Works out the nodes and everything they hang on. Throws BudgetSpent when that takes more
    /// diagram nodes than the budget. Nodes settled by the first pass cost nothing.
    void work_out(const std::vector<NodeId>& outputs);

    [[nodiscard]] bool worked_out(NodeId node) const { return refs_[node.value].has_value(); }
    /// Precondition: settled by the first pass, or worked out.
    [[nodiscard]] Diagrams::Ref ref(NodeId node) const;
    /// True for the days before `day` of an unknown date; never when no worked-out node hangs on
    /// it.
    Diagrams::Ref before(FactId date, Date day);
    [[nodiscard]] Diagrams& diagrams() { return diagrams_; }
    [[nodiscard]] const std::vector<Variable>& variables() const { return variables_; }

  private:
    struct Guarded {
        Diagrams::Ref guard = Diagrams::never;
        Value value;
    };
    using Values = std::vector<Guarded>;

    [[nodiscard]] std::optional<Date> first_edition(FactId date) const;
    void add_variables(const OpenCone& cone, const std::vector<std::vector<Number>>& thresholds);
    Diagrams::Ref node(const TruthNode& node);
    Diagrams::Ref atom(const Atom& atom);
    Diagrams::Ref compare_values(Verb verb, const Values& left, const Values& right);
    Diagrams::Ref compare_pair(Verb verb, const Value& left, const Value& right);
    Diagrams::Ref compare_with_root(Verb verb, const Value& left, const Value& right);
    Diagrams::Ref all_present(const std::vector<FactId>& facts);
    Diagrams::Ref free_comparison(Verb verb, const Value& left, const Value& right);
    [[nodiscard]] Values values(ExpressionId id) const;
    Values expression(const Expression& e);
    Values operation(const Expression& e);
    Value named(Operation operation, const Value& a, const Value& b, Value result);
    void add(Values& values, Diagrams::Ref guard, Value value);
    void step(Values& result, Operation operation, const Guarded& a, const Guarded& b);

    const Program& program_;
    const Model& model_;
    const FirstPass& first_;
    Diagrams diagrams_;
    std::vector<Variable> variables_;
    std::vector<std::uint32_t> variable_of_;          // per FactId
    std::vector<std::optional<Diagrams::Ref>> refs_;  // per node
    std::vector<std::optional<Values>> values_;       // per expression
    struct FreeTest {
        Value left;
        Value right;
        std::uint32_t variable = 0;
    };
    std::vector<FreeTest> free_tests_;
    struct Result {
        Operation operation = Operation::add;
        Value a;
        Value b;
        std::uint32_t which = 0;
    };
    std::vector<Result> open_results_;
    std::uint32_t last_which_ = 0;
};

}  // namespace toprail
