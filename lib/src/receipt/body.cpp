// Entry points: receipt_body, seal. What each format writes is promised to stay (receipt.hpp).
#include "receipt/body.hpp"

#include "deciding/cautions.hpp"
#include "shelf/shelf_data.hpp"

#include <algorithm>

namespace toprail {
namespace {

using Names = std::set<std::string>;

Json words(const std::vector<Outcome>& outcomes) {
    Json list = Json::array();
    for (const Outcome outcome : outcomes) {
        list.push_back(word(outcome));
    }
    return list;
}

std::string_view state_word(FactState state) {
    switch (state) {
    case FactState::given:
        return "given";
    case FactState::does_not_apply:
        return "does not apply";
    case FactState::not_known:
        break;
    }
    return "not known";
}

// Never leaves this file.
struct TooManyNames {};

class BodyWriter {
  public:
    BodyWriter(const ReceiptMakerData& data, const Decision& decision, int format)
        : format_(format),
          data_(data),
          model_(data.shelf.data().model),
          decision_(decision) {
        for (const FactEntry& fact : decision.facts) {
            if (fact.state == FactState::given && data.measured.contains(fact.name)) {
                measured_given_.insert(fact.name);
            }
        }
    }

    Json write(const DecideOptions& options, const CaseNames& names, std::string_view engine) {
        body_["receipt"] = format_;
        body_["engine"] = engine;
        body_["case"] = names.name;
        if (!names.site.empty()) {
            body_["site"] = names.site;
        }
        body_["on"] = decision_.on.text();
        body_["asked"] = {{"authorities", options.authorities}, {"budget", options.budget}};
        for (const FactEntry& fact : decision_.facts) {
            tell("fact", fact.name, {fact.name},
                 {{"state", state_word(fact.state)},
                  {"value", fact.text},
                  {"from", fact.from},
                  {"reads", data_.reads.at(fact.name)}});
        }
        if (!names.says.empty()) {
            tell("description", names.name, facts_of_case(), {{"says", names.says}});
        }
        write_packs();
        write_governing();
        write_outcomes();
        write_choices();
        write_limits();
        write_steps();
        write_plan();
        write_not_given();
        write_cautions();
        body_["told"] = std::move(told_);
        return std::move(body_);
    }

  private:
    void tell(std::string_view about, const std::string& name, const Names& on, Json tells) {
        names_ += on.size();
        if (names_ > most_names_in_receipt) {
            throw TooManyNames{};
        }
        told_.push_back(
            {{"about", about}, {"name", name}, {"on", on}, {"tells", std::move(tells)}});
    }

    [[nodiscard]] Names facts_of_case() const {
        Names all;
        for (const FactEntry& fact : decision_.facts) {
            all.insert(fact.name);
        }
        return all;
    }

    // The facts behind a bound such as "connector-length (38 in)"; none behind a plain figure.
    [[nodiscard]] Names behind_bound(const std::string& text) const {
        const std::size_t bracket = text.find(" (");
        return bracket == std::string::npos ? Names{} : behind(text.substr(0, bracket));
    }

    // The facts behind the bound in the effect of a limit, "free-fall: at most connector-length (38
    // in)".
    [[nodiscard]] Names behind_effect(const std::string& effect) const {
        for (const std::string_view side : {": at most ", ": at least "}) {
            const std::size_t at = effect.find(side);
            if (at != std::string::npos) {
                return behind_bound(effect.substr(at + side.size()));
            }
        }
        return {};
    }

    [[nodiscard]] Names behind(const std::string& name) const {
        const auto found = data_.behind.find(name);
        return found == data_.behind.end() ? Names{} : *found->second;
    }

    [[nodiscard]] PackId find_pack(const std::string& authority, const std::string& from) const {
        const AuthorityId id = model_.authority_names.find(authority)->second;
        const auto& editions = model_.authorities[id.value].editions;
        return *std::find_if(editions.begin(), editions.end(),
                             [&](PackId pack) { return model_[pack].from.text() == from; });
    }

