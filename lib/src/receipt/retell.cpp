// Entry point: retell. The shape of a receipt inside its digest may come from anybody: what is
// missing or of another kind is told as empty.
#include "receipt/tree.hpp"
#include "toprail/retelling.hpp"

#include <algorithm>
#include <initializer_list>
#include <map>
#include <set>

namespace toprail {
namespace {

// The value with this word, or the last of those named.
template <class Value>
Value value_of(const std::string& text, std::initializer_list<Value> all) {
    const auto found =
        std::find_if(all.begin(), all.end(), [&text](Value each) { return word(each) == text; });
    return found == all.end() ? *(all.end() - 1) : *found;
}

Outcome outcome_of(const std::string& text) {
    return value_of(text, {Outcome::required, Outcome::required_with_exception,
                           Outcome::not_required, Outcome::not_addressed, Outcome::undetermined});
}

Status status_of(const std::string& text) {
    return value_of(text, {Status::stands, Status::falls, Status::displaced, Status::open});
}

Perhaps perhaps_of(const std::string& text) {
    return value_of(text, {Perhaps::no, Perhaps::yes, Perhaps::possibly});
}

std::string_view truth_of(const std::string& text) {
    return text == "true" ? "true" : text == "false" ? "false" : "unknown";
}

bool flag_in(const Json& map, const char* key, bool otherwise) {
    const auto found = map.is_object() ? map.find(key) : map.end();
    return found != map.end() && found->is_boolean() ? found->get<bool>() : otherwise;
}

std::vector<std::string> texts_of(const Json& list) {
    std::vector<std::string> all;
    for (const Json& each : list) {
        if (each.is_string()) {
            all.push_back(each.get<std::string>());
        }
    }
    return all;
}

std::map<std::string, std::vector<std::string>> keyed_texts(const Json& map) {
    std::map<std::string, std::vector<std::string>> all;
    for (const auto& [key, list] : map.items()) {
        all[key] = texts_of(list);
    }
    return all;
}

std::size_t rank_of(const Json& duty) {
    const auto found = duty.find("rank");
    return found != duty.end() && found->is_number_unsigned() ? found->get<std::size_t>() : 1;
}

class Reteller {
  public:
    explicit Reteller(const Receipt& receipt) : receipt_(receipt), root_(receipt.tree->root) {}

    Decision retell() {
        decision_.on = receipt_.on;
        decision_.facts = receipt_.facts.entries();
        retell_governing();
        retell_duties();
        retell_choices();
        retell_limits();
        retell_steps();
        retell_packs();
        // Receipts keep no name of a duty that nothing spoke of; format 1 does not say which is
        // first.
        const auto is_first = [](const DutyDecision& duty) { return duty.rank == 0; };
        if (receipt_.format > 1 &&
            std::none_of(decision_.duties.begin(), decision_.duties.end(), is_first)) {
            decision_.cautions.emplace_back(
                "the first duty of the vocabulary has no outcome here: no provision that may have "
                "governed spoke of it, which is no leave to go without");
        }
        if (!receipt_.redacted.empty()) {
            std::string names;
            for (const std::string& fact : receipt_.redacted) {
                names += (names.empty() ? "" : ", ") + fact;
            }
            std::size_t cautions = 0;
            for (const Json& entry : list_in(root_, "told")) {
                cautions +=
                    text_in(entry, "about") == "caution" && !entry.contains("tells") ? 1U : 0U;
            }
            decision_.cautions.push_back(
                "removed from this receipt: " + names + "; what was told with it is missing here" +
                (cautions == 0 ? ""
                               : ", " + std::to_string(cautions) + " of its cautions among it"));
        }
        for (const Json& entry : list_in(root_, "told")) {
            retell_entry(text_in(entry, "about"), text_in(entry, "name"), entry,
                         list_in(entry, "tells"));
        }
        name_adopters();
        return std::move(decision_);
    }

  private:
    void retell_governing() {
        for (const Json& each : list_in(root_, "governing")) {
            Governing one;
            one.authority = text_in(each, "authority");
            one.title = text_in(each, "title");
            one.standing = text_in(each, "standing");
            one.governs = perhaps_of(text_in(each, "governs"));
            one.named = flag_in(each, "named", false);
            one.provisions = texts_of(list_in(each, "provisions"));
            one.settled_by = texts_of(list_in(each, "settled-by"));
            decision_.governing.push_back(std::move(one));
        }
    }

