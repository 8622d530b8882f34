// Entry points: open_cone, add_cuts, scan_thresholds.
#include "deciding/thresholds.hpp"

#include <algorithm>
#include <limits>

namespace toprail {
namespace {

// As in the exact pass: beyond this many values only bounds are kept, and bounds turn nowhere.
constexpr std::size_t most_values = 64;

class Scan {
  public:
    Scan(const Program& program, const Model& model, const FirstPass& first, const OpenCone& cone)
        : program_(program),
          model_(model),
          first_(first),
          cone_(cone),
          values_(program.expressions.size()),
          thresholds_(model.facts.size()) {}

    std::vector<std::vector<Number>> run() {
        for (const ProgramStep& step : program_.order) {
            if (!step.is_node && cone_.expressions[step.index]) {
                values_[step.index] = expression(program_.expressions[step.index]);
            } else if (step.is_node && cone_.nodes[step.index] &&
                       program_.nodes[step.index].kind == NodeKind::atom) {
                const Atom& atom = program_.atoms[program_.nodes[step.index].first];
                if (atom.kind == AtomKind::compare) {
                    turn(values(atom.left), values(atom.right));
                }
            }
        }
        return std::move(thresholds_);
    }

  private:
    using Values = std::vector<Value>;

    Values values(ExpressionId id) const {
        if (const auto& settled = first_.expressions[id.value]) {
            return {*settled};
        }
        return values_[id.value];
    }

    static void add(Values& values, Value value) {
        if (values.size() < most_values &&
            std::find(values.begin(), values.end(), value) == values.end()) {
            values.push_back(std::move(value));
        }
    }

    void turn(const Values& left, const Values& right) {
        for (const Value& a : left) {
            for (const Value& b : right) {
                const Value difference = combine(Operation::subtract, a, b);
                if (difference.kind == Value::Kind::line && difference.slope != 0) {
                    thresholds_[difference.fact.value].push_back(-difference.offset /
                                                                 difference.slope);
                }
                turn_about_root(a, b);
                turn_about_root(b, a);
            }
        }
    }

    // A line against a root: it turns between the two ends.
    void turn_about_root(const Value& line, const Value& root) {
        if (is_line_against_root(line, root)) {
            for (const Number& end : {root.low, root.high}) {
                thresholds_[line.fact.value].push_back((end - line.offset) / line.slope);
            }
        }
    }

    Values expression(const Expression& e) {
        switch (e.kind) {
        case Expression::Kind::fact: {
            const Fact& fact = model_[e.fact];
            const auto bound = [](const std::optional<Figure>& figure) {
                return figure ? std::optional(figure->base) : std::nullopt;
            };
            return {Value::unknown(e.fact, bound(fact.from), bound(fact.to))};
        }
        case Expression::Kind::pieces: {
            Values result;
            for (const ExpressionPiece& piece : e.pieces) {
                for (Value& value : values(piece.value)) {
                    add(result, std::move(value));
                }
            }
            return result;
        }
        case Expression::Kind::operation:
            return operation(e);
        case Expression::Kind::figure:
            break;
        }
        return {Value::number(e.figure)};
    }

    Values operation(const Expression& e) {
        Values result = values(e.operands.front());
        for (std::size_t i = 1; i < e.operands.size(); ++i) {
            const Values other = values(e.operands[i]);
            const bool picks =
                e.operation == Operation::minimum || e.operation == Operation::maximum;
            if (picks) {
                turn(result, other);
            }
            Values next;
            for (const Value& a : result) {
                for (const Value& b : other) {
                    if (picks) {
                        add(next, a);
                        add(next, b);
                    } else {
                        add(next, combine(e.operation, a, b));
                    }
                }
            }
            result = std::move(next);
        }
        if (e.operation != Operation::root) {
            return result;
        }
        Values roots;
        for (const Value& value : result) {
            add(roots, root(value));
        }
        return roots;
    }

    const Program& program_;
    const Model& model_;
    const FirstPass& first_;
    const OpenCone& cone_;
    std::vector<Values> values_;
    std::vector<std::vector<Number>> thresholds_;
};

}  // namespace

void add_cuts(const Atom& atom, std::vector<std::int32_t>& cuts) {
    cuts.push_back(atom.first_day);
    if (atom.last_day < std::numeric_limits<std::int32_t>::max()) {
        cuts.push_back(atom.last_day + 1);
    }
}

OpenCone open_cone(const Program& program, const FirstPass& first,
                   const std::vector<NodeId>& outputs) {
    OpenCone cone;
    cone.nodes.assign(program.nodes.size(), false);
    cone.expressions.assign(program.expressions.size(), false);
    const auto mark_node = [&](NodeId id) {
        if (id.valid() && first.nodes[id.value] == Truth::open) {
            cone.nodes[id.value] = true;
        }
    };
    const auto mark_expression = [&](ExpressionId id) {
        if (!first.expressions[id.value]) {
            cone.expressions[id.value] = true;
        }
    };
    for (const NodeId output : outputs) {
        mark_node(output);
    }
    // Users stand after what they use, so one pass backwards reaches everything.
    for (auto step = program.order.rbegin(); step != program.order.rend(); ++step) {
        if (step->is_node && cone.nodes[step->index]) {
            const TruthNode& node = program.nodes[step->index];
            if (node.kind == NodeKind::atom) {
                const Atom& atom = program.atoms[node.first];
                if (atom.kind == AtomKind::compare) {
                    mark_expression(atom.left);
                    mark_expression(atom.right);
                }
            } else {
                for (std::uint32_t i = 0; i < node.count; ++i) {
                    mark_node(program.operands[node.first + i]);
                }
            }
        } else if (!step->is_node && cone.expressions[step->index]) {
            const Expression& e = program.expressions[step->index];
            for (const ExpressionId operand : e.operands) {
                mark_expression(operand);
            }
            for (const ExpressionPiece& piece : e.pieces) {
                mark_node(piece.where);
                mark_expression(piece.value);
            }
        }
    }
    return cone;
}

std::vector<std::vector<Number>> scan_thresholds(const Program& program, const Model& model,
                                                 const FirstPass& first, const OpenCone& cone) {
    return Scan(program, model, first, cone).run();
}

}  // namespace toprail
