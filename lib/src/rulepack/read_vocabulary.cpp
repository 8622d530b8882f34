// Entry point: read_vocabulary.
#include "rulepack/read_parts.hpp"

#include <algorithm>

namespace toprail {
namespace {

const std::vector<std::string>& fact_types() {
    static const std::vector<std::string> types = [] {
        std::vector<std::string> all{"yes-no", "choice", "date"};
        all.insert(all.end(), measured_kinds().begin(), measured_kinds().end());
        return all;
    }();
    return types;
}

class VocabularyReader {
  public:
    VocabularyReader(Model& model, Findings& findings) : model_(model), findings_(findings) {}

    void read(const Node& root) {
        Fields fields(root, "a vocabulary", findings_);
        const Word name = fields.word("vocabulary");
        if (check_name(name.text, name.span, findings_)) {
            if (std::count(model_.vocabularies.begin(), model_.vocabularies.end(), name.text) > 0) {
                findings_.add(Kind::name_taken, name.span,
                              "the vocabulary \"" + name.text + "\" is already on this shelf");
            }
            model_.vocabularies.push_back(name.text);
        }
        fields.require_text("title");
        read_standings(fields.map("standings"));
        read_facts(fields.map("facts"));
        read_choices(fields.map("choices"));
        read_duties(fields.map("duties"));
        read_at_odds(fields.map("at-odds"));
        for (Condition& condition : read_conditions(fields.map("conditions"), findings_)) {
            add_name(condition.name, condition.span, {RefKind::condition, size(model_.conditions)});
            model_.conditions.push_back(std::move(condition));
        }
        for (Quantity& quantity : read_quantities(fields.map("quantities"), findings_)) {
            add_name(quantity.name, quantity.span, {RefKind::quantity, size(model_.quantities)});
            model_.quantities.push_back(std::move(quantity));
        }
        fields.finish();
    }

  private:
    template <class T>
    static std::uint32_t size(const std::vector<T>& list) {
        return static_cast<std::uint32_t>(list.size());
    }

    void add_name(const std::string& name, const Span& span, Ref ref) {
        check_name(name, span, findings_);
        if (!model_.shared_names.emplace(name, ref).second) {
            findings_.add(Kind::name_taken, span, "the name \"" + name + "\" is already defined");
        }
    }

    void read_standings(const Node* node) {
        if (node == nullptr) {
            return;
        }
        static const std::vector<std::string> powers{"require", "relax", "limit", "explain"};
        for (const Entry& entry : node->entries) {
            check_name(entry.key, entry.key_span, findings_);
            Fields fields(entry.value, "a standing", findings_);
            Standing standing;
            standing.name = entry.key;
            const Word rank = fields.word("rank");
            const auto number = parse_number(rank.text);
            if (!number || !number->whole() || *number < 1 || *number > 99) {
                findings_.add(Kind::bad_number,
                              rank.span.source == nullptr ? entry.key_span : rank.span,
                              "a rank is a whole number from 1 to 99");
            } else {
                standing.rank = static_cast<std::uint32_t>(*number->integer());
            }
            for (const Word& power : fields.words("may")) {
                standing.may_require |= power.text == "require";
                standing.may_relax |= power.text == "relax";
                standing.may_limit |= power.text == "limit";
                standing.may_explain |= power.text == "explain";
                if (std::find(powers.begin(), powers.end(), power.text) == powers.end()) {
                    findings_
                        .add(Kind::bad_value, power.span,
                             "\"" + power.text + "\" is no power of a standing")
                        .help = "powers are " + list_or(powers);
                }
            }
            fields.finish();
            if (model_.standing(standing.name) != nullptr) {
                findings_.add(Kind::name_taken, entry.key_span,
                              "the standing \"" + entry.key + "\" is already defined");
            }
            model_.standings.push_back(std::move(standing));
        }
    }

    void read_asking(Fields& fields, Fact& fact) {
        fact.reads = fields.require_text("reads");
        fact.ask = fields.require_text("ask");
        fact.why = fields.require_text("why");
        fact.may_not_apply = fields.flag("may-not-apply");
    }

    void read_values(Fields& fields, Fact& fact) {
        fields.require("values");
        constexpr std::size_t most_values = 200;
        for (const Word& value : fields.words("values")) {
            check_name(value.text, value.span, findings_);
            if (std::find(fact.values.begin(), fact.values.end(), value.text) !=
                fact.values.end()) {
                findings_.add(Kind::name_taken, value.span,
                              "the value \"" + value.text + "\" stands twice");
            } else if (fact.values.size() < most_values) {
                fact.values.push_back(value.text);
            } else {
                findings_.add(Kind::too_many_nodes, value.span,
                              "a choice has at most " + std::to_string(most_values) + " values");
                return;
            }
        }
    }

