// Entry point: append_json.
#include "telling/json_writer.hpp"
#include "toprail/telling.hpp"

namespace toprail {
namespace {

using Keyed = std::map<std::string, std::vector<std::string>>;

void write_keyed(JsonWriter& json, std::string_view name, const Keyed& values) {
    json.key(name).open_object();
    for (const auto& [key, list] : values) {
        json.field(key, list);
    }
    json.close_object();
}

void write_duty(JsonWriter& json, const DutyDecision& duty) {
    json.key(duty.duty).open_object();
    json.field("outcome", word(duty.outcome));
    json.key("possible").open_array();
    for (const Outcome outcome : duty.possible) {
        json.text(word(outcome));
    }
    json.close_array();
    json.field("settled-by", duty.settled_by);
    json.field_if("ask-next", duty.ask_next);
    if (duty.outcome == Outcome::undetermined) {
        json.field("act-as-if", word(duty.act_as_if));
        json.key("waits-for-plan").boolean(duty.waits_for_plan);
        json.key("exact").boolean(duty.exact);
    }
    if (!duty.conditional.empty()) {
        json.key("conditional").open_array();
        for (const Conditional& each : duty.conditional) {
            json.open_object().field("if", each.when).field("then", each.then).close_object();
        }
        json.close_array();
    }
    if (!duty.spoken_of) {
        json.key("spoken-of").boolean(false);
    }
    json.field("provisions", duty.provisions);
    if (!duty.terms.empty()) {
        json.key("terms").open_object();
        for (const auto& [provision, terms] : duty.terms) {
            json.field(provision, terms);
        }
        json.close_object();
    }
    if (duty.contested != Perhaps::no) {
        json.field("contested", word(duty.contested));
    }
    json.close_object();
}

void write_choice(JsonWriter& json, const ChoiceDecision& choice) {
    json.key(choice.choice).open_object();
    json.field("admissible", choice.admissible);
    write_keyed(json, "barred", choice.barred);
    write_keyed(json, "open", choice.open);
    json.field("empty", word(choice.empty));
    json.field("settled-by", choice.settled_by);
    json.close_object();
}

void write_limit(JsonWriter& json, const LimitDecision& limit) {
    json.key(limit.quantity).open_object();
    json.field_if("value", limit.value);
    json.key("bounds").open_array();
    for (const Bound& bound : limit.bounds) {
        json.open_object();
        json.field(bound.at_most ? "at-most" : "at-least", bound.text);
        json.field("provision", bound.provision);
        json.field("status", word(bound.status));
        json.key("strictest").boolean(bound.strictest);
        json.field_if("if", bound.when);
        json.close_object();
    }
    json.close_array().close_object();
}

void write_step(JsonWriter& json, const Step& step) {
    json.open_object();
    json.field("provision", step.provision);
    json.field("status", word(step.status));
    json.field("effect", step.effect);
    json.field("cite", step.cite);
    if (!step.also_cite.empty()) {
        json.field("also-cite", step.also_cite);
    }
    json.field_if("adopted-by", step.adopted_by);
    json.field_if("adopted-from", step.adopted_from);
    json.field("standing", step.standing);
    json.field("source", step.source);
    json.field_if("source-note", step.source_note);
    json.field("gist", step.gist);
    json.field_if("in-force", step.in_force);
    json.key("because").open_array();
    for (const Reason& reason : step.because) {
        json.open_object().field("says", reason.says).field("truth", reason.truth);
        json.field("facts", reason.facts);
        if (!reason.since.empty()) {
            json.key("since").open_array();
            for (const Reason& each : reason.since) {
                json.open_object().field("says", each.says).field("truth", each.truth);
                json.close_object();
            }
            json.close_array();
        }
        json.close_object();
    }
    json.close_array();
    if (!step.displaced_by.empty()) {
        json.field("displaced-by", step.displaced_by);
    }
    json.close_object();
}

void write_fit(JsonWriter& json, const Decision& decision) {
    json.key("fit").open_array();
    for (const Fit& fit : decision.fit) {
        const DutyDecision* duty = fit.about == "duty" ? decision.duty(fit.name) : nullptr;
        if (duty != nullptr && duty->outcome == Outcome::not_addressed) {
            continue;  // what asks for nothing cannot be met: "met" would read as leave
        }
        json.open_object();
        json.field("about", fit.about).field("name", fit.name).field("verdict", word(fit.verdict));
        json.field("reason", fit.reason).field("provisions", fit.provisions);
        json.close_object();
    }
    json.close_array();
}

void write_governing(JsonWriter& json, const std::vector<Governing>& governing) {
    json.key("governing").open_array();
    for (const Governing& one : governing) {
        json.open_object();
        json.field("authority", one.authority).field("title", one.title);
        json.field("standing", one.standing);
        json.field("governs", word(one.governs));
        json.key("named").boolean(one.named);
        json.field("provisions", one.provisions).field("settled-by", one.settled_by);
        json.close_object();
    }
    json.close_array();
}

void write_packs(JsonWriter& json, const std::vector<PackUsed>& packs) {
    json.key("packs").open_array();
    for (const PackUsed& pack : packs) {
        json.open_object();
        json.field("authority", pack.authority).field("title", pack.title);
        json.field("edition", pack.edition).field("verified-through", pack.verified_through);
        json.field("role", word(pack.role));
        json.field("picked-by", pack.picked_by).field("picked-date", pack.picked_date);
        json.field("counts", word(pack.counts));
        json.field_if("adopted-by", pack.adopted_by);
        json.close_object();
    }
    json.close_array();
}

void write_facts(JsonWriter& json, const std::vector<FactEntry>& facts) {
    json.key("facts").open_object();
    for (const FactEntry& fact : facts) {
        json.key(fact.name).open_object();
        switch (fact.state) {
        case FactState::given:
            json.field("value", fact.text);
            break;
        case FactState::not_known:
            json.field("value", "not known");
            break;
        case FactState::does_not_apply:
            json.field("value", "does not apply");
            break;
        }
        json.field_if("from", fact.from).close_object();
    }
    json.close_object();
}

void write_place(JsonWriter& json, const Place& place) {
    json.field("file", place.file);
    json.key("line").number(place.line);
    json.key("column").number(place.column);
    json.key("length").number(place.length);
}

}  // namespace

void append_json(std::string& out, const Decision& decision, const std::string& case_name) {
    JsonWriter json(out);
    json.open_object();
    json.field("case", case_name).field("on", decision.on.text());
    json.key("duties").open_object();
    for (const DutyDecision& duty : decision.duties) {
        write_duty(json, duty);
    }
    json.close_object();
    json.key("choices").open_object();
    for (const ChoiceDecision& choice : decision.choices) {
        write_choice(json, choice);
    }
    json.close_object();
    json.key("limits").open_object();
    for (const LimitDecision& limit : decision.limits) {
        write_limit(json, limit);
    }
    json.close_object();
    write_fit(json, decision);
    json.key("quantities").open_array();
    for (const QuantityValue& each : decision.quantities) {
        json.open_object().field("quantity", each.quantity).field("reads", each.reads);
        json.field("value", each.value).field_if("formula", each.formula);
        json.field_if("filled-in", each.filled).close_object();
    }
    json.close_array();
    write_governing(json, decision.governing);
    json.key("trail").open_array();
    for (const Step& step : decision.trail) {
        write_step(json, step);
    }
    json.close_array();
    json.field("cautions", decision.cautions);
    write_packs(json, decision.packs);
    write_facts(json, decision.facts);
    json.close_object();
}

void append_json(std::string& out, const std::vector<Finding>& findings) {
    JsonWriter json(out);
    json.open_array();
    for (const Finding& finding : findings) {
        json.open_object().field("code", finding.code).field("severity", word(finding.severity));
        write_place(json, finding.place);
        json.field("message", finding.message).field_if("help", finding.help);
        json.key("others").open_array();
        for (const OtherPlace& other : finding.others) {
            json.open_object().field("says", other.says);
            write_place(json, other.place);
            json.close_object();
        }
        json.close_array().close_object();
    }
    json.close_array();
}

}  // namespace toprail
