// Small random packs over a handful of facts, few enough that every class of case can be decided.
#pragma once

#include "support/shelves.hpp"

#include <cstdint>
#include <random>
#include <set>
#include <string>
#include <vector>

namespace toprail::test {

/// Two duties, one choice, one limit; a yes-no, a choice, a length and a date.
inline std::string vocabulary_of_small_packs() {
    return R"(vocabulary: small
title: A few words
standings:
  regulation: {rank: 1, may: [require, relax, limit, explain]}
facts:
  gate-open: {type: yes-no, may-not-apply: yes, reads: r, ask: a, why: w}
  kind: {type: choice, values: [boom, scissor, mast], reads: r, ask: a, why: w}
  height: {type: length, unit: ft, from: 0 ft, to: 20 ft, reads: r, ask: a, why: w}
  made: {type: date, reads: r, ask: a, why: w}
  rope: {type: length, unit: ft, from: 0 ft, to: 9 ft, plan: yes, reads: r, ask: a, why: w}
choices:
  means: {values: [restraint, arrest], reads: r, ask: a, why: w}
duties:
  tie-off: {asks: a, reads: tie-off}
  gate-closed: {asks: a, reads: a closed gate}
)";
}

/// One provision as its YAML lines, and what it points at, so that it can be left out cleanly.
struct SmallProvision {
    std::string id;
    std::string where;
    std::string effect;
    std::vector<std::string> relaxes;
    std::vector<std::string> displaces;
};

struct SmallPack {
    std::string id = "small.law";
    std::vector<SmallProvision> provisions;

    /// Leaves out one provision, or with `displaced` only that it displaces that one.
    [[nodiscard]] SmallPack without(const std::string& provision,
                                    const std::string& displaced = {}) const {
        SmallPack less{id, {}};
        for (SmallProvision p : provisions) {
            if (displaced.empty()) {
                std::erase(p.displaces, provision);
                std::erase(p.relaxes, provision);
            } else if (p.id == provision) {
                std::erase(p.displaces, displaced);
            }
            if (p.effect.empty() && p.relaxes.empty()) {
                p.effect = "remarks-on: tie-off";  // it may displace others still
            }
            if (!displaced.empty() || p.id != provision) {
                less.provisions.push_back(std::move(p));
            }
        }
        return less;
    }

    [[nodiscard]] SourceText text() const {
        const auto list = [](const std::vector<std::string>& ids) {
            std::string text;
            for (const std::string& each : ids) {
                text += (text.empty() ? "" : ", ") + each;
            }
            return "[" + text + "]";
        };
        std::string yaml = "rulepack: " + id +
                           "\ntitle: t\nformat: 1\nstanding: regulation\nvocabulary: [small]\n"
                           "edition: {from: 2000-01-01, verified-through: 2020-01-01, picked-by: "
                           "work-date}\nprovisions:\n";
        // A pack without any provision is no pack; a remark decides nothing.
        yaml += "  - {id: note, cite: c, source: read, gist: g, remarks-on: tie-off}\n";
        for (const SmallProvision& p : provisions) {
            yaml += "  - id: " + p.id +
                    "\n    cite: c\n    source: read\n    gist: g\n    where: " + p.where + "\n";
            yaml += p.displaces.empty() ? "" : "    displaces: " + list(p.displaces) + "\n";
            yaml += p.effect.empty() ? "    relaxes: " + list(p.relaxes) + "\n    terms: t\n"
                                     : "    " + p.effect + "\n";
        }
        return {id + ".yaml", yaml};
    }
};

inline Shelf small_shelf(const std::vector<SmallPack>& packs) {
    std::vector<SourceText> texts{{"small.yaml", vocabulary_of_small_packs()}};
    for (const SmallPack& pack : packs) {
        texts.push_back(pack.text());
    }
    return shelf_of(std::move(texts));
}

/// The same on every machine: no distribution of the standard library is used.
class Dice {
  public:
    explicit Dice(std::uint32_t seed) : engine_(seed) {}
    std::size_t roll(std::size_t sides) { return engine_() % sides; }
    std::string one_of(const std::vector<std::string>& texts) { return texts[roll(texts.size())]; }

  private:
    std::mt19937 engine_;
};