    void retell_duties() {
        for (const Json& each : list_in(root_, "outcomes")) {
            DutyDecision duty;
            duty.duty = text_in(each, "duty");
            duty.reads = text_in(each, "reads").empty() ? duty.duty : text_in(each, "reads");
            duty.asks = text_in(each, "asks");
            duty.rank = rank_of(each);
            duty.outcome = outcome_of(text_in(each, "outcome"));
            for (const std::string& possible : texts_of(list_in(each, "possible"))) {
                duty.possible.push_back(outcome_of(possible));
            }
            duty.exact = flag_in(each, "exact", false);
            duty.settled_by = texts_of(list_in(each, "settled-by"));
            duty.ask_next = text_in(each, "ask-next");
            duty.waits_for_plan = flag_in(each, "waits-for-plan", false);
            duty.act_as_if = outcome_of(text_in(each, "act-as-if"));
            duty.contested = perhaps_of(text_in(each, "contested"));
            for (const auto& [provision, terms] : list_in(each, "terms").items()) {
                duty.terms[provision] = terms.is_string() ? terms.get<std::string>() : "";
            }
            duty.provisions = texts_of(list_in(each, "provisions"));
            decision_.duties.push_back(std::move(duty));
        }
    }

    void retell_choices() {
        for (const Json& each : list_in(root_, "choices")) {
            ChoiceDecision choice;
            choice.choice = text_in(each, "choice");
            choice.reads = text_in(each, "reads");
            choice.admissible = texts_of(list_in(each, "admissible"));
            choice.barred = keyed_texts(list_in(each, "barred"));
            choice.open = keyed_texts(list_in(each, "open"));
            choice.empty = perhaps_of(text_in(each, "empty"));
            choice.exact = flag_in(each, "exact", false);
            choice.settled_by = texts_of(list_in(each, "settled-by"));
            decision_.choices.push_back(std::move(choice));
        }
    }

    void retell_limits() {
        for (const Json& each : list_in(root_, "limits")) {
            LimitDecision limit;
            limit.quantity = text_in(each, "quantity");
            limit.reads = text_in(each, "reads");
            for (const Json& told : list_in(each, "bounds")) {
                Bound bound;
                bound.provision = text_in(told, "provision");
                bound.at_most = text_in(told, "side") == "at most";
                bound.text = "a figure that was removed";
                bound.status = status_of(text_in(told, "status"));
                bound.strictest = flag_in(told, "strictest", false);
                limit.bounds.push_back(std::move(bound));
            }
            decision_.limits.push_back(std::move(limit));
        }
    }

    void retell_steps() {
        for (const Json& each : list_in(root_, "steps")) {
            Step step;
            step.provision = text_in(each, "provision");
            step.authority = step.provision.substr(0, step.provision.find('/'));
            step.status = status_of(text_in(each, "status"));
            step.cite = text_in(each, "cite");
            step.also_cite = texts_of(list_in(each, "also-cite"));
            step.adopted_by = text_in(each, "adopted-by");
            step.adopted_from = text_in(each, "adopted-from");
            step.standing = text_in(each, "standing");
            step.source = text_in(each, "source");
            step.source_note = text_in(each, "source-note");
            step.gist = text_in(each, "gist");
            step.in_force = text_in(each, "in-force");
            step.displaced_by = texts_of(list_in(each, "displaced-by"));
            steps_.emplace(step.provision, decision_.trail.size());
            decision_.trail.push_back(std::move(step));
        }
    }

    void retell_packs() {
        for (const Json& each : list_in(root_, "packs")) {
            PackUsed pack;
            pack.authority = text_in(each, "authority");
            pack.title = text_in(each, "title");
            pack.edition = text_in(each, "edition");
            pack.verified_through = text_in(each, "verified-through");
            pack.role = value_of(text_in(each, "role"), {PackRole::weighed, PackRole::adopted,
                                                         PackRole::names_authorities});
            pack.picked_by = text_in(each, "picked-by");
            pack.counts = value_of(text_in(each, "counts"), {Perhaps::possibly, Perhaps::yes});
            decision_.packs.push_back(std::move(pack));
        }
    }

