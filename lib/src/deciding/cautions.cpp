// Entry points: grounds_of, headline_grounds, tell_cautions.
#include "deciding/cautions.hpp"

#include <algorithm>
#include <map>

namespace toprail {
namespace {

using Names = std::set<std::string>;

void add(const std::vector<std::string>& provisions, Names& grounds) {
    grounds.insert(provisions.begin(), provisions.end());
}

// A pack that merely says that it applies itself makes no claim about another authority.
void add_governing(const Governing& one, Names& grounds) {
    for (const std::string& provision : one.provisions) {
        if (!provision.starts_with(one.authority + "/")) {
            grounds.insert(provision);
        }
    }
}

const DutyDecision* headline(const Decision& decision) {
    const auto found = std::find_if(decision.duties.begin(), decision.duties.end(),
                                    [](const DutyDecision& duty) { return duty.rank == 0; });
    return found == decision.duties.end() ? nullptr : &*found;
}

// "29 CFR 1926.453(b)(2)(v) (read-part); ...": each paragraph once, with its marks below `read`.
std::string paragraphs_to_check(const Decision& decision, const Names& grounds, Names& told) {
    std::map<std::string, Names> marks;
    for (const Step& step : decision.trail) {
        if (grounds.contains(step.provision) && step.source != "read" &&
            !told.contains(step.cite)) {
            marks[step.cite].insert(step.source);
        }
    }
    std::string list;
    for (const auto& [cite, of] : marks) {
        list += (list.empty() ? "" : "; ") + cite + " (";
        for (const std::string& mark : of) {
            list += (mark == *of.begin() ? "" : ", ") + mark;
        }
        list += ")";
        told.insert(cite);
    }
    return list;
}

// Apart for the first duty and for all else: who reads only the first answer must know which
// paragraphs stand behind it.
void add_unverified(const Decision& decision, std::vector<std::string>& cautions) {
    constexpr const char* unread = " on text that was not read in full at its source; check ";
    Names told;
    const std::string first = paragraphs_to_check(decision, headline_grounds(decision), told);
    if (!first.empty()) {
        cautions.push_back("unverified: " + headline(decision)->reads + " rests" + unread + first);
    }
    const std::string others = paragraphs_to_check(decision, grounds_of(decision), told);
    if (!others.empty()) {
        cautions.push_back("unverified, as to the other answers: they rest" + std::string(unread) +
                           others);
    }
}

}  // namespace

Names grounds_of(const Decision& decision) {
    Names grounds;
    for (const DutyDecision& duty : decision.duties) {
        add(duty.provisions, grounds);
    }
    for (const ChoiceDecision& choice : decision.choices) {
        for (const auto* by_value : {&choice.barred, &choice.open}) {
            for (const auto& [value, provisions] : *by_value) {
                add(provisions, grounds);
            }
        }
    }
    for (const LimitDecision& limit : decision.limits) {
        for (const Bound& bound : limit.bounds) {
            grounds.insert(bound.provision);
        }
    }
    for (const Governing& one : decision.governing) {
        add_governing(one, grounds);
    }
    return grounds;
}

Names headline_grounds(const Decision& decision) {
    Names grounds;
    const DutyDecision* duty = headline(decision);
    if (duty == nullptr) {
        return grounds;
    }
    add(duty->provisions, grounds);
    for (const Step& step : decision.trail) {
        if (step.status == Status::displaced && step.effect.starts_with(duty->duty + ": ")) {
            add(step.displaced_by, grounds);
        }
    }
    Names authorities;
    for (const Step& step : decision.trail) {
        if (grounds.contains(step.provision)) {
            authorities.insert(step.authority);
        }
    }
    for (const Governing& one : decision.governing) {
        if (authorities.contains(one.authority)) {
            add_governing(one, grounds);
        }
    }
    return grounds;
}

namespace {

// What a host names takes the place of what the governing rulepacks would have said.
void add_named_alone(const Decision& decision, std::vector<std::string>& cautions) {
    std::string names;
    for (const Governing& one : decision.governing) {
        if (one.named) {
            names += (names.empty() ? "" : ", ") + one.authority;
        }
    }
    if (!names.empty()) {
        cautions.push_back(std::string(named_alone) + names +
                           "; what another authority, the maker, the employer, the host or the "
                           "owner of the lift demands is not in this answer");
    }
}

// Each sentence as a caution of its own. A rulepack may bring thousands, and nobody reads so many:
// the rest is counted.
void add_each(const Sentences& sentences, std::string_view begin, std::string_view end,
              std::vector<std::string>& cautions) {
    for (const std::string& sentence : sentences.told) {
        cautions.push_back(std::string(begin) + sentence + std::string(end));
    }
    if (sentences.in_all > sentences.told.size()) {
        cautions.push_back(std::string(begin) +
                           std::to_string(sentences.in_all - sentences.told.size()) +
                           " more, which are not told");
    }
}

// Explanations, makers and companies add to the law; without it an answer is no answer.
bool law_governs(const Decision& decision) {
    static const std::set<std::string> beside_the_law{"guidance", "interpretation",
                                                      "common-practice", "company", "maker"};
    return std::any_of(decision.governing.begin(), decision.governing.end(),
                       [](const Governing& one) { return !beside_the_law.contains(one.standing); });
}

}  // namespace

std::vector<std::string> tell_cautions(const Decision& decision, const ToCaution& also) {
    std::vector<std::string> cautions;
    add_each(also.at_odds, at_odds, at_odds_end, cautions);
    add_each(also.without_value, no_value,
             " divides by zero or takes the root of a negative number; what compares it counts as "
             "not so, which may hide a duty: ask a qualified person",
             cautions);
    add_unverified(decision, cautions);
    add_named_alone(decision, cautions);
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
    for (const PackUsed& pack : decision.packs) {
        const auto day = Date::parse(pack.picked_date);
        const auto from = Date::parse(pack.edition);
        if (pack.role == PackRole::adopted && day && from && *day < *from) {
            cautions.push_back(std::string(adopted_later) + pack.adopted_by +
                               " takes over the newest edition of " + pack.authority +
                               ", which begins on " + pack.edition + "; what held on " +
                               pack.picked_date + " is not in this answer");
        }
    }
    for (const std::string& sentence : also.not_in_force) {
        cautions.push_back(std::string(without_edition) + sentence);
    }
    if (!also.unheeded.empty()) {
        std::string names;
        for (const std::string& name : also.unheeded) {
            names += (names.empty() ? "" : ", ") + name;
        }
        cautions.push_back(std::string(no_rule_looks) + names +
                           "; a rulepack may be missing: ask a competent person what follows");
    }
    if (decision.governing.empty()) {
        cautions.emplace_back(
            "no rulepack on the shelf governs this case: ask a competent person who does");
    } else if (!law_governs(decision)) {
        cautions.emplace_back(no_law);
    }
    for (const DutyDecision& duty : decision.duties) {
        if (duty.contested == Perhaps::yes) {
            cautions.push_back("contested: one authority both requires and frees from " +
                               duty.reads + "; the stricter stands");
        }
        if (duty.outcome == Outcome::undetermined && !duty.waits_for_plan) {
            const bool perhaps_nobody_speaks =
                duty.act_as_if == Outcome::not_required &&
                std::find(duty.possible.begin(), duty.possible.end(), Outcome::not_addressed) !=
                    duty.possible.end();
            cautions.push_back("undetermined: until settled, act as if " + duty.reads + " were " +
                               std::string(word(duty.act_as_if)) +
                               (perhaps_nobody_speaks ? ", and only if a competent person agrees: "
                                                        "perhaps no rule speaks of it at all"
                                                      : ""));
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

}  // namespace toprail