inline std::string random_condition(Dice& dice) {
    const std::vector<std::string> sentences{"gate-open",
                                             "not gate-open",
                                             "kind is boom",
                                             "kind is not mast",
                                             "kind is one of [boom, scissor]",
                                             "height is more than 10 ft",
                                             "height is at least 10 ft",
                                             "height is less than 5 ft",
                                             "height is exactly 10 ft",
                                             "made is before 2010-01-01",
                                             "made is on or after 2015-06-01",
                                             "gate-open is no"};
    const std::string a = dice.one_of(sentences);
    const std::string b = dice.one_of(sentences);
    const std::string shape = dice.one_of({"all-of", "any-of", "none-of"});
    return dice.roll(3) == 0 ? a : "{" + shape + ": [\"" + a + "\", \"" + b + "\"]}";
}

inline SmallPack random_pack(Dice& dice, std::string id = "small.law") {
    SmallPack pack{std::move(id), {}};
    std::vector<std::string> requiring;
    std::vector<std::string> all;
    const std::size_t count = 3 + dice.roll(5);
    for (std::size_t i = 0; i < count; ++i) {
        SmallProvision p;
        p.id = "p" + std::to_string(i);
        p.where = random_condition(dice);
        const std::string duty = dice.one_of({"tie-off", "tie-off", "gate-closed"});
        switch (dice.roll(requiring.empty() ? 4 : 5)) {
        case 0:
            p.effect = "duty: " + duty + "\n    calls-for: not required";
            break;
        case 1:
            p.effect = "choice: means\n    bars: [" + dice.one_of({"restraint", "arrest"}) + "]";
            break;
        case 2:
            p.effect = "limit: rope\n    at-most: " + dice.one_of({"3 ft", "6 ft", "72 in"});
            break;
        case 3:
            p.effect = "duty: " + duty + "\n    calls-for: required";
            requiring.push_back(p.id);
            break;
        default:
            p.relaxes = {dice.one_of(requiring)};
            break;
        }
        // Only earlier ones are displaced, so there is no circle.
        if (!all.empty() && dice.roll(3) == 0) {
            p.displaces = {dice.one_of(all)};
        }
        all.push_back(p.id);
        pack.provisions.push_back(std::move(p));
    }
    return pack;
}

/// One case of every class.
inline std::vector<Facts> every_class() {
    std::vector<Facts> cases;
    for (const char* gate : {"yes", "no", "does not apply"}) {
        for (const char* kind : {"boom", "scissor", "mast"}) {
            for (const char* height : {"4 ft", "5 ft", "7 ft", "10 ft", "12 ft"}) {
                for (const char* made : {"2005-01-01", "2012-01-01", "2018-01-01"}) {
                    cases.push_back(facts_of(
                        {{"gate-open", gate}, {"kind", kind}, {"height", height}, {"made", made}}));
                }
            }
        }
    }
    return cases;
}

/// Every answer of one authority: "tie-off" -> "required", "means arrest" -> "barred" ...
inline std::map<std::string, std::string> answers_of(const Shelf& shelf, const Facts& facts,
                                                     const std::string& authority) {
    DecideOptions options;
    options.authorities = {authority};
    const Decision decision = decided(shelf, facts, "2015-01-01", options);
    std::map<std::string, std::string> answers;
    for (const char* duty : {"tie-off", "gate-closed"}) {
        const DutyDecision* found = decision.duty(duty);
        answers[duty] = word(found == nullptr ? Outcome::not_addressed : found->outcome);
    }
    const ChoiceDecision* means = decision.choice("means");
    for (const char* value : {"restraint", "arrest"}) {
        const bool barred = means != nullptr && means->barred.contains(value);
        answers[std::string("means ") + value] = barred ? "barred" : "admissible";
    }
    answers["rope, upper limit"] = "no bound";
    const LimitDecision* rope = decision.limit("rope");
    for (const Bound& bound : rope == nullptr ? std::vector<Bound>{} : rope->bounds) {
        if (bound.strictest) {
            answers["rope, upper limit"] = bound.text == "3 ft" ? "at most 3 ft" : "at most 6 ft";
        }
    }
    return answers;
}

}  // namespace toprail::test
