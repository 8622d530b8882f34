// Entry point: cut_down.
#include "bulk/cut_down.hpp"

namespace toprail::bulk {
namespace {

class CuttingDown {
  public:
    explicit CuttingDown(const Program& program)
        : program_(program),
          node_(program.nodes.size()),
          expression_(program.expressions.size()) {}

    Program run(const std::vector<bool>& nodes, const std::vector<bool>& expressions,
                const std::vector<DutyId>& duties) {
        for (const ProgramStep& step : program_.order) {
            if (step.is_node && nodes[step.index]) {
                add_node(step.index);
            } else if (!step.is_node && expressions[step.index]) {
                add_expression(step.index);
            }
        }
        for (const NodeId governs : program_.governs) {
            cut_.governs.push_back(node_[governs.value]);
        }
        cut_.duties.resize(program_.duties.size());
        for (const DutyId id : duties) {
            const LoweredDuty& duty = program_.duties[id.value];
            LoweredDuty& kept = cut_.duties[id.value];
            kept.required = node_[duty.required.value];
            kept.excepted = node_[duty.excepted.value];
            kept.not_required = node_[duty.not_required.value];
        }
        cut_.some_pack_governs = program_.some_pack_governs;
        return std::move(cut_);
    }

  private:
    void add_node(std::uint32_t index) {
        TruthNode node = program_.nodes[index];
        if (node.kind == NodeKind::atom) {
            Atom atom = program_.atoms[node.first];
            if (atom.kind == AtomKind::compare) {
                atom.left = expression_[atom.left.value];
                atom.right = expression_[atom.right.value];
            }
            node.first = static_cast<std::uint32_t>(cut_.atoms.size());
            cut_.atoms.push_back(std::move(atom));
        } else {
            const std::uint32_t first = node.first;
            node.first = static_cast<std::uint32_t>(cut_.operands.size());
            for (std::uint32_t i = 0; i < node.count; ++i) {
                cut_.operands.push_back(node_[program_.operands[first + i].value]);
            }
        }
        node_[index] = NodeId(cut_.nodes.size());
        cut_.order.push_back({true, node_[index].value});
        cut_.nodes.push_back(node);
    }

    void add_expression(std::uint32_t index) {
        Expression e = program_.expressions[index];
        for (ExpressionId& operand : e.operands) {
            operand = expression_[operand.value];
        }
        for (ExpressionPiece& piece : e.pieces) {
            piece.where = piece.where.valid() ? node_[piece.where.value] : piece.where;
            piece.value = expression_[piece.value.value];
        }
        expression_[index] = ExpressionId(cut_.expressions.size());
        cut_.order.push_back({false, expression_[index].value});
        cut_.expressions.push_back(std::move(e));
    }

    const Program& program_;
    std::vector<NodeId> node_;
    std::vector<ExpressionId> expression_;
    Program cut_;
};

}  // namespace

Program cut_down(const Program& program, const std::vector<bool>& nodes,
                 const std::vector<bool>& expressions, const std::vector<DutyId>& duties) {
    return CuttingDown(program).run(nodes, expressions, duties);
}

}  // namespace toprail::bulk
