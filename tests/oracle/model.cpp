// Entry point: read_model. Files are taken in three passes: vocabularies, then rulepacks, then
// adoptions.

#include "oracle/model.hpp"

#include "findings/collector.hpp"
#include "quantity/unit.hpp"
#include "reading/formula.hpp"
#include "reading/tree.hpp"

#include <algorithm>

namespace oracle {

using toprail::Node;
using toprail::Operation;
using toprail::Verb;

namespace {

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

Date day_of(const std::string& text) {
    const auto day = Date::parse(text);
    if (!day) {
        throw Unusable("no day: " + text);
    }
    return *day;
}

toprail::Dimension dimension_of(const std::string& kind) {
    static const std::map<std::string, toprail::Dimension> kinds{
        {"length", toprail::length_dimension}, {"mass", toprail::mass_dimension},
        {"force", toprail::force_dimension},   {"time", toprail::time_dimension},
        {"speed", toprail::speed_dimension},   {"angle", toprail::angle_dimension},
        {"ratio", toprail::plain_number},      {"count", toprail::plain_number}};
    return kinds.at(kind);
}

/// An adopted provision speaks of its new neighbours, so this comes after adoption.
void qualify(Provision& provision, const std::string& authority) {
    provision.key = authority + "/" + provision.id;
    for (auto* references : {&provision.displaces, &provision.relaxes}) {
        for (std::string& reference : *references) {
            if (reference.find('/') == std::string::npos) {
                reference = authority + "/" + reference;
            }
        }
    }
}

class Reader {
  public:
    explicit Reader(const std::vector<toprail::SourceText>& texts);
    std::unique_ptr<Model> read();

  private:
    void read_vocabulary(const Node& root);
    void read_fact(const std::string& name, const Node& node, bool choice);
    void read_pack(const Node& root);
    void read_scope(Scope& scope, const Node& root);
    void adopt(Edition& edition, const Node& adoption);
    Provision read_provision(const Scope& scope, const Node& node);
    Condition read_condition(const Scope& scope, const Node& node);
    Condition read_sentence(const Scope& scope, const Node& node);
    Expression read_expression(const Node& node);
    Expression read_bound(const std::string& text);
    Expression from_terms(const toprail::Formula& formula, std::size_t at);
    Period read_period(const Node& node);
    void mention(const toprail::Figure& figure);

