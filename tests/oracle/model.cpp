// Entry point: read_model. Files are taken in three passes: vocabularies, then rulepacks, then
// adoptions.

#include "oracle/model_parts.hpp"
#include "quantity/unit.hpp"

#include <algorithm>

namespace oracle {

using toprail::Node;

namespace {

/// A provision that an edition adopted with others speaks of its new neighbours: of a copy of what
/// it names, unless it had such a copy beside it already where it was written and named the other.
std::string neighbour(const Provision& provision, const std::string& reference,
                      const Edition& edition) {
    const std::size_t slash = reference.find('/');
    if (slash == std::string::npos) {
        return edition.authority + "/" + reference;
    }
    const std::string id = reference.substr(slash + 1);
    const Provision* copy = edition.find(id);
    const bool newly_beside = provision.home != &edition && copy != nullptr &&
                              copy->home->authority == reference.substr(0, slash) &&
                              provision.home->find(id) == nullptr;
    return newly_beside ? edition.authority + "/" + id : reference;
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

    std::vector<std::unique_ptr<toprail::Source>> sources_;
    std::vector<Node> roots_;
    std::map<const Edition*, const Node*> root_of_;
    toprail::Findings findings_;
    std::unique_ptr<Model> model_ = std::make_unique<Model>();
    PartReader parts_{*model_, findings_};
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
            if (const Node* met_by = entry.value.find("met-by")) {
                model_->met_by[entry.key] = parts_.condition(model_->shared, *met_by);
            }
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
                                          : std::optional(parts_.condition(scope, *where)),
                                      parts_.expression(need(item, "equals"))});
                }
            } else {
                pieces.push_back({std::nullopt, parts_.expression(need(entry.value, "equals"))});
            }
        }
    }
    if (const Node* conditions = root.find("conditions")) {
        for (const auto& entry : conditions->entries) {
            scope.conditions[entry.key] = parts_.condition(scope, entry.value);
        }
    }
}

Provision Reader::read_provision(const Scope& scope, const Node& node) {
    Provision provision;
    provision.id = need(node, "id").text;
    provision.scope = &scope;
    provision.displaces = texts_of(node.find("displaces"));
    if (const Node* where = node.find("where")) {
        provision.where.emplace_back(&scope, parts_.condition(scope, *where));
    }
    if (const Node* in_force = node.find("in-force")) {
        provision.in_force = parts_.period(*in_force);
    }
    using Effect = Provision::Effect;
    if (node.find("duty") != nullptr) {
        provision.effect = Effect::duty;
        provision.about = text_of(node, "duty");
        provision.required = need(node, "calls-for").text == "required";
    } else if (node.find("relaxes") != nullptr) {
        provision.effect = Effect::exception;
        provision.relaxes = texts_of(node.find("relaxes"));
        if (const Node* terms = node.find("terms-met-by")) {
            provision.terms_met_by = parts_.condition(scope, *terms);
        }
    } else if (node.find("choice") != nullptr) {
        const Node* admits = node.find("admits");
        provision.effect = admits != nullptr ? Effect::admits : Effect::bars;
        provision.about = text_of(node, "choice");
        provision.values = texts_of(admits != nullptr ? admits : &need(node, "bars"));
    } else if (node.find("limit") != nullptr) {
        provision.effect = Effect::limit;
        provision.about = text_of(node, "limit");
        provision.at_most = node.find("at-most") != nullptr;
        provision.bound = parts_.bound(need(node, provision.at_most ? "at-most" : "at-least").text);
    } else if (node.find("governs") != nullptr) {
        provision.effect = Effect::governs;
        provision.about = text_of(node, "governs");
    }
    return provision;
}

void Reader::read_pack(const Node& root) {
    auto edition = std::make_unique<Edition>();
    edition->authority = need(root, "rulepack").text;
    edition->period = parts_.period(need(root, "edition"));
    read_scope(edition->scope, root);
    if (const Node* provisions = root.find("provisions")) {
        for (const Node& item : provisions->items) {
            edition->provisions.push_back(read_provision(edition->scope, item));
            edition->provisions.back().home = edition.get();
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
            provision.where.emplace_back(&edition.scope, parts_.condition(edition.scope, *where));
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
                provision.key = authority + "/" + provision.id;
                for (auto* references : {&provision.displaces, &provision.relaxes}) {
                    for (std::string& reference : *references) {
                        reference = neighbour(provision, reference, *edition);
                    }
                }
                provision.which = {authority, provision.id, edition->period.from->text()};
                if (provision.effect == Provision::Effect::limit) {
                    model_->limited[provision.about] = provision.scope;
                }
            }
        }
    }
    if (findings_.any_error()) {
        throw Unusable(findings_.all().front().message);
    }
    return std::move(model_);
}

}  // namespace

const Provision* Edition::find(const std::string& id) const {
    const auto found = std::find_if(provisions.begin(), provisions.end(),
                                    [&id](const Provision& each) { return each.id == id; });
    return found == provisions.end() ? nullptr : &*found;
}

std::unique_ptr<Model> read_model(const std::vector<toprail::SourceText>& texts) {
    return Reader(texts).read();
}

}  // namespace oracle
