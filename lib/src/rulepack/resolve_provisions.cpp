// Entry point: resolve_provisions.
#include "reading/fields.hpp"
#include "rulepack/resolve.hpp"

#include <algorithm>
#include <set>
#include <unordered_map>

namespace toprail {
namespace {

class ProvisionResolver {
  public:
    ProvisionResolver(Model& model, Findings& findings)
        : model_(model),
          findings_(findings),
          by_id_(model.packs.size()) {
        for (const auto& [name, id] : model_.duty_names) {
            duties_.push_back(name);
        }
        for (const auto& [name, id] : model_.authority_names) {
            authorities_.push_back(name);
        }
    }

    void resolve() {
        for (std::size_t i = 0; i < model_.provisions.size(); ++i) {
            index(ProvisionId(i));
        }
        for (std::size_t i = 0; i < model_.provisions.size(); ++i) {
            resolve(ProvisionId(i));
        }
    }

  private:
    void index(ProvisionId id) {
        const Provision& provision = model_[id];
        const auto [found, fresh] = by_id_[provision.pack.value].emplace(provision.id, id);
        if (!fresh) {
            Finding& finding = findings_.add(Kind::name_taken, provision.span,
                                             "the provision \"" + provision.id +
                                                 "\" stands twice in " + model_[provision.pack].id);
            finding.others.push_back({place_of(model_[found->second].span), "the other one"});
        }
    }

    void resolve(ProvisionId id) {
        Provision& provision = model_.provisions[id.value];
        const Scope scope(model_, provision.written_in);
        if (provision.where) {
            resolve_tree(*provision.where, model_, scope, findings_);
        }
        for (Guard& guard : provision.guards) {
            resolve_tree(guard.where, model_, Scope(model_, guard.adopter), findings_);
        }
        resolve_days(provision, scope);
        for (const Word& word : provision.displaces) {
            append(provision.displaced, find_provisions(provision, word));
        }
        resolve_effect(provision, scope);
        check_powers(provision);
    }

    static void append(std::vector<ProvisionId>& list, const std::vector<ProvisionId>& more) {
        list.insert(list.end(), more.begin(), more.end());
    }

    void resolve_days(Provision& provision, const Scope& scope) {
        Days& days = provision.in_force;
        const Word& picked = days.picked_by_word;
        if (!picked.text.empty() && picked.text != "work-date") {
            const Ref ref = look_up(picked, scope, findings_);
            if (ref.kind == RefKind::fact && model_.facts[ref.index].type == FactType::date) {
                days.picked_by = FactId(ref.index);
            } else if (ref.kind != RefKind::none) {
                findings_.add(Kind::wrong_use, picked.span,
                              "\"" + picked.text + "\" is not a date");
            }
        }
        const Rulepack& home = model_[provision.written_in];
        const bool same_clock = days.picked_by == home.edition_picked.picked_by;
        const bool starts_late = home.last_day && days.from && *home.last_day < *days.from;
        const bool ends_early = days.until && *days.until < home.from;
        if (same_clock && (starts_late || ends_early)) {
            findings_.add(Kind::never_in_force, provision.span,
                          "\"" + provision.id + "\" has no day in force inside its edition");
        }
    }