    // Packs whose bytes the decision rests on: those weighed, those they adopt, and those that say
    // who governs.
    void write_packs() {
        std::map<PackId, Json> packs;
        std::vector<PackId> open;
        const auto add = [&](PackId id, std::string_view role) -> Json& {
            const auto [found, fresh] = packs.try_emplace(id);
            if (fresh) {
                const Rulepack& pack = model_[id];
                found->second = {{"authority", pack.id},
                                 {"title", pack.title},
                                 {"edition", pack.from.text()},
                                 {"verified-through",
                                  pack.verified_through ? pack.verified_through->text() : ""},
                                 {"digest", data_.pack_digests[id.value]},
                                 {"role", role}};
                open.push_back(id);
            }
            return found->second;
        };
        for (const PackUsed& used : decision_.packs) {
            if (used.role != PackRole::weighed) {
                continue;  // added below, with all that are adopted or name authorities
            }
            Json& pack = add(find_pack(used.authority, used.edition), "weighed");
            pack["counts"] = word(used.counts);
            pack["picked-by"] = used.picked_by;
            const bool by_fact = used.picked_by != "work-date";
            tell("edition", used.authority, by_fact ? Names{used.picked_by} : Names{},
                 {{"edition", used.edition}, {"picked-date", used.picked_date}});
        }
        const bool named = std::any_of(decision_.governing.begin(), decision_.governing.end(),
                                       [](const Governing& one) { return one.named; });
        for (const PackId id : named ? std::set<PackId>{} : data_.naming) {
            add(id, "names authorities");
        }
        while (!open.empty()) {
            const PackId id = open.back();
            open.pop_back();
            for (const Adoption& adoption : model_[id].adopts) {
                if (adoption.adopted.valid()) {
                    add(adoption.adopted, "adopted");
                }
            }
        }
        body_["packs"] = Json::array();
        for (auto& [id, pack] : packs) {
            body_["packs"].push_back(std::move(pack));
        }
        body_["vocabularies"] = Json::array();
        for (const auto& [name, digest] : data_.vocabulary_digests) {
            body_["vocabularies"].push_back({{"vocabulary", name}, {"digest", digest}});
        }
    }

    void write_governing() {
        body_["governing"] = Json::array();
        for (const Governing& one : decision_.governing) {
            body_["governing"].push_back({{"authority", one.authority},
                                          {"title", one.title},
                                          {"governs", word(one.governs)},
                                          {"named", one.named},
                                          {"provisions", one.provisions},
                                          {"settled-by", one.settled_by}});
            if (format_ > 1) {
                body_["governing"].back()["standing"] = one.standing;
            }
        }
    }

    void write_outcomes() {
        body_["outcomes"] = Json::array();
        for (const DutyDecision& duty : decision_.duties) {
            if (!duty.spoken_of) {
                continue;  // formats 1 and 2 hold only what some provision speaks of
            }
            body_["outcomes"].push_back({{"duty", duty.duty},
                                         {"asks", duty.asks},
                                         {"outcome", word(duty.outcome)},
                                         {"possible", words(duty.possible)},
                                         {"exact", duty.exact},
                                         {"settled-by", duty.settled_by},
                                         {"ask-next", duty.ask_next},
                                         {"act-as-if", word(duty.act_as_if)},
                                         {"waits-for-plan", duty.waits_for_plan},
                                         {"contested", word(duty.contested)},
                                         {"terms", duty.terms},
                                         {"provisions", duty.provisions}});
            if (format_ > 1) {
                body_["outcomes"].back()["reads"] = duty.reads;
                body_["outcomes"].back()["rank"] = duty.rank;
            }
            // Where an open condition turns may hang on the figures that were given.
            for (const Conditional& each : duty.conditional) {
                tell("conditional", duty.duty, measured_given_,
                     {{"if", each.when}, {"then", each.then}});
            }
        }
    }

