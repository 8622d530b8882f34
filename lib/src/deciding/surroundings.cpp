// Entry points: tell_governing, tell_packs, tell_cautions, report_before_first_edition.
#include "deciding/work.hpp"

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

// Whether the authority says who else governs: then nothing can be decided before it begins.
bool rules_on_others(const Work& work, AuthorityId id) {
    return std::any_of(work.model.provisions.begin(), work.model.provisions.end(),
                       [&](const Provision& p) {
                           return p.effect.kind == EffectKind::governs && p.effect.governs != id &&
                                  work.model[p.pack].authority == id;
                       });
}

// The provisions that some answer rests on, or may come to rest on. Remarks decide nothing.
std::set<std::string> grounds_of(const Decision& decision) {
    std::set<std::string> grounds;
    const auto add = [&grounds](const std::vector<std::string>& provisions) {
        grounds.insert(provisions.begin(), provisions.end());
    };
    for (const DutyDecision& duty : decision.duties) {
        add(duty.provisions);
    }
    for (const ChoiceDecision& choice : decision.choices) {
        for (const auto* by_value : {&choice.barred, &choice.open}) {
            for (const auto& [value, provisions] : *by_value) {
                add(provisions);
            }
        }
    }
    for (const LimitDecision& limit : decision.limits) {
        for (const Bound& bound : limit.bounds) {
            grounds.insert(bound.provision);
        }
    }
    for (const Governing& one : decision.governing) {
        for (const std::string& provision : one.provisions) {
            // A pack that merely says that it applies itself makes no claim about another
            // authority.
            if (!provision.starts_with(one.authority + "/")) {
                grounds.insert(provision);
            }
        }
    }
    return grounds;
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
        if (work.governs[id.value] == Truth::no) {
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
            used.authority = pack.id;
            used.title = pack.title;
            used.edition = pack.from.text();
            used.verified_through = pack.verified_through ? pack.verified_through->text() : "";
            used.picked_by = picked_by.valid() ? work.model[picked_by].name : "work-date";
            used.picked_date = day ? day->text() : "not known";
            used.counts = perhaps(counts == Truth::yes ? work.governs[id.value] : counts);
            all.push_back(used);
            for (const PackId adopted : adopted_into(work.model, edition)) {
                const Rulepack& text = work.model[adopted];
                used.authority = text.id;
                used.title = text.title;
                used.edition = text.from.text();
                used.verified_through = text.verified_through ? text.verified_through->text() : "";
                used.adopted_by = pack.id;
                all.push_back(used);
            }
        }
    }
    return all;
}

std::vector<std::string> tell_cautions(const Decision& decision) {
    std::vector<std::string> cautions;
    std::set<std::string> unverified;
    const std::set<std::string> grounds = grounds_of(decision);
    for (const Step& step : decision.trail) {
        if (grounds.contains(step.provision) && step.source != "read" &&
            step.source != "read-part") {
            unverified.insert(step.cite + " (" + step.source + ")");
        }
    }
    if (!unverified.empty()) {
        std::string list;
        for (const std::string& each : unverified) {
            list += (list.empty() ? "" : "; ") + each;
        }
        cautions.push_back(
            "unverified: this rests on text that nobody has compared with the source; check " +
            list);
    }
    for (const PackUsed& pack : decision.packs) {
        const auto day = Date::parse(pack.picked_date);
        const auto verified = Date::parse(pack.verified_through);
        if (day && verified && *day > *verified) {
            cautions.push_back("not verified for this date: " + pack.authority +
                               " was compared with its source up to " + pack.verified_through +
                               ", " + pack.picked_by + " is " + pack.picked_date);
        }
    }
    for (const Governing& one : decision.governing) {
        const bool has_edition =
            std::any_of(decision.packs.begin(), decision.packs.end(),
                        [&one](const PackUsed& pack) { return pack.authority == one.authority; });
        if (!has_edition) {
            cautions.push_back("no edition of " + one.authority +
                               " counts for the date that picks it: nothing was weighed under it; "
                               "ask a competent person");
        }
    }
    if (decision.governing.empty()) {
        cautions.emplace_back(
            "no rulepack on the shelf governs this case: ask a competent person who does");
    }
    for (const DutyDecision& duty : decision.duties) {
        if (duty.contested == Perhaps::yes) {
            cautions.push_back("contested: one authority both requires and frees from " +
                               duty.reads + "; the stricter stands");
        }
        if (duty.outcome == Outcome::undetermined && !duty.waits_for_plan) {
            cautions.push_back("undetermined: until settled, act as if " + duty.reads + " were " +
                               std::string(word(duty.act_as_if)));
        }
        if (!duty.exact) {
            cautions.push_back("the outcomes and facts named for " + duty.reads +
                               " may be more than needed: not every combination could be weighed");
        }
    }
    for (const ChoiceDecision& choice : decision.choices) {
        if (choice.empty == Perhaps::yes) {
            cautions.push_back("no " + choice.reads +
                               " satisfies every authority: stop and ask a qualified person");
        }
    }
    cautions.emplace_back(
        "local codes, the maker's manual and the judgement of a competent or qualified person on "
        "the site "
        "come before this answer; what is not addressed here is not thereby allowed");
    return cautions;
}

void report_before_first_edition(const Work& work, Findings& findings) {
    for (const auto& [name, id] : work.model.authority_names) {
        if (work.governs[id.value] == Truth::no &&
            !(work.circumstances.named.empty() && rules_on_others(work, id))) {
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
