// Entry points: tell_governing, tell_packs, tell_not_in_force, tell_unheeded, tell_at_odds,
// report_before_first_edition.
#include "deciding/work.hpp"
#include "graph/behind.hpp"

#include <algorithm>
#include <map>
#include <set>

namespace toprail {
namespace {

Perhaps perhaps(Truth truth) {
    return truth == Truth::yes  ? Perhaps::yes
           : truth == Truth::no ? Perhaps::no
                                : Perhaps::possibly;
}

// The day that picks the edition, when it is known.
std::optional<Date> picking_day(const Work& work, FactId picked_by) {
    if (!picked_by.valid()) {
        return work.circumstances.on;
    }
    const BoundFact& fact = work.knowledge.facts()[picked_by.value];
    return fact.state == FactState::given ? std::optional(Date::from_days(fact.day)) : std::nullopt;
}

Truth edition_counts(const Work& work, const Rulepack& pack) {
    const FactId picked_by = pack.edition_picked.picked_by;
    const auto day = picking_day(work, picked_by);
    if (!day) {
        return work.knowledge.facts()[picked_by.value].state == FactState::not_known ? Truth::open
                                                                                     : Truth::no;
    }
    return *day >= pack.from && (!pack.last_day || *day <= *pack.last_day) ? Truth::yes : Truth::no;
}

// Whether the authority is asked who else governs: then nothing can be decided before it begins.
bool says_who_governs(const Work& work, AuthorityId id) {
    return work.circumstances.named.empty() &&
           std::any_of(work.model.provisions.begin(), work.model.provisions.end(),
                       [&](const Provision& p) {
                           return p.effect.kind == EffectKind::governs && p.effect.governs != id &&
                                  work.model[p.pack].authority == id;
                       });
}

void name_pack(const Rulepack& pack, PackUsed& used) {
    used.authority = pack.id;
    used.title = pack.title;
    used.edition = pack.from.text();
    used.verified_through = pack.verified_through ? pack.verified_through->text() : "";
}

// The packs, apart from `pack` itself, whose text stands in it by adoption.
// By name and edition: the order in which files were read must not show.
std::vector<PackId> adopted_into(const Model& model, PackId pack) {
    std::map<std::pair<std::string, Date>, PackId> all;
    for (const Provision& provision : model.provisions) {
        if (provision.pack == pack && provision.written_in != pack) {
            const Rulepack& home = model[provision.written_in];
            all.emplace(std::pair(home.id, home.from), provision.written_in);
        }
    }
    std::vector<PackId> adopted;
    for (const auto& [name, id] : all) {
        adopted.push_back(id);
    }
    return adopted;
}

}  // namespace

std::vector<Governing> tell_governing(Work& work) {
    std::vector<Governing> all;
    for (const auto& [name, id] : work.model.authority_names) {
        const Truth governs = work.governs[id.value];
        if (governs == Truth::no) {
            continue;
        }
        Governing one;
        one.authority = name;
        one.title = work.model.authorities[id.value].title;
        one.standing = work.model[work.model.authorities[id.value].editions.back()].standing;
        one.governs = perhaps(governs);
        one.named = !work.circumstances.named.empty();
        for (std::size_t i = 0; !one.named && i < work.model.provisions.size(); ++i) {
            const Effect& effect = work.model.provisions[i].effect;
            if (effect.kind == EffectKind::governs && effect.governs == id &&
                work.knowledge.truth(work.program.provisions[i].live) != Truth::no) {
                one.provisions.push_back(work.model.key(ProvisionId(i)));
            }
        }
        bool exact = true;
        one.settled_by = work.names(work.knowledge.hangs_on(work.program.governs[id.value], exact));
        all.push_back(std::move(one));
    }
    return all;
}

std::vector<PackUsed> tell_packs(Work& work) {
    std::vector<PackUsed> all;
    for (const auto& [name, id] : work.model.authority_names) {
        const Truth governs = work.governs[id.value];
        if (governs == Truth::no && !says_who_governs(work, id)) {
            continue;
        }
        for (const PackId edition : work.model.authorities[id.value].editions) {
            const Rulepack& pack = work.model[edition];
            const Truth counts = edition_counts(work, pack);
            if (counts == Truth::no) {
                continue;
            }
            const FactId picked_by = pack.edition_picked.picked_by;
            const auto day = picking_day(work, picked_by);
            PackUsed used;
            name_pack(pack, used);
            used.role = governs == Truth::no ? PackRole::names_authorities : PackRole::weighed;
            used.picked_by = picked_by.valid() ? work.model[picked_by].name : "work-date";
            used.picked_date = day ? day->text() : "not known";
            used.counts = perhaps(counts != Truth::yes || governs == Truth::no ? counts : governs);
            all.push_back(used);
            for (const PackId adopted : adopted_into(work.model, edition)) {
                name_pack(work.model[adopted], used);
                used.role = PackRole::adopted;
                used.adopted_by = pack.id;
                all.push_back(used);
            }
        }
    }
    return all;
}

std::vector<std::string> tell_not_in_force(Work& work) {
    std::map<std::string, std::string> all;  // by authority
    for (std::size_t i = 0; work.circumstances.named.empty() && i < work.model.provisions.size();
         ++i) {
        const Provision& provision = work.model.provisions[i];
        const Rulepack& pack = work.model[provision.pack];
        if (provision.effect.kind != EffectKind::governs ||
            provision.effect.governs != pack.authority ||
            work.governs[pack.authority.value] != Truth::no) {
            continue;
        }
        const auto& editions = work.model.authorities[pack.authority.value].editions;
        const auto day = picking_day(work, pack.edition_picked.picked_by);
        if (!day || std::any_of(editions.begin(), editions.end(), [&work](PackId edition) {
                return edition_counts(work, work.model[edition]) != Truth::no;
            })) {
            continue;
        }
        const std::optional<LoweredTree>& where = work.program.provisions[i].where;
        if (where) {
            work.knowledge.work_out({where->node});
        }
        if (!where || work.knowledge.truth(where->node) != Truth::no) {
            const bool early = *day < work.model[editions.front()].from;
            all[pack.id] =
                "no edition of " + pack.id + " counts on " + day->text() + ": it " +
                (early ? "begins on " + work.model[editions.front()].from.text() : "ended") +
                ", and nothing was weighed under it";
        }
    }
    std::vector<std::string> told;
    for (auto& [name, sentence] : all) {
        told.push_back(std::move(sentence));
    }
    return told;
}

std::vector<std::string> tell_unheeded(const Work& work, const DependencyGraph& graph) {
    std::vector<std::string> names;
    for (const FactEntry& given : work.given.entries()) {
        const auto known = work.model.shared_names.find(given.name);
        // Facts are the first vertices; an edge leads to each from what looks at it.
        if (given.state == FactState::given && given.text == "yes" &&
            known != work.model.shared_names.end() && known->second.kind == RefKind::fact &&
            boost::in_degree(known->second.index, graph) == 0) {
            names.push_back(given.name);
        }
    }
    std::sort(names.begin(), names.end());
    return names;
}

Sentences tell_at_odds(const Work& work) {
    Sentences sentences;
    for (std::size_t i = 0; i < work.model.at_odds.size(); ++i) {
        const AtOdds& pair = work.model.at_odds[i];
        if (work.knowledge.first().nodes[work.program.at_odds[i].node.value] != Truth::yes ||
            ++sentences.in_all > Sentences::most) {
            continue;
        }
        std::vector<Ref> refs;
        each_ref(pair.where, [&refs](Ref ref) { refs.push_back(ref); });
        std::string facts;
        for (const std::string& name : facts_behind(work.model, std::move(refs))) {
            if (work.given.find(name) != nullptr) {
                facts += (facts.empty() ? "" : ", ") + name + ": " +
                         work.given_text(FactId(work.model.shared_names.find(name)->second.index));
            }
        }
        sentences.told.push_back(pair.says + " (" + facts + ")");
    }
    return sentences;
}

void report_before_first_edition(const Work& work, Findings& findings) {
    for (const auto& [name, id] : work.model.authority_names) {
        if (work.governs[id.value] == Truth::no && !says_who_governs(work, id)) {
            continue;
        }
        const Rulepack& first = work.model[work.model.authorities[id.value].editions.front()];
        const FactId picked_by = first.edition_picked.picked_by;
        const auto day = picking_day(work, picked_by);
        if (day && *day < first.from) {
            const std::string clock =
                picked_by.valid() ? work.model[picked_by].name : "the deciding date";
            findings
                .add(Kind::before_first_edition, {},
                     clock + " " + day->text() + " lies before the first edition of " + name +
                         " (" + first.from.text() + ")")
                .help = "add the edition that was in force then, or leave that authority out";
        }
    }
}

}  // namespace toprail
