// Entry point: Exact.
#include "deciding/exact.hpp"

#include <algorithm>
#include <map>

namespace toprail {
namespace {

constexpr std::uint32_t no_variable = static_cast<std::uint32_t>(-1);

// Guarded values of one expression beyond this are too many to combine; bounds are kept instead.
constexpr std::size_t most_values = 64;

}  // namespace

Exact::Exact(const Program& program, const Model& model, const FirstPass& first, std::size_t budget)
    : program_(program),
      model_(model),
      first_(first),
      diagrams_(budget),
      variable_of_(model.facts.size(), no_variable),
      refs_(program.nodes.size()),
      values_(program.expressions.size()) {}

Diagrams::Ref Exact::ref(NodeId node) const {
    const Truth truth = first_.nodes[node.value];
    if (truth != Truth::open) {
        return truth == Truth::yes ? Diagrams::always : Diagrams::never;
    }
    return *refs_[node.value];
}

void Exact::work_out(const std::vector<NodeId>& outputs) {
    const OpenCone cone = open_cone(program_, first_, outputs);
    const auto thresholds = scan_thresholds(program_, model_, first_, cone);
    add_variables(cone, thresholds);
    for (const ProgramStep& step : program_.order) {
        if (step.is_node && cone.nodes[step.index]) {
            refs_[step.index] = node(program_.nodes[step.index]);
        } else if (!step.is_node && cone.expressions[step.index]) {
            values_[step.index] = expression(program_.expressions[step.index]);
        }
    }
}

// A date that picks editions of an authority that governs cannot lie before the first of them: such
// a case has no answer. Where it is open whether the authority governs, Knowledge leaves such
// fillings out.
std::optional<Date> Exact::first_edition(FactId date) const {
    std::optional<Date> first;
    for (std::size_t i = 0; i < model_.authorities.size(); ++i) {
        const Rulepack& pack = model_[model_.authorities[i].editions.front()];
        if (pack.edition_picked.picked_by == date &&
            first_.nodes[program_.governs[i].value] == Truth::yes) {
            first = first ? std::max(*first, pack.from) : pack.from;
        }
    }
    return first;
}

void Exact::add_variables(const OpenCone& cone,
                          const std::vector<std::vector<Number>>& thresholds) {
    std::map<FactId, std::vector<const std::vector<bool>*>> members;
    std::map<FactId, std::vector<std::int32_t>> cuts;
    std::map<FactId, bool> unknown;
    for (std::size_t i = 0; i < program_.nodes.size(); ++i) {
        if (!cone.nodes[i] || program_.nodes[i].kind != NodeKind::atom) {
            continue;
        }
        const Atom& atom = program_.atoms[program_.nodes[i].first];
        if (atom.kind == AtomKind::member) {
            members[atom.fact].push_back(&atom.members);
            unknown[atom.fact] = true;
        } else if (atom.kind == AtomKind::day) {
            add_cuts(atom, cuts[atom.fact]);
            unknown[atom.fact] = true;
        }
    }
    for (std::size_t i = 0; i < program_.expressions.size(); ++i) {
        const Expression& e = program_.expressions[i];
        if (cone.expressions[i] && e.kind == Expression::Kind::fact) {
            unknown[e.fact] = true;
        }
    }
    for (const auto& [id, yes] : unknown) {
        const Fact& fact = model_[id];
        Variable variable;
        variable.fact = id;
        if (fact.type == FactType::date) {
            variable.classes = day_classes(fact, cuts[id], first_edition(id));
        } else if (fact.type == FactType::choice || fact.type == FactType::yes_no) {
            variable.classes = value_classes(fact, members[id]);
        } else {
            variable.classes = number_classes(fact, thresholds[id.value]);
            variable.turns = thresholds[id.value];
        }
        variable_of_[id.value] = diagrams_.add_variable(variable.classes.size());
        variables_.push_back(std::move(variable));
    }
}

Diagrams::Ref Exact::before(FactId date, Date day) {
    const std::uint32_t variable = variable_of_[date.value];
    if (variable == no_variable) {
        return Diagrams::never;
    }
    std::vector<bool> true_for;
    for (const FactClass& one : variables_[variable].classes) {
        true_for.push_back(!one.absent && one.last_day < day.days());
    }
    return diagrams_.test(variable, true_for);
}

Diagrams::Ref Exact::node(const TruthNode& node) {
    switch (node.kind) {
    case NodeKind::never:
        return Diagrams::never;
    case NodeKind::always:
        return Diagrams::always;
    case NodeKind::atom:
        return atom(program_.atoms[node.first]);
    case NodeKind::negate:
        return diagrams_.negate(ref(program_.operands[node.first]));
    case NodeKind::all:
    case NodeKind::any:
        break;
    }
    const bool all = node.kind == NodeKind::all;
    Diagrams::Ref result = all ? Diagrams::always : Diagrams::never;
    for (std::uint32_t i = 0; i < node.count; ++i) {
        const Diagrams::Ref operand = ref(program_.operands[node.first + i]);
        result = all ? diagrams_.both(result, operand) : diagrams_.either(result, operand);
    }
    return result;
}

Diagrams::Ref Exact::atom(const Atom& atom) {
    if (atom.kind == AtomKind::compare) {
        return compare_values(atom.verb, values(atom.left), values(atom.right));
    }
    const std::uint32_t variable = variable_of_[atom.fact.value];
    std::vector<bool> true_for;
    for (const FactClass& one : variables_[variable].classes) {
        if (one.absent) {
            true_for.push_back(false);
        } else if (atom.kind == AtomKind::member) {
            true_for.push_back(atom.members[one.values.front()]);
        } else {
            true_for.push_back(one.first_day >= atom.first_day && one.last_day <= atom.last_day);
        }
    }
    return diagrams_.test(variable, true_for);
}

Diagrams::Ref Exact::compare_values(Verb verb, const Values& left, const Values& right) {
    Diagrams::Ref result = Diagrams::never;
    for (const Guarded& a : left) {
        for (const Guarded& b : right) {
            const Diagrams::Ref guard = diagrams_.both(a.guard, b.guard);
            if (guard != Diagrams::never) {
                result = diagrams_.either(
                    result, diagrams_.both(guard, compare_pair(verb, a.value, b.value)));
            }
        }
    }
    return result;
}

Diagrams::Ref Exact::compare_pair(Verb verb, const Value& left, const Value& right) {
    if (left.kind == Value::Kind::absent || right.kind == Value::Kind::absent) {
        return Diagrams::never;
    }
    const Value difference = combine(Operation::subtract, left, right);
    if (difference.kind == Value::Kind::line && difference.slope == 0) {
        // Settled but for whether the fact applies.
        return holds(verb, difference.offset) ? all_present({difference.fact}) : Diagrams::never;
    }
    if (difference.kind == Value::Kind::line) {
        const std::uint32_t variable = variable_of_[difference.fact.value];
        const std::vector<Number>& turns = variables_[variable].turns;
        const Number turn = -difference.offset / difference.slope;
        if (std::find(turns.begin(), turns.end(), turn) == turns.end()) {
            return free_comparison(verb, left,
                                   right);  // the scan kept bounds only where it passed here
        }
        std::vector<bool> true_for;
        for (const FactClass& one : variables_[variable].classes) {
            true_for.push_back(!one.absent &&
                               holds(verb, difference.slope * one.sample + difference.offset));
        }
        return diagrams_.test(variable, true_for);
    }
    if (is_line_against_root(left, right) || is_line_against_root(right, left)) {
        return compare_with_root(verb, left, right);
    }
    // A difference of 0 between two lines in one fact is no reason to forget that the fact may not
    // apply.
    const bool hangs_on_facts =
        left.kind != Value::Kind::number || right.kind != Value::Kind::number;
    const std::optional<bool> known = compare(verb, left, right);
    if (known != false && (left.may_vanish || right.may_vanish)) {
        return free_comparison(verb, left, right);
    }
    if (known && !hangs_on_facts) {
        return *known ? Diagrams::always : Diagrams::never;
    }
    if (known) {
        return *known ? all_present(merge(facts_of(left), facts_of(right))) : Diagrams::never;
    }
    return free_comparison(verb, left, right);
}

namespace {

// With its sides changed.
Verb turned_round(Verb verb) {
    switch (verb) {
    case Verb::more_than:
        return Verb::less_than;
    case Verb::at_least:
        return Verb::at_most;
    case Verb::at_most:
        return Verb::at_least;
    case Verb::less_than:
        return Verb::more_than;
    default:
        return verb;
    }
}

}  // namespace

Diagrams::Ref Exact::compare_with_root(Verb verb, const Value& left, const Value& right) {
    if (left.kind != Value::Kind::line) {
        // One side always stands first, so that what lies between the ends is asked once.
        return compare_with_root(turned_round(verb), right, left);
    }
    const Value& line = left;
    const Value& root = right;
    const Variable& variable = variables_[variable_of_[line.fact.value]];
    for (const Number& end : {root.low, root.high}) {
        const Number turn = (end - line.offset) / line.slope;
        if (std::find(variable.turns.begin(), variable.turns.end(), turn) == variable.turns.end()) {
            return free_comparison(verb, left, right);
        }
    }
    std::vector<bool> known_true;
    std::vector<bool> not_known;
    for (const FactClass& one : variable.classes) {
        const Value here = Value::number(line.slope * one.sample + line.offset);
        const std::optional<bool> known = one.absent ? false : compare(verb, here, root);
        known_true.push_back(known == true);
        not_known.push_back(!known);
    }
    const std::uint32_t index = variable_of_[line.fact.value];
    const Diagrams::Ref certain = diagrams_.test(index, known_true);
    if (std::find(not_known.begin(), not_known.end(), true) == not_known.end()) {
        return certain;
    }
    const Diagrams::Ref between =
        diagrams_.both(diagrams_.test(index, not_known), free_comparison(verb, left, right));
    return diagrams_.either(certain, between);
}

Diagrams::Ref Exact::all_present(const std::vector<FactId>& facts) {
    Diagrams::Ref result = Diagrams::always;
    for (const FactId fact : facts) {
        const std::uint32_t variable = variable_of_[fact.value];
        std::vector<bool> present;
        for (const FactClass& one : variables_[variable].classes) {
            present.push_back(!one.absent);
        }
        result = diagrams_.both(result, diagrams_.test(variable, present));
    }
    return result;
}

Diagrams::Ref Exact::free_comparison(Verb verb, const Value& left, const Value& right) {
    const std::vector<FactId> facts = merge(facts_of(left), facts_of(right));
    const auto test = [&](std::uint32_t variable) {
        // Below, equal, above: all comparisons of two values exclude and exhaust each other.
        std::vector<bool> true_for{holds(verb, Number(-1)), holds(verb, Number(0)),
                                   holds(verb, Number(1))};
        true_for.resize(diagrams_.classes(variable), false);
        return diagrams_.both(diagrams_.test(variable, true_for), all_present(facts));
    };
    for (const FreeTest& known : free_tests_) {
        if (known.left == left && known.right == right) {
            return test(known.variable);
        }
    }
    Variable variable;
    variable.facts = facts;
    // A fourth class where one of the two may not apply.
    const std::uint32_t index = diagrams_.add_variable(left.may_vanish || right.may_vanish ? 4 : 3);
    variables_.push_back(std::move(variable));
    free_tests_.push_back({left, right, index});
    return test(index);
}

Exact::Values Exact::values(ExpressionId id) const {
    if (const auto& settled = first_.expressions[id.value]) {
        return settled->kind == Value::Kind::absent ? Values{}
                                                    : Values{{Diagrams::always, *settled}};
    }
    return *values_[id.value];
}

// Gives an open result of an operation a number of its own, the same one for the same operation on
// the same values: bounds alone would make x * x and 6 * x one value wherever their bounds agree.
Value Exact::named(Operation operation, const Value& a, const Value& b, Value result) {
    if (result.kind != Value::Kind::open) {
        return result;
    }
    for (const Result& known : open_results_) {
        if (known.operation == operation && known.a == a && known.b == b) {
            result.which = known.which;
            return result;
        }
    }
    result.which = ++last_which_;
    open_results_.push_back({operation, a, b, result.which});
    return result;
}

void Exact::add(Values& values, Diagrams::Ref guard, Value value) {
    if (guard == Diagrams::never || value.kind == Value::Kind::absent) {
        return;
    }
    for (Guarded& known : values) {
        if (known.value == value) {
            known.guard = diagrams_.either(known.guard, guard);
            return;
        }
    }
    if (values.size() < most_values) {
        values.push_back({guard, std::move(value)});
        return;
    }
    Guarded& last = values.back();
    last.guard = diagrams_.either(last.guard, guard);
    Value blurred;
    blurred.kind = Value::Kind::open;
    blurred.may_vanish = true;
    blurred.facts = merge(facts_of(last.value), facts_of(value));
    blurred.which = ++last_which_;
    last.value = std::move(blurred);
}

Exact::Values Exact::expression(const Expression& e) {
    switch (e.kind) {
    case Expression::Kind::fact: {
        const Fact& fact = model_[e.fact];
        const auto bound = [](const std::optional<Figure>& figure) {
            return figure ? std::optional(figure->base) : std::nullopt;
        };
        return {{Diagrams::always, Value::unknown(e.fact, bound(fact.from), bound(fact.to))}};
    }
    case Expression::Kind::pieces: {
        Values result;
        Diagrams::Ref rest = Diagrams::always;
        for (const ExpressionPiece& piece : e.pieces) {
            const Diagrams::Ref where = piece.where.valid() ? ref(piece.where) : Diagrams::always;
            const Diagrams::Ref here = diagrams_.both(rest, where);
            rest = diagrams_.both(rest, diagrams_.negate(where));
            if (here != Diagrams::never) {
                for (const Guarded& one : values(piece.value)) {
                    add(result, diagrams_.both(here, one.guard), one.value);
                }
            }
        }
        return result;
    }
    case Expression::Kind::operation:
        return operation(e);
    case Expression::Kind::figure:
        break;
    }
    return {{Diagrams::always, Value::number(e.figure)}};
}

Exact::Values Exact::operation(const Expression& e) {
    Values result = values(e.operands.front());
    for (std::size_t i = 1; i < e.operands.size(); ++i) {
        const Values other = values(e.operands[i]);
        Values next;
        for (const Guarded& a : result) {
            for (const Guarded& b : other) {
                step(next, e.operation, a, b);
            }
        }
        result = std::move(next);
    }
    if (e.operation != Operation::root) {
        return result;
    }
    Values roots;
    for (const Guarded& a : result) {
        add(roots, a.guard, named(e.operation, a.value, Value::absent(), root(a.value)));
    }
    return roots;
}

void Exact::step(Values& result, Operation operation, const Guarded& a, const Guarded& b) {
    const Diagrams::Ref guard = diagrams_.both(a.guard, b.guard);
    if (guard == Diagrams::never) {
        return;
    }
    if (operation != Operation::minimum && operation != Operation::maximum) {
        add(result, guard,
            named(operation, a.value, b.value, combine(operation, a.value, b.value)));
        return;
    }
    const bool least = operation == Operation::minimum;
    const Value difference = combine(Operation::subtract, a.value, b.value);
    const bool hangs_on_one = difference.kind == Value::Kind::line;
    const std::optional<bool> first_smaller = compare(Verb::at_most, a.value, b.value);
    const bool may_vanish = a.value.may_vanish || b.value.may_vanish;
    if (!hangs_on_one && (!first_smaller || may_vanish)) {
        add(result, guard,
            named(operation, a.value, b.value, either_of(operation, a.value, b.value)));
        return;
    }
    if (!hangs_on_one) {
        // Both must apply for the smaller of them to do so.
        const Diagrams::Ref present =
            diagrams_.both(guard, all_present(merge(facts_of(a.value), facts_of(b.value))));
        add(result, present, *first_smaller == least ? a.value : b.value);
        return;
    }
    const Diagrams::Ref smaller = compare_pair(Verb::at_most, a.value, b.value);
    const Diagrams::Ref larger = compare_pair(Verb::more_than, a.value, b.value);
    add(result, diagrams_.both(guard, smaller), least ? a.value : b.value);
    add(result, diagrams_.both(guard, larger), least ? b.value : a.value);
}

}  // namespace toprail
