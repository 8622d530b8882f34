// Entry point: read_rulepack.
#include "rulepack/read_parts.hpp"

#include <utility>

namespace toprail {
namespace {

class RulepackReader {
  public:
    RulepackReader(Model& model, Findings& findings) : model_(model), findings_(findings) {}

    void read(const std::shared_ptr<const Source>& source,
              const std::shared_ptr<const Node>& root) {
        pack_.source = source;
        pack_.tree = root;
        Fields fields(*root, "a rulepack", findings_);
        read_header(fields);
        for (Condition& condition : read_conditions(fields.map("conditions"), findings_)) {
            take_name(condition.name, condition.span);
            pack_.conditions.emplace(condition.name, ConditionId(model_.conditions.size()));
            model_.conditions.push_back(std::move(condition));
        }
        for (Quantity& quantity : read_quantities(fields.map("quantities"), findings_)) {
            take_name(quantity.name, quantity.span);
            pack_.quantities.emplace(quantity.name, QuantityId(model_.quantities.size()));
            model_.quantities.push_back(std::move(quantity));
        }
        const PackId id(model_.packs.size());
        for (Provision& provision : read_provisions(fields.list("provisions"), findings_)) {
            provision.pack = id;
            provision.written_in = id;
            if (provision.standing.empty()) {
                provision.standing = pack_.standing;
            }
            model_.provisions.push_back(std::move(provision));
        }
        read_cases(fields.list("worked-cases"));
        read_unnoticed(fields.list("unnoticed"));
        fields.finish();
        fields.report_swallowed();
        model_.packs.push_back(std::move(pack_));
    }

  private:
    void take_name(const std::string& name, const Span& span) {
        if (model_.shared_names.contains(name) || pack_.conditions.contains(name) ||
            pack_.quantities.contains(name)) {
            findings_.add(Kind::name_taken, span, "the name \"" + name + "\" is already defined");
        }
    }

    static std::vector<std::string> texts(const std::vector<Word>& words) {
        std::vector<std::string> all;
        all.reserve(words.size());
        for (const Word& word : words) {
            all.push_back(word.text);
        }
        return all;
    }

    void read_header(Fields& fields) {
        const Word id = fields.word("rulepack");
        pack_.id = id.text;
        pack_.span = id.span.source == nullptr ? fields.node().span : id.span;
        if (!is_dotted_name(id.text)) {
            findings_
                .add(Kind::bad_name, pack_.span,
                     "\"" + id.text + "\" is not the id of an authority")
                .help = "ids are names joined by dots, such as us.federal.construction";
        }
        pack_.title = fields.require_text("title");
        fields.require_one_of("format", {"1"});
        const Word standing = fields.word("standing");
        pack_.standing = standing.text;
        pack_.standing_span = standing.span.source == nullptr ? pack_.span : standing.span;
        if (standing.span.source == nullptr) {
            fields.require("standing");
        }
        fields.require("vocabulary");
        pack_.vocabularies = fields.words("vocabulary");
        pack_.what_was_read = texts(fields.words("what-was-read"));
        pack_.what_is_open = texts(fields.words("what-is-open"));
        pack_.counts_when_named = fields.one_of("counts-when", {"named or adopted"}).has_value();
        fields.require("edition");
        if (const Node* edition = fields.map("edition")) {
            read_edition(*edition);
        }
        if (const Node* adopts = fields.take("adopts")) {
            if (adopts->is_list()) {
                for (const Node& item : adopts->items) {
                    read_adoption(item);
                }
            } else {
                read_adoption(*adopts);
            }
        }
    }

    void read_edition(const Node& node) {
        Fields fields(node, "an edition", findings_);
        fields.require("from");
        if (const auto from = fields.date("from")) {
            pack_.from = *from;
        }
        pack_.until = fields.date("until");
        fields.require("verified-through");
        pack_.verified_through = fields.date("verified-through");
        pack_.edition_picked.picked_by_word = fields.word("picked-by");
        if (pack_.until && *pack_.until < pack_.from) {
            findings_.add(Kind::bad_range, node.span,
                          "the last day of the edition lies before its first");
        }
        fields.finish();
    }

    void read_adoption(const Node& node) {
        Fields fields(node, "an adoption", findings_);
        Adoption adoption;
        fields.require("rulepack");
        adoption.pack = fields.word("rulepack");
        adoption.leaves_out = fields.words("leaves-out");
        if (const Node* where = fields.take("where")) {
            adoption.where = read_condition(*where, findings_);
        }
        adoption.cite = fields.require_text("cite");
        adoption.source = fields.require_text("source");
        fields.finish();
        fields.report_swallowed();
        pack_.adopts.push_back(std::move(adoption));
    }

    void read_unnoticed(const Node* node) {
        if (node == nullptr) {
            return;
        }
        for (const Node& item : node->items) {
            Fields fields(item, "an explanation", findings_);
            Unnoticed unnoticed;
            fields.require("change");
            unnoticed.change = fields.word("change");
            unnoticed.why = fields.require_text("why");
            fields.finish();
            pack_.unnoticed.push_back(std::move(unnoticed));
        }
    }

    void read_cases(const Node* node) {
        if (node == nullptr) {
            return;
        }
        for (const Node& item : node->items) {
            Fields fields(item, "a worked case", findings_);
            WorkedCase worked;
            worked.span = item.span;
            worked.name = fields.require_text("name");
            worked.on = fields.date("on");
            fields.require("facts");
            worked.facts = fields.map("facts");
            if (const Node* answers = fields.map("answers")) {
                for (const Entry& entry : answers->entries) {
                    worked.answers.push_back({{entry.key, entry.key_span}, &entry.value});
                }
            }
            worked.stands = fields.words("stands");
            worked.falls = fields.words("falls");
            worked.open = fields.words("open");
            worked.displaced = fields.words("displaced");
            if (fields.has("asks")) {
                worked.asks = fields.words("asks");
            }
            fields.finish();
            if (worked.answers.empty() && worked.stands.empty() && worked.falls.empty() &&
                worked.open.empty() && worked.displaced.empty()) {
                findings_.add(Kind::missing_key, item.span, "this worked case expects nothing")
                    .help = "say under \"answers\" what the decision must be";
            }
            pack_.cases.push_back(std::move(worked));
        }
    }

    Model& model_;
    Findings& findings_;
    Rulepack pack_;
};

}  // namespace

void read_rulepack(const std::shared_ptr<const Source>& source,
                   const std::shared_ptr<const Node>& root, Model& model, Findings& findings) {
    RulepackReader(model, findings).read(source, root);
}

}  // namespace toprail
