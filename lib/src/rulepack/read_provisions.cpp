// Entry point: read_provisions.
#include "rulepack/read_parts.hpp"

#include <array>
#include <utility>

namespace toprail {
namespace {

const std::vector<std::string>& marks() {
    static const std::vector<std::string> words{"read",   "read-part", "secondary",
                                                "memory", "inference", "common-practice"};
    return words;
}

Days read_days(const Node& node, Findings& findings) {
    Fields fields(node, "in-force", findings);
    Days days;
    days.from = fields.date("from");
    days.until = fields.date("until");
    days.picked_by_word = fields.word("picked-by");
    fields.finish();
    if (days.from && days.until && *days.until < *days.from) {
        findings.add(Kind::bad_range, fields.node().span, "the last day lies before the first")
            .help = "\"until\" is the last day in force";
    }
    return days;
}

// The keys of every effect, whichever the provision has.
void take_all(Fields& fields) {
    for (const std::string_view key :
         {"duty", "calls-for", "relaxes", "terms", "terms-met-by", "choice", "admits", "bars",
          "limit", "at-most", "at-least", "remarks-on", "governs"}) {
        fields.take(key);
    }
}

void read_duty_effect(Fields& fields, Effect& effect) {
    effect.kind = EffectKind::duty;
    effect.target = fields.word("duty");
    effect.required =
        fields.require_one_of("calls-for", {"required", "not required"}) != std::size_t{1};
}

void read_exception_effect(Fields& fields, Effect& effect, Findings& findings) {
    effect.kind = EffectKind::exception;
    effect.relaxes = fields.words("relaxes");
    effect.terms = fields.require_text("terms");
    if (const Node* met_by = fields.take("terms-met-by")) {
        effect.terms_met_by = read_condition(*met_by, findings);
    }
}

void read_choice_effect(Fields& fields, Effect& effect, Findings& findings) {
    effect.kind = EffectKind::choice;
    effect.target = fields.word("choice");
    const bool admits = fields.has("admits");
    const std::vector<Word> admitted = fields.words("admits");
    const std::vector<Word> barred = fields.words("bars");
    if (admits == fields.has("bars")) {
        findings.add(Kind::effect_count, effect.target.span,
                     "a provision on a choice has either \"admits\" or \"bars\"");
    }
    effect.admits = admits;
    effect.values = admits ? admitted : barred;
}

void read_limit_effect(Fields& fields, Effect& effect, Findings& findings) {
    effect.kind = EffectKind::limit;
    effect.target = fields.word("limit");
    const Word at_most = fields.word("at-most");
    const Word at_least = fields.word("at-least");
    effect.at_most = at_most.span.source != nullptr;
    if (effect.at_most == (at_least.span.source != nullptr)) {
        findings.add(Kind::effect_count, effect.target.span,
                     "a limit has either \"at-most\" or \"at-least\"");
    }
    effect.bound = effect.at_most ? at_most : at_least;
    if (!effect.bound.text.empty() && !is_name(effect.bound.text)) {
        effect.bound_figure = figure_of(effect.bound, findings);
    }
}

void read_effect(Fields& fields, Effect& effect, const Span& where, Findings& findings) {
    static constexpr std::array<std::string_view, 6> keys{"duty",  "relaxes",    "choice",
                                                          "limit", "remarks-on", "governs"};
    std::string found;
    std::size_t count = 0;
    for (const std::string_view key : keys) {
        if (fields.has(key)) {
            ++count;
            found = found.empty() ? key : found;
        }
    }
    if (count != 1) {
        findings
            .add(Kind::effect_count, where,
                 count == 0 ? "this provision has no effect" : "this provision has several effects")
            .help =
            "a provision has exactly one of duty, relaxes, choice, limit, remarks-on and governs";
    }
    if (count == 0) {
        // Its key may be misspelt: then that is told, and not that what goes with it is no key.
        take_all(fields);
    }
    if (found == "duty") {
        read_duty_effect(fields, effect);
    } else if (found == "relaxes") {
        read_exception_effect(fields, effect, findings);
    } else if (found == "choice") {
        read_choice_effect(fields, effect, findings);
    } else if (found == "limit") {
        read_limit_effect(fields, effect, findings);
    } else if (found == "remarks-on") {
        effect.kind = EffectKind::remark;
        effect.target = fields.word("remarks-on");
    } else if (found == "governs") {
        effect.kind = EffectKind::governs;
        effect.target = fields.word("governs");
    }
}

Provision read_provision(const Node& node, Findings& findings) {
    Fields fields(node, "a provision", findings);
    Provision provision;
    fields.require("id");
    const Word id = fields.word("id");
    provision.id = id.text;
    provision.span = id.span.source != nullptr ? id.span : node.span;
    if (!id.text.empty()) {
        check_name(id.text, id.span, findings);
        fields.call("the provision \"" + id.text + "\"");
    }
    provision.cite = fields.require_text("cite");
    for (const Word& word : fields.words("also-cite")) {
        provision.also_cite.push_back(word.text);
    }
    if (const auto mark = fields.require_one_of("source", marks())) {
        provision.mark = static_cast<Mark>(*mark);
    }
    provision.source_note = fields.text("source-note");
    provision.standing = fields.text("standing");
    provision.gist = fields.require_text("gist");
    if (const Node* days = fields.map("in-force")) {
        provision.in_force = read_days(*days, findings);
    }
    if (const Node* where = fields.take("where")) {
        provision.where = read_condition(*where, findings);
    }
    provision.displaces = fields.words("displaces");
    read_effect(fields, provision.effect, provision.span, findings);
    fields.finish();
    take_all(fields);
    fields.report_swallowed();
    return provision;
}

}  // namespace

std::vector<Provision> read_provisions(const Node* node, Findings& findings) {
    std::vector<Provision> provisions;
    if (node != nullptr) {
        for (const Node& item : node->items) {
            if (item.is_map()) {
                provisions.push_back(read_provision(item, findings));
            } else {
                findings.add(Kind::wrong_shape, item.span,
                             "a provision is a map of keys and values");
            }
        }
    }
    return provisions;
}

}  // namespace toprail
