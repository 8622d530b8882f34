// Entry point: report_never_governs. On a shelf where rulepacks say who governs, one that none of
// them names and none adopts counts in no case, unless the host names it: what an officer wrote
// there would be missed by everybody. A rulepack that is meant for that says so itself.
#include "shelf/checks.hpp"

#include <algorithm>

namespace toprail {
namespace {

// Authorities that some provision names as governing, or whose text another pack adopts.
std::vector<bool> reached_authorities(const Model& model) {
    std::vector<bool> reached(model.authorities.size(), false);
    for (const Provision& provision : model.provisions) {
        if (provision.effect.kind == EffectKind::governs) {
            reached[provision.effect.governs.value] = true;
        }
    }
    for (const Rulepack& pack : model.packs) {
        for (const Adoption& adoption : pack.adopts) {
            reached[model[adoption.adopted].authority.value] = true;
        }
    }
    return reached;
}

bool meant_to_be_named(const Model& model, const Authority& authority) {
    return std::any_of(authority.editions.begin(), authority.editions.end(),
                       [&model](PackId pack) { return model[pack].counts_when_named; });
}

bool has_effects(const Model& model, const Authority& authority) {
    return std::any_of(
        model.provisions.begin(), model.provisions.end(), [&](const Provision& provision) {
            return model.authorities[model[provision.pack].authority.value].id == authority.id &&
                   provision.effect.kind != EffectKind::governs &&
                   provision.effect.kind != EffectKind::remark;
        });
}

// The provision of the pack that names somebody else, as a copied one does whose id was changed.
const Provision* names_another(const Model& model, const Authority& authority) {
    for (const Provision& provision : model.provisions) {
        const Rulepack& pack = model[provision.pack];
        if (provision.effect.kind == EffectKind::governs && pack.id == authority.id) {
            return &provision;
        }
    }
    return nullptr;
}

}  // namespace

void report_never_governs(const Model& model, Findings& findings) {
    const std::vector<bool> reached = reached_authorities(model);
    if (std::none_of(model.provisions.begin(), model.provisions.end(),
                     [](const Provision& one) { return one.effect.kind == EffectKind::governs; })) {
        return;  // every authority governs every case
    }
    for (std::size_t i = 0; i < model.authorities.size(); ++i) {
        const Authority& authority = model.authorities[i];
        if (reached[i] || meant_to_be_named(model, authority) || !has_effects(model, authority)) {
            continue;
        }
        Finding& finding =
            findings.add(Kind::never_governs, model[authority.editions.front()].span,
                         "no rulepack says that \"" + authority.id +
                             "\" governs, so it counts in no case that does not name it");
        if (const Provision* other = names_another(model, authority)) {
            finding.others.push_back(
                {place_of(other->effect.target.span), "this names another authority"});
            finding.help = "write governs: " + authority.id;
        } else {
            finding.help = "give it a provision with governs: " + authority.id +
                           " and the condition under which it governs; if those who decide are to "
                           "name it, or other rulepacks to adopt it, write counts-when: named or "
                           "adopted";
        }
    }
}

}  // namespace toprail
