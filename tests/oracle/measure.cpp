// Entry points: holds, measure, compare, pieces_of.

#include "oracle/filling.hpp"

#include <algorithm>

namespace oracle {

using toprail::Verb;
using Kind = Expression::Kind;

namespace {

std::optional<Measure> value_of_name(const Model& model, const Scope& scope,
                                     const std::string& name, const Filling& filling) {
    if (const auto* pieces = pieces_of(model, scope, name)) {
        for (const auto& piece : *pieces) {
            if (!piece.where || holds(model, scope, *piece.where, filling)) {
                return measure(model, scope, piece.equals, filling);
            }
        }
        return std::nullopt;
    }
    const auto& number = filling.of(name).number;
    return number ? std::optional(Measure{*number}) : std::nullopt;
}

bool true_of_order(Verb verb, int order) {
    switch (verb) {
    case Verb::more_than:
    case Verb::after:
        return order > 0;
    case Verb::at_least:
    case Verb::on_or_after:
        return order >= 0;
    case Verb::at_most:
    case Verb::on_or_before:
        return order <= 0;
    case Verb::less_than:
    case Verb::before:
        return order < 0;
    default:
        return order == 0;
    }
}

bool sentence_holds(const Model& model, const Scope& scope, const Condition& sentence,
                    const Filling& filling) {
    if (sentence.verb == Verb::holds) {
        for (const Scope* place : {&scope, &model.shared}) {
            const auto named = place->conditions.find(sentence.subject);
            if (named != place->conditions.end()) {
                return holds(model, *place, named->second, filling);
            }
        }
        return filling.of(sentence.subject).word == "yes";
    }
    if (sentence.bound) {
        const auto left = value_of_name(model, scope, sentence.subject, filling);
        const auto right = measure(model, scope, *sentence.bound, filling);
        return left && right && true_of_order(sentence.verb, compare(*left, *right));
    }
    const Value& value = filling.of(sentence.subject);
    if (!value.applies()) {
        return false;
    }
    if (sentence.day) {
        const int order = *value.day < *sentence.day ? -1 : (*value.day == *sentence.day ? 0 : 1);
        return true_of_order(sentence.verb, order);
    }
    const bool listed = std::find(sentence.values.begin(), sentence.values.end(), *value.word) !=
                        sentence.values.end();
    return listed == (sentence.verb == Verb::is || sentence.verb == Verb::is_one_of);
}

}  // namespace

int compare(const Measure& a, const Measure& b) {
    if (a.root == b.root) {
        return a.number < b.number ? -1 : (a.number == b.number ? 0 : 1);
    }
    if (b.root) {
        return -compare(b, a);
    }
    // sqrt(a) against b: a root is never negative, and squaring keeps the order of the rest.
    return b.number < 0 ? 1 : compare({a.number}, {b.number * b.number});
}

std::optional<Measure> measure(const Model& model, const Scope& scope, const Expression& expression,
                               const Filling& filling) {
    if (expression.kind == Kind::figure) {
        return Measure{expression.figure};
    }
    if (expression.kind == Kind::name) {
        return value_of_name(model, scope, expression.name, filling);
    }
    std::vector<Number> parts;
    for (const Expression& part : expression.parts) {
        const auto value = measure(model, scope, part, filling);
        if (!value) {
            return std::nullopt;
        }
        if (value->root) {
            throw Unusable("a root inside a formula");
        }
        parts.push_back(value->number);
    }
    switch (expression.kind) {
    case Kind::add:
        return Measure{parts.at(0) + parts.at(1)};
    case Kind::subtract:
        return Measure{parts.at(0) - parts.at(1)};
    case Kind::multiply:
        return Measure{parts.at(0) * parts.at(1)};
    case Kind::divide:
        return parts.at(1) == 0 ? std::nullopt : std::optional(Measure{parts.at(0) / parts.at(1)});
    case Kind::minimum:
        return Measure{*std::min_element(parts.begin(), parts.end())};
    case Kind::maximum:
        return Measure{*std::max_element(parts.begin(), parts.end())};
    default:
        return parts.at(0) < 0 ? std::nullopt : std::optional(Measure{parts.at(0), true});
    }
}

const std::vector<Scope::Piece>* pieces_of(const Model& model, const Scope& scope,
                                           const std::string& name) {
    for (const Scope* place : {&scope, &model.shared}) {
        const auto found = place->quantities.find(name);
        if (found != place->quantities.end()) {
            return &found->second;
        }
    }
    return nullptr;
}

bool holds(const Model& model, const Scope& scope, const Condition& condition,
           const Filling& filling) {
    if (condition.kind == Condition::Kind::sentence) {
        return sentence_holds(model, scope, condition, filling) != condition.negated;
    }
    const auto true_part = [&](const Condition& part) {
        return holds(model, scope, part, filling);
    };
    const auto& parts = condition.parts;
    if (condition.kind == Condition::Kind::all_of) {
        return std::all_of(parts.begin(), parts.end(), true_part);
    }
    return std::any_of(parts.begin(), parts.end(), true_part) ==
           (condition.kind == Condition::Kind::any_of);
}

}  // namespace oracle