    // The provisions that a word names, seen from `from`: "id" in the same pack, or "authority/id".
    std::vector<ProvisionId> find_provisions(const Provision& from, const Word& word) {
        const std::size_t slash = word.text.find('/');
        const auto& own = by_id_[from.pack.value];
        if (slash == std::string::npos) {
            if (const auto found = own.find(word.text); found != own.end()) {
                return {found->second};
            }
            if (from.pack == from.written_in) {
                std::vector<std::string> known;
                for (const auto& [id, provision] : own) {
                    known.push_back(id);
                }
                report_unknown(Kind::unknown_provision, word, "provision of this pack", known,
                               findings_);
            }
            return {};  // an adopted provision may name one that the adopter left out
        }
        const std::string authority = word.text.substr(0, slash);
        const std::string id = word.text.substr(slash + 1);
        const auto found = model_.authority_names.find(authority);
        if (found == model_.authority_names.end()) {
            report_unknown(Kind::unknown_authority, {authority, word.span.part(0, slash)},
                           "authority", authorities_, findings_);
            return {};
        }
        // An adopter's copy of the named provision stands for it inside the adopter, unless the
        // pack in which `from` was written had a copy of its own and named the other all the same.
        if (const auto copy = own.find(id);
            from.pack != from.written_in && copy != own.end() &&
            model_[model_[copy->second].written_in].id == authority &&
            by_id_[from.written_in.value].count(id) == 0) {
            return {copy->second};
        }
        std::vector<ProvisionId> all;
        for (const PackId edition : model_.authorities[found->second.value].editions) {
            if (const auto there = by_id_[edition.value].find(id);
                there != by_id_[edition.value].end()) {
                all.push_back(there->second);
            }
        }
        if (all.empty() && from.pack == from.written_in) {
            report_unknown(Kind::unknown_provision, {id, word.span.part(slash + 1, id.size())},
                           "provision of " + authority, {}, findings_);
        }
        return all;
    }

    void resolve_effect(Provision& provision, const Scope& scope) {
        Effect& effect = provision.effect;
        switch (effect.kind) {
        case EffectKind::duty:
            effect.duty = find_duty(effect.target);
            break;
        case EffectKind::exception:
            resolve_exception(provision, scope);
            break;
        case EffectKind::choice:
            resolve_choice(effect);
            break;
        case EffectKind::limit:
            resolve_limit(effect, scope);
            break;
        case EffectKind::remark:
            check_remark(effect.target, scope);
            break;
        case EffectKind::governs:
            if (const auto found = model_.authority_names.find(effect.target.text);
                found != model_.authority_names.end()) {
                effect.governs = found->second;
            } else {
                report_unknown(Kind::unknown_authority, effect.target, "authority", authorities_,
                               findings_);
            }
            break;
        case EffectKind::none:
            break;
        }
    }

    DutyId find_duty(const Word& word) {
        const auto found = model_.duty_names.find(word.text);
        if (found != model_.duty_names.end()) {
            return found->second;
        }
        report_unknown(Kind::unknown_name, word, "duty", duties_, findings_);
        return {};
    }

    void resolve_exception(Provision& provision, const Scope& scope) {
        Effect& effect = provision.effect;
        for (const Word& word : effect.relaxes) {
            for (const ProvisionId id : find_provisions(provision, word)) {
                const Effect& other = model_[id].effect;
                if (other.kind != EffectKind::duty || !other.required) {
                    findings_.add(Kind::wrong_use, word.span,
                                  "\"" + word.text + "\" requires nothing that could be relaxed");
                } else {
                    effect.relaxed.push_back(id);
                }
            }
        }
        if (effect.terms_met_by) {
            resolve_tree(*effect.terms_met_by, model_, scope, findings_);
        }
    }

    void resolve_choice(Effect& effect) {
        const Ref ref = Scope(model_, PackId()).find(effect.target.text);
        if (ref.kind != RefKind::fact || !model_.facts[ref.index].is_choice) {
            std::vector<std::string> choices;
            for (const Fact& fact : model_.facts) {
                if (fact.is_choice) {
                    choices.push_back(fact.name);
                }
            }
            report_unknown(Kind::unknown_name, effect.target, "choice", choices, findings_);
            return;
        }
        effect.choice = FactId(ref.index);
        const std::vector<std::string>& values = model_.facts[ref.index].values;
        effect.removes.assign(values.size(), effect.admits);
        for (const Word& word : effect.values) {
            const auto found = std::find(values.begin(), values.end(), word.text);
            if (found == values.end()) {
                report_unknown(Kind::unknown_value, word, "value of " + effect.target.text, values,
                               findings_);
            } else {
                effect.removes[static_cast<std::size_t>(found - values.begin())] = !effect.admits;
            }
        }
    }

