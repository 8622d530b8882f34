// Entry point: resolve.
#include "rulepack/resolve.hpp"

#include "findings/unknown.hpp"

#include <algorithm>

namespace toprail {
namespace {

void resolve_names(Model& model, Findings& findings) {
    // A condition is looked up from the pack that defines it; those of the vocabulary see only it.
    std::vector<PackId> condition_home(model.conditions.size());
    std::vector<PackId> quantity_home(model.quantities.size());
    for (std::size_t i = 0; i < model.packs.size(); ++i) {
        for (const auto& [name, id] : model.packs[i].conditions) {
            condition_home[id.value] = PackId(i);
        }
        for (const auto& [name, id] : model.packs[i].quantities) {
            quantity_home[id.value] = PackId(i);
        }
    }
    for (std::size_t i = 0; i < model.conditions.size(); ++i) {
        resolve_tree(model.conditions[i].tree, model, Scope(model, condition_home[i]), findings);
    }
    for (std::size_t i = 0; i < model.quantities.size(); ++i) {
        resolve_quantity(model.quantities[i], model, Scope(model, quantity_home[i]), findings);
    }
    for (Duty& duty : model.duties) {
        if (duty.met_by) {
            resolve_tree(*duty.met_by, model, Scope(model, PackId()), findings);
        }
    }
    for (AtOdds& at_odds : model.at_odds) {
        resolve_tree(at_odds.where, model, Scope(model, PackId()), findings);
    }
}

// In the order of their names, whatever the order of the files.
void sort_at_odds(Model& model, Findings& findings) {
    std::stable_sort(model.at_odds.begin(), model.at_odds.end(),
                     [](const AtOdds& a, const AtOdds& b) { return a.name < b.name; });
    for (std::size_t i = 1; i < model.at_odds.size(); ++i) {
        const AtOdds& one = model.at_odds[i];
        if (one.name == model.at_odds[i - 1].name) {
            findings.add(Kind::name_taken, one.span,
                         "facts at odds called \"" + one.name + "\" are already defined");
        }
    }
}

void resolve_headers(Model& model, Findings& findings) {
    for (Rulepack& pack : model.packs) {
        for (const Word& word : pack.vocabularies) {
            if (std::find(model.vocabularies.begin(), model.vocabularies.end(), word.text) ==
                model.vocabularies.end()) {
                report_unknown(Kind::unknown_vocabulary, word, "vocabulary", model.vocabularies,
                               findings);
            }
        }
        const Word& picked = pack.edition_picked.picked_by_word;
        if (picked.text.empty()) {
            findings
                .add(Kind::missing_key, pack.span, "the edition does not say which date picks it")
                .help = "add picked-by: work-date to the edition, or the name of a date fact";
        } else if (picked.text != "work-date") {
            const Ref ref = look_up(picked, Scope(model, PackId()), findings);
            if (ref.kind == RefKind::fact && model.facts[ref.index].type == FactType::date) {
                pack.edition_picked.picked_by = FactId(ref.index);
            } else if (ref.kind != RefKind::none) {
                findings.add(Kind::wrong_use, picked.span, "\"" + picked.text + "\" is not a date");
            }
        }
    }
}

}  // namespace

std::vector<PackId> Scope::homes() const {
    std::vector<PackId> homes;
    if (pack_.valid()) {
        homes.push_back(pack_);
    }
    // Adopted packs may adopt others; adopt_provisions has seen to it that this ends.
    for (std::size_t i = 0; i < homes.size(); ++i) {
        for (const Adoption& adoption : model_[homes[i]].adopts) {
            if (adoption.adopted.valid() &&
                std::find(homes.begin(), homes.end(), adoption.adopted) == homes.end()) {
                homes.push_back(adoption.adopted);
            }
        }
    }
    return homes;
}

Ref Scope::find(std::string_view name) const {
    for (const PackId home : homes()) {
        const Rulepack& pack = model_[home];
        if (const auto found = pack.conditions.find(name); found != pack.conditions.end()) {
            return {RefKind::condition, found->second.value};
        }
        if (const auto found = pack.quantities.find(name); found != pack.quantities.end()) {
            return {RefKind::quantity, found->second.value};
        }
    }
    const auto found = model_.shared_names.find(name);
    return found == model_.shared_names.end() ? Ref{} : found->second;
}

std::vector<std::string> Scope::names() const {
    std::vector<std::string> all;
    for (const PackId home : homes()) {
        for (const auto& [name, id] : model_[home].conditions) {
            all.push_back(name);
        }
        for (const auto& [name, id] : model_[home].quantities) {
            all.push_back(name);
        }
    }
    for (const auto& [name, ref] : model_.shared_names) {
        all.push_back(name);
    }
    return all;
}

void report_unknown(Kind kind, const Word& word, std::string_view what,
                    const std::vector<std::string>& known, Findings& findings) {
    const bool full = findings.full(word.span.source);
    Finding& finding = findings.add(kind, word.span,
                                    "no " + std::string(what) + " is called \"" + word.text + "\"");
    if (!full) {
        finding.help = help_with_unknown(word.text, known);
    }
}

Ref look_up(const Word& word, const Scope& scope, Findings& findings) {
    const Ref ref = scope.find(word.text);
    if (ref.kind == RefKind::none) {
        report_unknown(Kind::unknown_name, word, "fact, condition or quantity",
                       findings.full(word.span.source) ? std::vector<std::string>{} : scope.names(),
                       findings);
    }
    return ref;
}

void resolve(Model& model, Findings& findings) {
    arrange_editions(model, findings);
    adopt_provisions(model, findings);
    resolve_headers(model, findings);
    sort_at_odds(model, findings);
    resolve_names(model, findings);
    resolve_provisions(model, findings);
}

}  // namespace toprail