    void write_choices() {
        body_["choices"] = Json::array();
        for (const ChoiceDecision& choice : decision_.choices) {
            body_["choices"].push_back({{"choice", choice.choice},
                                        {"reads", choice.reads},
                                        {"admissible", choice.admissible},
                                        {"barred", choice.barred},
                                        {"open", choice.open},
                                        {"empty", word(choice.empty)},
                                        {"exact", choice.exact},
                                        {"settled-by", choice.settled_by}});
        }
    }

    void write_limits() {
        body_["limits"] = Json::array();
        for (const LimitDecision& limit : decision_.limits) {
            Json bounds = Json::array();
            for (const Bound& bound : limit.bounds) {
                bounds.push_back({{"provision", bound.provision},
                                  {"side", bound.at_most ? "at most" : "at least"},
                                  {"status", word(bound.status)},
                                  {"strictest", bound.strictest}});
                tell("bound", limit.quantity, behind_bound(bound.text),
                     {{"provision", bound.provision}, {"bound", bound.text}});
                if (!bound.when.empty()) {
                    tell("bound", limit.quantity, measured_given_,
                         {{"provision", bound.provision}, {"if", bound.when}});
                }
            }
            body_["limits"].push_back({{"quantity", limit.quantity},
                                       {"reads", limit.reads},
                                       {"bounds", std::move(bounds)}});
            tell("value", limit.quantity, behind(limit.quantity), {{"value", limit.value}});
        }
        for (const QuantityValue& each : decision_.quantities) {
            tell("value", each.quantity, behind(each.quantity),
                 {{"reads", each.reads},
                  {"value", each.value},
                  {"formula", each.formula},
                  {"filled-in", each.filled}});
        }
    }

    void write_steps() {
        body_["steps"] = Json::array();
        for (const Step& step : decision_.trail) {
            body_["steps"].push_back({{"provision", step.provision},
                                      {"status", word(step.status)},
                                      {"cite", step.cite},
                                      {"also-cite", step.also_cite},
                                      {"adopted-by", step.adopted_by},
                                      {"standing", step.standing},
                                      {"source", step.source},
                                      {"source-note", step.source_note},
                                      {"gist", step.gist},
                                      {"displaced-by", step.displaced_by}});
            if (format_ > 1) {
                body_["steps"].back()["adopted-from"] = step.adopted_from;
                body_["steps"].back()["in-force"] = step.in_force;
            }
            const Names on = behind_effect(step.effect);
            tell("effect", step.provision, on, {{"effect", step.effect}});
            for (const Reason& reason : step.because) {
                Json tells = {{"says", reason.says}, {"truth", reason.truth}};
                if (format_ > 1) {
                    tells["since"] = Json::array();
                    for (const Reason& each : reason.since) {
                        tells["since"].push_back({{"says", each.says}, {"truth", each.truth}});
                    }
                }
                tell("reason", step.provision, {reason.facts.begin(), reason.facts.end()},
                     std::move(tells));
            }
        }
    }

    // Whether a plan meets a limit is told with its figures; a choice, with what was planned.
    void write_plan() {
        for (const Fit& fit : decision_.fit) {
            Names on = fit.about == "duty" ? Names{} : behind(fit.name);
            for (const LimitDecision& limit : decision_.limits) {
                for (const Bound& bound : limit.bounds) {
                    if (fit.about == "limit" && limit.quantity == fit.name) {
                        on.merge(behind_bound(bound.text));
                        if (!bound.when.empty()) {
                            on.insert(measured_given_.begin(), measured_given_.end());
                        }
                    }
                }
            }
            tell("plan", fit.name, on,
                 {{"about", fit.about},
                  {"verdict", word(fit.verdict)},
                  {"reason", fit.reason},
                  {"provisions", fit.provisions}});
        }
    }