    std::optional<Figure> read_bound(Fields& fields, std::string_view key, const Fact& fact) {
        std::optional<Figure> figure = fields.figure(key);
        if (figure && figure->dimension != fact.dimension) {
            findings_
                .add(Kind::wrong_dimension, fields.node().find(key)->span,
                     "this is a " + describe(figure->dimension) + ", the fact is a " +
                         describe(fact.dimension))
                .help = how_to_measure(fact.dimension);
            return std::nullopt;
        }
        return figure;
    }

    void read_facts(const Node* node) {
        if (node == nullptr) {
            return;
        }
        for (const Entry& entry : node->entries) {
            Fields fields(entry.value, "a fact", findings_);
            Fact fact;
            fact.name = entry.key;
            fact.span = entry.key_span;
            const auto type = fields.require_one_of("type", fact_types());
            const std::string kind = type ? fact_types()[*type] : "yes-no";
            read_asking(fields, fact);
            fact.plan = fields.flag("plan");
            if (kind == "choice") {
                fact.type = FactType::choice;
                read_values(fields, fact);
            } else if (kind == "date") {
                fact.type = FactType::date;
            } else if (kind != "yes-no") {
                fact.type = kind == "count" ? FactType::count : FactType::measured;
                fact.dimension = *dimension_of_kind(kind);
                fact.unit = read_unit(fields, fact.dimension, findings_);
                fact.from = read_bound(fields, "from", fact);
                fact.to = read_bound(fields, "to", fact);
                if (fact.from && fact.to && fact.from->base > fact.to->base) {
                    findings_.add(Kind::bad_range, fields.node().find("from")->span,
                                  "\"from\" is larger than \"to\"");
                }
            }
            fields.finish();
            add_fact(std::move(fact));
        }
    }

    void read_choices(const Node* node) {
        if (node == nullptr) {
            return;
        }
        for (const Entry& entry : node->entries) {
            Fields fields(entry.value, "a choice", findings_);
            Fact fact;
            fact.name = entry.key;
            fact.span = entry.key_span;
            fact.type = FactType::choice;
            fact.is_choice = true;
            fact.plan = true;
            read_values(fields, fact);
            read_asking(fields, fact);
            fields.finish();
            add_fact(std::move(fact));
        }
    }

    void add_fact(Fact fact) {
        add_name(fact.name, fact.span, {RefKind::fact, size(model_.facts)});
        model_.facts.push_back(std::move(fact));
    }

    void read_duties(const Node* node) {
        if (node == nullptr) {
            return;
        }
        for (const Entry& entry : node->entries) {
            check_name(entry.key, entry.key_span, findings_);
            Fields fields(entry.value, "a duty", findings_);
            Duty duty;
            duty.name = entry.key;
            duty.span = entry.key_span;
            duty.asks = fields.require_text("asks");
            duty.reads = fields.require_text("reads");
            if (const Node* met_by = fields.take("met-by")) {
                duty.met_by = read_condition(*met_by, findings_);
            }
            fields.finish();
            if (!model_.duty_names.emplace(duty.name, DutyId(model_.duties.size())).second) {
                findings_.add(Kind::name_taken, duty.span,
                              "the duty \"" + duty.name + "\" is already defined");
            }
            model_.duties.push_back(std::move(duty));
        }
    }

    void read_at_odds(const Node* node) {
        if (node == nullptr) {
            return;
        }
        for (const Entry& entry : node->entries) {
            check_name(entry.key, entry.key_span, findings_);
            Fields fields(entry.value, "a pair of facts at odds", findings_);
            AtOdds at_odds;
            at_odds.name = entry.key;
            at_odds.span = entry.key_span;
            at_odds.says = fields.require_text("says");
            fields.require("where");
            if (const Node* where = fields.take("where")) {
                if (auto tree = read_condition(*where, findings_)) {
                    at_odds.where = std::move(*tree);
                }
            }
            fields.finish();
            model_.at_odds.push_back(std::move(at_odds));
        }
    }

    Model& model_;
    Findings& findings_;
};

}  // namespace

void read_vocabulary(const Node& root, Model& model, Findings& findings) {
    VocabularyReader(model, findings).read(root);
}

}  // namespace toprail
