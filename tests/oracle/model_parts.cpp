// Entry points: PartReader.

#include "oracle/model_parts.hpp"

#include "quantity/unit.hpp"

namespace oracle {

using toprail::Node;
using toprail::Operation;
using toprail::Verb;

namespace {

Date day_of(const std::string& text) {
    const auto day = Date::parse(text);
    if (!day) {
        throw Unusable("no day: " + text);
    }
    return *day;
}

}  // namespace

const Node& need(const Node& node, std::string_view key) {
    const Node* found = node.find(key);
    if (found == nullptr) {
        throw Unusable("no " + std::string(key));
    }
    return *found;
}

std::string text_of(const Node& node, std::string_view key) {
    const Node* found = node.find(key);
    return found == nullptr ? std::string() : found->text;
}

std::vector<std::string> texts_of(const Node* node) {
    std::vector<std::string> texts;
    if (node != nullptr && node->is_text()) {
        texts.push_back(node->text);
    } else if (node != nullptr) {
        for (const Node& item : node->items) {
            texts.push_back(item.text);
        }
    }
    return texts;
}

toprail::Dimension dimension_of(const std::string& kind) {
    static const std::map<std::string, toprail::Dimension> kinds{
        {"length", toprail::length_dimension}, {"mass", toprail::mass_dimension},
        {"force", toprail::force_dimension},   {"time", toprail::time_dimension},
        {"speed", toprail::speed_dimension},   {"angle", toprail::angle_dimension},
        {"ratio", toprail::plain_number},      {"count", toprail::plain_number}};
    return kinds.at(kind);
}

void PartReader::mention(const toprail::Figure& figure) {
    model_.figures.emplace_back(figure.dimension, figure.base);
}

Expression PartReader::from_terms(const toprail::Formula& formula, std::size_t at) {
    static const std::map<Operation, Expression::Kind> kinds{
        {Operation::figure, Expression::Kind::figure},
        {Operation::name, Expression::Kind::name},
        {Operation::add, Expression::Kind::add},
        {Operation::subtract, Expression::Kind::subtract},
        {Operation::multiply, Expression::Kind::multiply},
        {Operation::divide, Expression::Kind::divide},
        {Operation::minimum, Expression::Kind::minimum},
        {Operation::maximum, Expression::Kind::maximum},
        {Operation::root, Expression::Kind::root}};
    const auto& term = formula.terms[at];
    Expression result;
    result.kind = kinds.at(term.operation);
    result.name = term.name;
    if (term.operation == Operation::figure) {
        mention(term.figure);
        result.figure = term.figure.base;
    }
    for (const std::size_t part : term.parts) {
        result.parts.push_back(from_terms(formula, part));
    }
    return result;
}

Expression PartReader::expression(const Node& node) {
    const auto formula = toprail::read_formula(node, findings_);
    if (!formula) {
        throw Unusable("no formula: " + node.text);
    }
    return from_terms(*formula, formula->terms.size() - 1);
}

Expression PartReader::bound(const std::string& text) {
    Expression result;
    if (toprail::is_name(text)) {
        result.kind = Expression::Kind::name;
        result.name = text;
        return result;
    }
    const auto reading = toprail::read_figure(text);
    if (!reading.figure) {
        throw Unusable("no figure: " + text);
    }
    mention(*reading.figure);
    result.figure = reading.figure->base;
    return result;
}

Condition PartReader::sentence(const Scope& scope, const Node& node) {
    const auto read = toprail::read_sentence(node, findings_);
    if (!read) {
        throw Unusable("no sentence: " + node.text);
    }
    Condition result;
    result.verb = read->verb;
    result.negated = read->negated;
    result.subject = read->subject.text;
    switch (read->verb) {
    case Verb::holds:
        break;
    case Verb::is:
    case Verb::is_not:
    case Verb::is_one_of:
    case Verb::is_not_one_of:
        for (const auto& object : read->objects) {
            result.values.push_back(object.text);
        }
        break;
    case Verb::more_than:
    case Verb::at_least:
    case Verb::at_most:
    case Verb::less_than:
    case Verb::exactly:
        result.bound = bound(read->objects.at(0).text);
        model_.comparisons.push_back({&scope, result.subject, *result.bound});
        break;
    default:
        result.day = day_of(read->objects.at(0).text);
        model_.days.insert(*result.day);
    }
    return result;
}

Condition PartReader::condition(const Scope& scope, const Node& node) {
    if (node.is_text()) {
        return sentence(scope, node);
    }
    if (const Node* is = node.find("is")) {
        return sentence(scope, *is);
    }
    Condition result;
    const Node* list = nullptr;
    if ((list = node.find("all-of")) != nullptr) {
        result.kind = Condition::Kind::all_of;
    } else if ((list = node.find("any-of")) != nullptr) {
        result.kind = Condition::Kind::any_of;
    } else {
        list = &need(node, "none-of");
        result.kind = Condition::Kind::none_of;
    }
    for (const Node& item : list->items) {
        result.parts.push_back(condition(scope, item));
    }
    return result;
}

Period PartReader::period(const Node& node) {
    Period result;
    for (const auto& [key, end] : {std::pair{"from", &result.from}, {"until", &result.until}}) {
        if (node.find(key) != nullptr) {
            *end = day_of(text_of(node, key));
            model_.days.insert(**end);
        }
    }
    if (node.find("picked-by") != nullptr) {
        result.picked_by = text_of(node, "picked-by");
    }
    return result;
}

}  // namespace oracle