    // A receipt lists an adopted rulepack once; a decision, for each authority that took it over.
    void name_adopters() {
        std::vector<PackUsed> all;
        for (const PackUsed& pack : decision_.packs) {
            std::set<std::string> adopters;
            for (const Step& step : decision_.trail) {
                if (pack.role == PackRole::adopted && step.adopted_from == pack.authority) {
                    adopters.insert(step.authority);
                }
            }
            for (const PackUsed& adopter : decision_.packs) {
                if (adopter.role == PackRole::weighed && adopters.contains(adopter.authority)) {
                    all.push_back(pack);
                    all.back().adopted_by = adopter.authority;
                    all.back().picked_by = adopter.picked_by;
                    all.back().picked_date = adopter.picked_date;
                    all.back().counts = adopter.counts;
                }
            }
            if (adopters.empty()) {
                all.push_back(pack);
            }
        }
        decision_.packs = std::move(all);
    }

    void retell_entry(const std::string& about, const std::string& name, const Json& entry,
                      const Json& tells) {
        if (tells.empty()) {
            return;
        }
        if (about == "caution") {
            decision_.cautions.push_back(text_in(tells, "says"));
        } else if (about == "plan") {
            decision_.fit.push_back({text_in(tells, "about"), name,
                                     value_of(text_in(tells, "verdict"),
                                              {Verdict::met, Verdict::not_met, Verdict::open}),
                                     text_in(tells, "reason"),
                                     texts_of(list_in(tells, "provisions"))});
        } else if (about == "effect" || about == "reason") {
            retell_step(about, name, entry, tells);
        } else if (about == "bound" || about == "value") {
            retell_figure(name, tells);
        } else if (about == "conditional") {
            each_named(decision_.duties, &DutyDecision::duty, name, [&](DutyDecision& duty) {
                duty.conditional.push_back({text_in(tells, "if"), text_in(tells, "then")});
            });
        } else if (about == "edition") {
            each_named(decision_.packs, &PackUsed::authority, name, [&](PackUsed& pack) {
                if (pack.edition == text_in(tells, "edition")) {
                    pack.picked_date = text_in(tells, "picked-date");
                }
            });
        }
    }

    template <class One, class What>
    static void each_named(std::vector<One>& all, std::string One::*key, const std::string& name,
                           What what) {
        for (One& one : all) {
            if (one.*key == name) {
                what(one);
            }
        }
    }

    // Two editions may each have a provision of one name: the effect of the second begins what is
    // told of that one.
    void retell_step(const std::string& about, const std::string& name, const Json& entry,
                     const Json& tells) {
        const auto [first, last] = steps_.equal_range(name);
        auto found = last;
        for (auto each = first; each != last; ++each) {
            const bool begun = !decision_.trail[each->second].effect.empty();
            const bool next = about == "effect" ? !begun && found == last : begun;
            if (next || (about == "reason" && found == last)) {
                found = each;
            }
        }
        if (found == last) {
            return;
        }
        Step& step = decision_.trail[found->second];
        if (about == "effect") {
            step.effect = text_in(tells, "effect");
            return;
        }
        Reason reason{text_in(tells, "says"),
                      truth_of(text_in(tells, "truth")),
                      texts_of(list_in(entry, "on")),
                      {}};
        for (const Json& each : list_in(tells, "since")) {
            reason.since.push_back(
                {text_in(each, "says"), truth_of(text_in(each, "truth")), {}, {}});
        }
        step.because.push_back(std::move(reason));
    }

    void retell_figure(const std::string& name, const Json& tells) {
        each_named(decision_.limits, &LimitDecision::quantity, name, [&](LimitDecision& limit) {
            for (Bound& bound : limit.bounds) {
                if (bound.provision == text_in(tells, "provision")) {
                    std::string& place = tells.contains("if") ? bound.when : bound.text;
                    place = text_in(tells, tells.contains("if") ? "if" : "bound");
                }
            }
            if (tells.contains("value")) {
                limit.value = text_in(tells, "value");
            }
        });
        if (tells.contains("formula")) {
            decision_.quantities.push_back({name, text_in(tells, "reads"), text_in(tells, "value"),
                                            text_in(tells, "formula"),
                                            text_in(tells, "filled-in")});
        }
    }

    const Receipt& receipt_;
    const Json& root_;
    Decision decision_;
    std::multimap<std::string, std::size_t> steps_;  // places in the trail
};

}  // namespace

Decision retell(const Receipt& receipt) {
    return Reteller(receipt).retell();
}

}  // namespace toprail