    [[nodiscard]] bool measured(Ref ref) const {
        return ref.kind == RefKind::quantity ||
               (ref.kind == RefKind::fact && (model_.facts[ref.index].type == FactType::measured ||
                                              model_.facts[ref.index].type == FactType::count));
    }

    // A fact or quantity, reported when it is something else.
    Ref find_measured(const Word& word, const Scope& scope) {
        const Ref ref = look_up(word, scope, findings_);
        if (ref.kind != RefKind::none && !measured(ref)) {
            findings_.add(Kind::wrong_use, word.span, "\"" + word.text + "\" is not measured");
            return {};
        }
        return ref;
    }

    void resolve_limit(Effect& effect, const Scope& scope) {
        effect.limited = find_measured(effect.target, scope);
        std::optional<Dimension> bound;
        if (effect.bound_figure) {
            bound = effect.bound_figure->dimension;
        } else if (is_name(effect.bound.text)) {
            effect.bound_ref = find_measured(effect.bound, scope);
            if (effect.bound_ref.kind != RefKind::none) {
                bound = model_.dimension(effect.bound_ref);
            }
        }
        if (bound && effect.limited.kind != RefKind::none &&
            *bound != model_.dimension(effect.limited)) {
            const Dimension wanted = model_.dimension(effect.limited);
            findings_
                .add(Kind::wrong_dimension, effect.bound.span,
                     "\"" + effect.target.text + "\" is a " + describe(wanted) + ", this is a " +
                         describe(*bound))
                .help = how_to_measure(wanted) + "; or name a quantity of that kind";
        }
    }

    void check_remark(const Word& target, const Scope& scope) {
        if (!model_.duty_names.contains(target.text) &&
            scope.find(target.text).kind == RefKind::none) {
            std::vector<std::string> known = scope.names();
            known.insert(known.end(), duties_.begin(), duties_.end());
            report_unknown(Kind::unknown_name, target, "duty, choice or quantity", known,
                           findings_);
        }
    }

    void check_powers(const Provision& provision) {
        const Standing* standing = model_.standing(provision.standing);
        if (standing == nullptr) {
            if (provision.pack == provision.written_in) {
                std::vector<std::string> known;
                for (const Standing& each : model_.standings) {
                    known.push_back(each.name);
                }
                const Rulepack& pack = model_[provision.pack];
                const bool of_pack = provision.standing == pack.standing;
                if (!of_pack || unknown_standings_.insert(provision.pack.value).second) {
                    report_unknown(
                        Kind::unknown_name,
                        {provision.standing, of_pack ? pack.standing_span : provision.span},
                        "standing", known, findings_);
                }
            }
            return;
        }
        const Effect& effect = provision.effect;
        const bool requires_it = effect.kind == EffectKind::choice ||
                                 (effect.kind == EffectKind::duty && effect.required);
        const bool relaxes = effect.kind == EffectKind::exception || !provision.displaces.empty() ||
                             (effect.kind == EffectKind::duty && !effect.required);
        const auto refuse = [&](std::string_view what) {
            findings_
                .add(Kind::no_power, provision.span,
                     "a provision of standing " + provision.standing + " may not " +
                         std::string(what))
                .help = "say it with remarks-on, or cite the rule of a standing that may";
        };
        if (requires_it && !standing->may_require) {
            refuse("create a duty or narrow a choice");
        }
        if (relaxes && !standing->may_relax) {
            refuse("relax or displace a rule, nor say that something is not required");
        }
        if (effect.kind == EffectKind::limit && !standing->may_limit) {
            refuse("set a limit");
        }
    }

    Model& model_;
    Findings& findings_;
    std::vector<std::unordered_map<std::string, ProvisionId>> by_id_;
    std::vector<std::string> duties_;
    std::vector<std::string> authorities_;
    // Packs whose own standing was told to be unknown; once is enough.
    std::set<std::size_t> unknown_standings_;
};

}  // namespace

void resolve_provisions(Model& model, Findings& findings) {
    ProvisionResolver(model, findings).resolve();
}

}  // namespace toprail
