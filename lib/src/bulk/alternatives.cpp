// Entry point: work_out_alternatives.
#include "bulk/alternatives.hpp"

namespace toprail::bulk {
namespace {

// Beyond this many an expression is left to the search: pairs of them are formed.
constexpr std::size_t most_alternatives = 64;

Alternative beyond() {
    Alternative alternative;
    alternative.beyond = true;
    return alternative;
}

class Expander {
  public:
    Expander(const Program& program, const Model& model) : program_(program), model_(model) {
        all_.resize(program.expressions.size());
    }

    std::vector<Alternatives> run(const std::vector<bool>& marked) {
        for (const ProgramStep& step : program_.order) {
            if (!step.is_node && marked[step.index]) {
                Alternatives& made = all_[step.index];
                expression(program_.expressions[step.index], made);
                if (made.list.size() > most_alternatives) {
                    made.list = {beyond()};
                }
            }
        }
        return std::move(all_);
    }

  private:
    void expression(const Expression& e, Alternatives& made) {
        switch (e.kind) {
        case Expression::Kind::figure:
            made.list.push_back({{}, Value::number(e.figure), false});
            break;
        case Expression::Kind::fact: {
            const Fact& fact = model_[e.fact];
            const auto bound = [](const std::optional<Figure>& figure) {
                return figure ? std::optional(figure->base) : std::nullopt;
            };
            made.list.push_back(
                {{}, Value::unknown(e.fact, bound(fact.from), bound(fact.to)), false});
            made.facts.insert(e.fact);
            break;
        }
        case Expression::Kind::pieces:
            pieces(e, made);
            break;
        case Expression::Kind::operation:
            operation(e, made);
            break;
        }
    }

    void pieces(const Expression& e, Alternatives& made) {
        std::vector<std::pair<NodeId, bool>> none_before;
        for (const ExpressionPiece& piece : e.pieces) {
            const Alternatives& inner = all_[piece.value.value];
            made.facts.insert(inner.facts.begin(), inner.facts.end());
            for (Alternative alternative : inner.list) {
                alternative.where.insert(alternative.where.end(), none_before.begin(),
                                         none_before.end());
                if (piece.where.valid()) {
                    alternative.where.emplace_back(piece.where, false);
                }
                made.list.push_back(std::move(alternative));
            }
            if (!piece.where.valid()) {
                return;
            }
            none_before.emplace_back(piece.where, true);
        }
        made.list.push_back({std::move(none_before), Value::absent(), false});
    }

    void operation(const Expression& e, Alternatives& made) {
        made.list = all_[e.operands.front().value].list;
        for (const ExpressionId operand : e.operands) {
            const Alternatives& inner = all_[operand.value];
            made.facts.insert(inner.facts.begin(), inner.facts.end());
        }
        for (std::size_t i = 1; i < e.operands.size(); ++i) {
            std::vector<Alternative> next;
            for (const Alternative& a : made.list) {
                for (const Alternative& b : all_[e.operands[i].value].list) {
                    next.push_back(both(e.operation, a, b));
                }
            }
            made.list = std::move(next);
            if (made.list.size() > most_alternatives) {
                made.list = {beyond()};
            }
        }
        if (e.operation == Operation::root) {
            for (Alternative& a : made.list) {
                keep(a, a.beyond ? a.value : root(a.value));
            }
        }
    }

    // Whether the value applies must be told by its one fact alone.
    static void keep(Alternative& alternative, Value value) {
        alternative.beyond = alternative.beyond || value.kind == Value::Kind::open;
        alternative.value = std::move(value);
    }

    static Alternative both(Operation operation, const Alternative& a, const Alternative& b) {
        Alternative result;
        result.where = a.where;
        result.where.insert(result.where.end(), b.where.begin(), b.where.end());
        result.beyond = a.beyond || b.beyond;
        if (result.beyond) {
            return result;
        }
        if (a.value.kind == Value::Kind::absent || b.value.kind == Value::Kind::absent) {
            result.value = Value::absent();
        } else if (operation == Operation::minimum || operation == Operation::maximum) {
            const bool settled = a.value.kind == Value::Kind::number &&
                                 b.value.kind == Value::Kind::number &&
                                 a.value.low == a.value.high && b.value.low == b.value.high;
            result.beyond = !settled;
            if (settled) {
                const bool least = operation == Operation::minimum;
                result.value = (a.value.low < b.value.low) == least ? a.value : b.value;
            }
        } else {
            keep(result, combine(operation, a.value, b.value));
        }
        return result;
    }

    const Program& program_;
    const Model& model_;
    std::vector<Alternatives> all_;
};

}  // namespace

std::vector<Alternatives> work_out_alternatives(const Program& program, const Model& model,
                                                const std::vector<bool>& marked) {
    return Expander(program, model).run(marked);
}

}  // namespace toprail::bulk