    // Facts that are missing: those that can still change an answer, and those that leave a
    // provision open without changing one.
    void write_not_given() {
        Names settle;
        const auto add = [&settle](const std::vector<std::string>& names) {
            settle.insert(names.begin(), names.end());
        };
        for (const DutyDecision& duty : decision_.duties) {
            add(duty.settled_by);
        }
        for (const ChoiceDecision& choice : decision_.choices) {
            add(choice.settled_by);
        }
        for (const Governing& one : decision_.governing) {
            add(one.settled_by);
        }
        Names given;
        for (const FactEntry& fact : decision_.facts) {
            if (fact.state != FactState::not_known) {
                given.insert(fact.name);
            }
        }
        std::map<std::string, std::string_view> missing;
        for (const Step& step : decision_.trail) {
            for (const Reason& reason : step.because) {
                for (const std::string& fact : reason.facts) {
                    if (step.status == Status::open && !given.contains(fact)) {
                        missing[fact] = "a provision";
                    }
                }
            }
        }
        for (const std::string& fact : settle) {
            missing[fact] = "an answer";
        }
        body_["not-given"] = Json::array();
        for (const auto& [fact, changes] : missing) {
            const auto asks = data_.asks.find(fact);
            body_["not-given"].push_back({{"fact", fact},
                                          {"asks", asks == data_.asks.end() ? "" : asks->second},
                                          {"leaves-open", changes}});
        }
    }

    // What the facts and quantities rest on that a text names.
    [[nodiscard]] Names behind_names_in(const std::string& text) const {
        constexpr const char* name_characters = "abcdefghijklmnopqrstuvwxyz0123456789-";
        Names on;
        for (std::size_t at = text.find_first_of(name_characters); at != std::string::npos;) {
            const std::size_t end = text.find_first_not_of(name_characters, at);
            const auto found = data_.behind.find(text.substr(at, end - at));
            if (found != data_.behind.end()) {
                on.insert(found->second->begin(), found->second->end());
            }
            at = end == std::string::npos ? end : text.find_first_of(name_characters, end);
        }
        return on;
    }

    [[nodiscard]] Names behind_caution(const std::string& caution) const {
        Names on;
        for (const PackUsed& pack : decision_.packs) {
            if (pack.picked_by != "work-date" &&
                caution.find(pack.picked_by + " is ") != std::string::npos) {
                on.insert(pack.picked_by);
            }
        }
        if (format_ == 1) {
            return on;
        }
        // That facts are at odds tells one of them from the others: who takes out any fact takes
        // out all of these cautions, so that what is left does not show which pair it was.
        if (caution.starts_with(at_odds) || caution.starts_with(no_value)) {
            return facts_of_case();
        }
        if (caution.starts_with(no_rule_looks)) {
            on.merge(behind_names_in(caution));
        }
        for (const FactEntry& fact : decision_.facts) {
            const auto known = model_.shared_names.find(fact.name);
            if (fact.state == FactState::given && known != model_.shared_names.end() &&
                model_.facts[known->second.index].type == FactType::date &&
                caution.find(fact.text) != std::string::npos) {
                on.insert(fact.name);
            }
        }
        return on;
    }

    void write_cautions() {
        for (const std::string& caution :
             format_ > 1 ? decision_.cautions : cautions_in_format_1(decision_)) {
            tell("caution", "", behind_caution(caution), {{"says", caution}});
        }
    }

    int format_;
    const ReceiptMakerData& data_;
    const Model& model_;
    const Decision& decision_;
    Names measured_given_;
    Json body_ = Json::object();
    Json told_ = Json::array();
    std::size_t names_ = 0;
};

}  // namespace

std::optional<Json> receipt_body(const ReceiptMakerData& data, const Decision& decision,
                                 const DecideOptions& options, const CaseNames& names,
                                 std::string_view engine, int format) {
    try {
        return BodyWriter(data, decision, format).write(options, names, engine);
    } catch (const TooManyNames&) {
        return std::nullopt;
    }
}

std::string seal(Json body, const std::optional<Seed>& seed) {
    if (seed && is_secret(*seed)) {
        body["seed"] = to_hex(*seed);
    }
    body["digest"] = digest_of(bytes_of_receipt(body).under_digest);
    return canonical(body);
}

}  // namespace toprail
