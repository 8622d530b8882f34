// Entry point: three_valued.
#include "deciding/three_valued.hpp"

#include <algorithm>
#include <iterator>

namespace toprail {
namespace {

Truth truth(bool value) {
    return value ? Truth::yes : Truth::no;
}

class Pass {
  public:
    Pass(const Program& program, const std::vector<BoundFact>& facts,
         const Circumstances& circumstances, WithoutValue without_value)
        : program_(program),
          facts_(facts),
          circumstances_(circumstances),
          without_value_(without_value) {
        result_.nodes.assign(program.nodes.size(), Truth::open);
        result_.expressions.resize(program.expressions.size());
        result_.without_value.assign(program.expressions.size(), false);
    }

    FirstPass run() {
        for (const ProgramStep& step : program_.order) {
            if (step.is_node) {
                result_.nodes[step.index] = node(program_.nodes[step.index]);
            } else {
                at_ = step.index;
                result_.expressions[at_] = expression(program_.expressions[at_]);
            }
        }
        return std::move(result_);
    }

  private:
    Truth node(const TruthNode& node) {
        switch (node.kind) {
        case NodeKind::never:
            return Truth::no;
        case NodeKind::always:
            return Truth::yes;
        case NodeKind::atom:
            return atom(program_.atoms[node.first]);
        case NodeKind::all:
            return combine_truths(node, Truth::no, Truth::yes);
        case NodeKind::any:
            return combine_truths(node, Truth::yes, Truth::no);
        case NodeKind::negate:
            break;
        }
        const Truth inner = result_.nodes[program_.operands[node.first].value];
        return inner == Truth::open ? inner : truth(inner == Truth::no);
    }

    Truth combine_truths(const TruthNode& node, Truth deciding, Truth neutral) {
        Truth result = neutral;
        for (std::uint32_t i = 0; i < node.count; ++i) {
            const Truth operand = result_.nodes[program_.operands[node.first + i].value];
            if (operand == deciding) {
                return deciding;
            }
            if (operand == Truth::open) {
                result = Truth::open;
            }
        }
        return result;
    }

    Truth atom(const Atom& atom) {
        switch (atom.kind) {
        case AtomKind::named:
            return truth(!circumstances_.named.empty() &&
                         circumstances_.named[atom.authority.value]);
        case AtomKind::any_named:
            return truth(!circumstances_.named.empty());
        case AtomKind::work_day:
            return truth(circumstances_.on.days() >= atom.first_day &&
                         circumstances_.on.days() <= atom.last_day);
        case AtomKind::compare:
            return compare_values(atom);
        case AtomKind::member:
        case AtomKind::day:
            break;
        }
        const BoundFact& fact = facts_[atom.fact.value];
        if (fact.state != FactState::given) {
            return fact.state == FactState::not_known ? Truth::open : Truth::no;
        }
        return atom.kind == AtomKind::member
                   ? truth(atom.members[fact.value])
                   : truth(fact.day >= atom.first_day && fact.day <= atom.last_day);
    }

    Truth compare_values(const Atom& atom) {
        const auto& left = result_.expressions[atom.left.value];
        const auto& right = result_.expressions[atom.right.value];
        if (absent(atom.left) || absent(atom.right)) {
            const bool applies = (!absent(atom.left) || result_.without_value[atom.left.value]) &&
                                 (!absent(atom.right) || result_.without_value[atom.right.value]);
            return applies && without_value_ == WithoutValue::is_open ? Truth::open : Truth::no;
        }
        if (!left || !right) {
            return Truth::open;
        }
        const std::optional<bool> known = compare(atom.verb, *left, *right);
        return known ? truth(*known) : Truth::open;
    }

    std::optional<Value> expression(const Expression& e) {
        switch (e.kind) {
        case Expression::Kind::figure:
            return Value::number(e.figure);
        case Expression::Kind::fact: {
            const BoundFact& fact = facts_[e.fact.value];
            if (fact.state == FactState::not_known) {
                return std::nullopt;
            }
            return fact.state == FactState::given ? Value::number(fact.number) : Value::absent();
        }
        case Expression::Kind::pieces:
            return pieces(e);
        case Expression::Kind::operation:
            break;
        }
        return operation(e);
    }

    std::optional<Value> pieces(const Expression& e) {
        bool settled = true;
        bool every_one_absent = true;
        for (const ExpressionPiece& piece : e.pieces) {
            const Truth where = piece.where.valid() ? result_.nodes[piece.where.value] : Truth::yes;
            if (where == Truth::no) {
                continue;
            }
            if (result_.without_value[piece.value.value]) {
                result_.without_value[at_] = true;
            }
            every_one_absent &= absent(piece.value);
            if (where == Truth::yes) {
                return settled || every_one_absent ? result_.expressions[piece.value.value]
                                                   : std::nullopt;
            }
            settled = false;
        }
        return every_one_absent ? std::optional(Value::absent()) : std::nullopt;
    }

    std::optional<Value> operation(const Expression& e) {
        bool some_absent = false;
        bool some_open = false;
        bool some_without = false;
        bool all_apply = true;
        for (const ExpressionId id : e.operands) {
            const bool without = result_.without_value[id.value];
            some_absent |= absent(id);
            some_open |= !result_.expressions[id.value];
            some_without |= without;
            all_apply &= !absent(id) || without;
        }
        if (some_absent || some_open) {
            const bool nought = e.operation == Operation::divide && divides_by_nought(e);
            result_.without_value[at_] = all_apply && (some_without || nought);
            return some_absent || nought ? std::optional(Value::absent()) : std::nullopt;
        }
        std::optional<Value> result;
        for (const ExpressionId id : e.operands) {
            const auto& operand = result_.expressions[id.value];
            result = result ? step(e.operation, *result, *operand) : *operand;
        }
        if (e.operation == Operation::root) {
            result = root(*result);
        }
        result_.without_value[at_] = result->kind == Value::Kind::absent;
        return result;
    }

    // Whatever is divided: it has no value.
    [[nodiscard]] bool divides_by_nought(const Expression& e) const {
        return std::any_of(std::next(e.operands.begin()), e.operands.end(),
                           [this](ExpressionId id) {
                               const auto& divisor = result_.expressions[id.value];
                               return divisor && divisor->kind == Value::Kind::number &&
                                      divisor->low == 0 && divisor->high == 0;
                           });
    }

    [[nodiscard]] bool absent(ExpressionId id) const {
        const auto& value = result_.expressions[id.value];
        return value && value->kind == Value::Kind::absent;
    }

    static Value step(Operation operation, const Value& a, const Value& b) {
        if (operation != Operation::minimum && operation != Operation::maximum) {
            return combine(operation, a, b);
        }
        if (a.kind != Value::Kind::number || b.kind != Value::Kind::number) {
            return either_of(operation, a, b);
        }
        // Brackets that overlap give a bracket again.
        const bool least = operation == Operation::minimum;
        return Value::bracket(least ? std::min(a.low, b.low) : std::max(a.low, b.low),
                              least ? std::min(a.high, b.high) : std::max(a.high, b.high));
    }

    const Program& program_;
    const std::vector<BoundFact>& facts_;
    const Circumstances& circumstances_;
    WithoutValue without_value_;
    std::uint32_t at_ = 0;  // the expression that is being worked out
    FirstPass result_;
};

}  // namespace

FirstPass three_valued(const Program& program, const std::vector<BoundFact>& facts,
                       const Circumstances& circumstances, WithoutValue without_value) {
    return Pass(program, facts, circumstances, without_value).run();
}

}  // namespace toprail
