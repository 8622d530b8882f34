// Makes nodes, atoms and expressions, each only once.
#pragma once

#include "program/program.hpp"

#include <map>
#include <string>
#include <tuple>

namespace toprail {

class ProgramBuilder {
  public:
    explicit ProgramBuilder(Program& program);

    [[nodiscard]] NodeId never() const { return NodeId(0); }
    [[nodiscard]] NodeId always() const { return NodeId(1); }
    /// Constants, repeated and single operands are simplified away; operands are sorted, so the
    /// order in which they were written changes nothing.
    NodeId all(std::vector<NodeId> operands);
    NodeId any(std::vector<NodeId> operands);
    NodeId negate(NodeId operand);
    NodeId atom(Atom atom);

    ExpressionId figure(const Number& value);
    ExpressionId fact(FactId fact);
    ExpressionId operation(Operation operation, std::vector<ExpressionId> operands);
    ExpressionId pieces(std::vector<ExpressionPiece> pieces);

  private:
    void add_node(TruthNode node);
    NodeId combine(NodeKind kind, std::vector<NodeId> operands);
    NodeId push(NodeKind kind, const std::vector<NodeId>& operands);
    ExpressionId push(const std::string& key, Expression expression);

    Program& program_;
    std::map<std::pair<NodeKind, std::vector<NodeId>>, NodeId> nodes_;
    std::map<std::string, NodeId> atoms_;
    std::map<std::string, ExpressionId> expressions_;
};

}  // namespace toprail