    std::vector<std::unique_ptr<toprail::Source>> sources_;
    std::vector<Node> roots_;
    std::map<const Edition*, const Node*> root_of_;
    toprail::Findings findings_;
    std::unique_ptr<Model> model_ = std::make_unique<Model>();
};

Reader::Reader(const std::vector<toprail::SourceText>& texts) {
    for (const auto& text : texts) {
        sources_.push_back(std::make_unique<toprail::Source>(text.name, text.text));
        auto root = toprail::read_tree(*sources_.back(), toprail::Limits{}, findings_);
        if (!root || findings_.any_error()) {
            throw Unusable("no tree: " + text.name);
        }
        roots_.push_back(std::move(*root));
    }
}

void Reader::mention(const toprail::Figure& figure) {
    model_->figures.emplace_back(figure.dimension, figure.base);
}

void Reader::read_fact(const std::string& name, const Node& node, bool choice) {
    Fact fact;
    fact.name = name;
    const std::string type = choice ? "choice" : need(node, "type").text;
    fact.plan = choice || text_of(node, "plan") == "yes";
    fact.may_not_apply = text_of(node, "may-not-apply") == "yes";
    if (type == "yes-no") {
        fact.type = Type::yes_no;
    } else if (type == "choice") {
        fact.type = Type::choice;
        fact.values = texts_of(&need(node, "values"));
    } else if (type == "date") {
        fact.type = Type::date;
    } else {
        fact.type = type == "count" ? Type::count : Type::measured;
        fact.dimension = dimension_of(type);
        for (const auto& [key, end] : {std::pair{"from", &fact.from}, {"to", &fact.to}}) {
            if (node.find(key) != nullptr) {
                *end = toprail::read_figure(text_of(node, key)).figure.value().base;
            }
        }
    }
    model_->facts[name] = fact;
}

void Reader::read_vocabulary(const Node& root) {
    if (const Node* facts = root.find("facts")) {
        for (const auto& entry : facts->entries) {
            read_fact(entry.key, entry.value, false);
        }
    }
    if (const Node* choices = root.find("choices")) {
        for (const auto& entry : choices->entries) {
            read_fact(entry.key, entry.value, true);
            model_->choices[entry.key] = texts_of(&need(entry.value, "values"));
        }
    }
    if (const Node* duties = root.find("duties")) {
        for (const auto& entry : duties->entries) {
            model_->duties.push_back(entry.key);
        }
    }
}

void Reader::read_scope(Scope& scope, const Node& root) {
    if (const Node* quantities = root.find("quantities")) {
        for (const auto& entry : quantities->entries) {
            scope.kinds[entry.key] = dimension_of(need(entry.value, "kind").text);
            auto& pieces = scope.quantities[entry.key];
            if (const Node* list = entry.value.find("pieces")) {
                for (const Node& item : list->items) {
                    const Node* where = item.find("where");
                    pieces.push_back({where == nullptr
                                          ? std::nullopt
                                          : std::optional(read_condition(scope, *where)),
                                      read_expression(need(item, "equals"))});
                }
            } else {
                pieces.push_back({std::nullopt, read_expression(need(entry.value, "equals"))});
            }
        }
    }
    if (const Node* conditions = root.find("conditions")) {
        for (const auto& entry : conditions->entries) {
            scope.conditions[entry.key] = read_condition(scope, entry.value);
        }
    }
}

Expression Reader::from_terms(const toprail::Formula& formula, std::size_t at) {
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
    Expression expression;
    expression.kind = kinds.at(term.operation);
    expression.name = term.name;
    if (term.operation == Operation::figure) {
        mention(term.figure);
        expression.figure = term.figure.base;
    }
    for (const std::size_t part : term.parts) {
        expression.parts.push_back(from_terms(formula, part));
    }
    return expression;
}

Expression Reader::read_expression(const Node& node) {
    const auto formula = toprail::read_formula(node, findings_);
    if (!formula) {
        throw Unusable("no formula: " + node.text);
    }
    return from_terms(*formula, formula->terms.size() - 1);
}

Expression Reader::read_bound(const std::string& text) {
    Expression expression;
    if (toprail::is_name(text)) {
        expression.kind = Expression::Kind::name;
        expression.name = text;
        return expression;
    }
    const auto reading = toprail::read_figure(text);
    if (!reading.figure) {
        throw Unusable("no figure: " + text);
    }
    mention(*reading.figure);
    expression.figure = reading.figure->base;
    return expression;
}

Condition Reader::read_sentence(const Scope& scope, const Node& node) {
    const auto sentence = toprail::read_sentence(node, findings_);
    if (!sentence) {
        throw Unusable("no sentence: " + node.text);
    }
    Condition condition;
    condition.verb = sentence->verb;
    condition.negated = sentence->negated;
    condition.subject = sentence->subject.text;
    switch (sentence->verb) {
    case Verb::holds:
        break;
    case Verb::is:
    case Verb::is_not:
    case Verb::is_one_of:
    case Verb::is_not_one_of:
        for (const auto& object : sentence->objects) {
            condition.values.push_back(object.text);
        }
        break;
    case Verb::more_than:
    case Verb::at_least:
    case Verb::at_most:
    case Verb::less_than:
    case Verb::exactly:
        condition.bound = read_bound(sentence->objects.at(0).text);
        model_->comparisons.push_back({&scope, condition.subject, *condition.bound});
        break;
    default:
        condition.day = day_of(sentence->objects.at(0).text);
        model_->days.insert(*condition.day);
    }
    return condition;
}

Condition Reader::read_condition(const Scope& scope, const Node& node) {
    if (node.is_text()) {
        return read_sentence(scope, node);
    }
    if (const Node* is = node.find("is")) {
        return read_sentence(scope, *is);
    }
    Condition condition;
    const Node* list = nullptr;
    if ((list = node.find("all-of")) != nullptr) {
        condition.kind = Condition::Kind::all_of;
    } else if ((list = node.find("any-of")) != nullptr) {
        condition.kind = Condition::Kind::any_of;
    } else {
        list = &need(node, "none-of");
        condition.kind = Condition::Kind::none_of;
    }
    for (const Node& item : list->items) {
        condition.parts.push_back(read_condition(scope, item));
    }
    return condition;
}

Period Reader::read_period(const Node& node) {
    Period period;
    for (const auto& [key, end] : {std::pair{"from", &period.from}, {"until", &period.until}}) {
        if (node.find(key) != nullptr) {
            *end = day_of(text_of(node, key));
            model_->days.insert(**end);
        }
    }
    if (node.find("picked-by") != nullptr) {
        period.picked_by = text_of(node, "picked-by");
    }
    return period;
}

Provision Reader::read_provision(const Scope& scope, const Node& node) {
    Provision provision;
    provision.id = need(node, "id").text;
    provision.scope = &scope;
    provision.displaces = texts_of(node.find("displaces"));
    if (const Node* where = node.find("where")) {
        provision.where.emplace_back(&scope, read_condition(scope, *where));
    }
    if (const Node* in_force = node.find("in-force")) {
        provision.in_force = read_period(*in_force);
    }
    using Effect = Provision::Effect;
    if (node.find("duty") != nullptr) {
        provision.effect = Effect::duty;
        provision.about = text_of(node, "duty");
        provision.required = need(node, "calls-for").text == "required";
    } else if (node.find("relaxes") != nullptr) {
        provision.effect = Effect::exception;
        provision.relaxes = texts_of(node.find("relaxes"));
    } else if (node.find("choice") != nullptr) {
        const Node* admits = node.find("admits");
        provision.effect = admits != nullptr ? Effect::admits : Effect::bars;
        provision.about = text_of(node, "choice");
        provision.values = texts_of(admits != nullptr ? admits : &need(node, "bars"));
    } else if (node.find("limit") != nullptr) {
        provision.effect = Effect::limit;
        provision.about = text_of(node, "limit");
        provision.at_most = node.find("at-most") != nullptr;
        provision.bound = read_bound(need(node, provision.at_most ? "at-most" : "at-least").text);
    } else if (node.find("governs") != nullptr) {
        provision.effect = Effect::governs;
        provision.about = text_of(node, "governs");
    }
    return provision;
}

void Reader::read_pack(const Node& root) {
    auto edition = std::make_unique<Edition>();
    edition->authority = need(root, "rulepack").text;
    edition->period = read_period(need(root, "edition"));
    read_scope(edition->scope, root);
    if (const Node* provisions = root.find("provisions")) {
        for (const Node& item : provisions->items) {
            edition->provisions.push_back(read_provision(edition->scope, item));
        }
    }
    root_of_[edition.get()] = &root;
    model_->authorities[edition->authority].push_back(std::move(edition));
}

void Reader::adopt(Edition& edition, const Node& adoption) {
    const auto& adopted = *model_->authorities.at(need(adoption, "rulepack").text).back();
    const auto left_out = texts_of(adoption.find("leaves-out"));
    for (Provision provision : adopted.provisions) {
        if (std::find(left_out.begin(), left_out.end(), provision.id) != left_out.end()) {
            continue;
        }
        if (const Node* where = adoption.find("where")) {
            provision.where.emplace_back(&edition.scope, read_condition(edition.scope, *where));
        }
        edition.provisions.push_back(std::move(provision));
    }
}

std::unique_ptr<Model> Reader::read() {
    for (const Node& root : roots_) {
        if (root.find("vocabulary") != nullptr && root.find("rulepack") == nullptr) {
            read_vocabulary(root);
        }
    }
    for (const Node& root : roots_) {
        if (root.find("rulepack") == nullptr) {
            read_scope(model_->shared, root);
        }
    }
    for (const Node& root : roots_) {
        if (root.find("rulepack") != nullptr) {
            read_pack(root);
        }
    }
    for (auto& [authority, editions] : model_->authorities) {
        std::sort(editions.begin(), editions.end(),
                  [](const auto& a, const auto& b) { return *a->period.from < *b->period.from; });
    }
    for (auto& [authority, editions] : model_->authorities) {
        for (auto& edition : editions) {
            if (const Node* adopts = root_of_.at(edition.get())->find("adopts")) {
                if (adopts->is_map()) {
                    adopt(*edition, *adopts);
                }
                for (const Node& item : adopts->items) {
                    adopt(*edition, item);
                }
            }
        }
    }
    for (auto& [authority, editions] : model_->authorities) {
        for (auto& edition : editions) {
            for (Provision& provision : edition->provisions) {
                qualify(provision, authority);
            }
        }
    }
    if (findings_.any_error()) {
        throw Unusable(findings_.all().front().message);
    }
    return std::move(model_);
}

}  // namespace

std::unique_ptr<Model> read_model(const std::vector<toprail::SourceText>& texts) {
    return Reader(texts).read();
}

}  // namespace oracle
