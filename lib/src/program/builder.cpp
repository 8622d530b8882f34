// Entry point: ProgramBuilder.
#include "program/builder.hpp"

#include <algorithm>

namespace toprail {
namespace {

std::string atom_key(const Atom& atom) {
    std::string key = std::to_string(static_cast<int>(atom.kind)) + ":";
    const auto add = [&key](auto number) { key += std::to_string(number) + ","; };
    add(atom.fact.value);
    add(atom.first_day);
    add(atom.last_day);
    add(static_cast<int>(atom.verb));
    add(atom.left.value);
    add(atom.right.value);
    add(atom.authority.value);
    for (const bool member : atom.members) {
        key += member ? '1' : '0';
    }
    return key;
}

}  // namespace

ProgramBuilder::ProgramBuilder(Program& program) : program_(program) {
    add_node({NodeKind::never, 0, 0});
    add_node({NodeKind::always, 0, 0});
}

void ProgramBuilder::add_node(TruthNode node) {
    program_.order.push_back({true, static_cast<std::uint32_t>(program_.nodes.size())});
    program_.nodes.push_back(node);
}

NodeId ProgramBuilder::push(NodeKind kind, const std::vector<NodeId>& operands) {
    const auto [found, fresh] = nodes_.try_emplace({kind, operands}, NodeId(program_.nodes.size()));
    if (fresh) {
        add_node({kind, static_cast<std::uint32_t>(program_.operands.size()),
                  static_cast<std::uint32_t>(operands.size())});
        program_.operands.insert(program_.operands.end(), operands.begin(), operands.end());
    }
    return found->second;
}

NodeId ProgramBuilder::combine(NodeKind kind, std::vector<NodeId> operands) {
    const NodeId neutral = kind == NodeKind::all ? always() : never();
    const NodeId deciding = kind == NodeKind::all ? never() : always();
    std::sort(operands.begin(), operands.end());
    operands.erase(std::unique(operands.begin(), operands.end()), operands.end());
    std::erase(operands, neutral);
    if (std::binary_search(operands.begin(), operands.end(), deciding)) {
        return deciding;
    }
    if (operands.empty()) {
        return neutral;
    }
    return operands.size() == 1 ? operands.front() : push(kind, operands);
}

NodeId ProgramBuilder::all(std::vector<NodeId> operands) {
    return combine(NodeKind::all, std::move(operands));
}

NodeId ProgramBuilder::any(std::vector<NodeId> operands) {
    return combine(NodeKind::any, std::move(operands));
}

NodeId ProgramBuilder::negate(NodeId operand) {
    if (operand == never()) {
        return always();
    }
    if (operand == always()) {
        return never();
    }
    const TruthNode& node = program_.nodes[operand.value];
    return node.kind == NodeKind::negate ? program_.operands[node.first]
                                         : push(NodeKind::negate, {operand});
}

NodeId ProgramBuilder::atom(Atom atom) {
    const auto [found, fresh] = atoms_.try_emplace(atom_key(atom), NodeId(program_.nodes.size()));
    if (fresh) {
        add_node({NodeKind::atom, static_cast<std::uint32_t>(program_.atoms.size()), 0});
        program_.atoms.push_back(std::move(atom));
    }
    return found->second;
}

ExpressionId ProgramBuilder::push(const std::string& key, Expression expression) {
    const auto [found, fresh] =
        expressions_.try_emplace(key, ExpressionId(program_.expressions.size()));
    if (fresh) {
        program_.order.push_back({false, static_cast<std::uint32_t>(program_.expressions.size())});
        program_.expressions.push_back(std::move(expression));
    }
    return found->second;
}

ExpressionId ProgramBuilder::figure(const Number& value) {
    Expression expression;
    expression.kind = Expression::Kind::figure;
    expression.figure = value;
    return push("n" + value.str(), std::move(expression));
}

ExpressionId ProgramBuilder::fact(FactId fact) {
    Expression expression;
    expression.kind = Expression::Kind::fact;
    expression.fact = fact;
    return push("f" + std::to_string(fact.value), std::move(expression));
}

ExpressionId ProgramBuilder::operation(Operation operation, std::vector<ExpressionId> operands) {
    std::string key = "o" + std::to_string(static_cast<int>(operation));
    for (const ExpressionId operand : operands) {
        key += "," + std::to_string(operand.value);
    }
    Expression expression;
    expression.kind = Expression::Kind::operation;
    expression.operation = operation;
    expression.operands = std::move(operands);
    return push(key, std::move(expression));
}

ExpressionId ProgramBuilder::pieces(std::vector<ExpressionPiece> pieces) {
    if (pieces.size() == 1 && !pieces.front().where.valid()) {
        return pieces.front().value;
    }
    std::string key = "p";
    for (const ExpressionPiece& piece : pieces) {
        key += std::to_string(piece.where.value) + ":" + std::to_string(piece.value.value) + ",";
    }
    Expression expression;
    expression.kind = Expression::Kind::pieces;
    expression.pieces = std::move(pieces);
    return push(key, std::move(expression));
}

}  // namespace toprail
