// Who governs, on shelves of small packs with a pack that says so: the solver's answers held
// against deciding a case of every class on days around every edition.
#include "small_packs.hpp"
#include "toprail/proving.hpp"

#include <doctest/doctest.h>

#include <algorithm>

namespace toprail::test {
namespace {

constexpr std::uint32_t shelves_tried = 25;

struct SmallLaw {
    std::string id;
    std::string from;
    std::string picked_by;
    std::string body;
};

SourceText text_of(const SmallLaw& law) {
    return {law.id + ".yaml",
            "rulepack: " + law.id +
                "\ntitle: t\nformat: 1\nstanding: regulation\nvocabulary: [small]\n"
                "edition: {from: " +
                law.from + ", verified-through: 2020-01-01, picked-by: " + law.picked_by +
                "}\nprovisions:\n" + law.body};
}

std::string entry(const std::string& id, const std::string& where, const std::string& effect) {
    return "  - {id: " + id + ", cite: c, source: read, gist: g, where: \"" + where + "\", " +
           effect + "}\n";
}

std::string sentence(Dice& dice) {
    return dice.one_of({"gate-open", "not gate-open", "kind is boom", "kind is not mast",
                        "height is more than 10 ft", "height is less than 5 ft",
                        "made is before 2010-01-01"});
}

std::vector<SmallLaw> random_laws(Dice& dice) {
    std::vector<SmallLaw> laws;
    for (const char* id : {"small.one", "small.two"}) {
        const std::string requires_tie_off =
            entry("tied", sentence(dice), "duty: tie-off, calls-for: required");
        laws.push_back({id, dice.one_of({"2000-01-01", "2012-01-01"}),
                        dice.one_of({"work-date", "work-date", "made"}), requires_tie_off});
    }
    std::string rules = entry("note", "gate-open", "remarks-on: tie-off");
    for (std::size_t i = 0; i < 2 + dice.roll(3); ++i) {
        rules += entry("r" + std::to_string(i), sentence(dice),
                       "governs: " + dice.one_of({"small.one", "small.two"}));
    }
    laws.push_back({"small.rules", dice.one_of({"2000-01-01", "2012-01-01"}),
                    dice.one_of({"work-date", "work-date", "made"}), rules});
    if (dice.roll(2) == 0) {
        laws.back().body += entry("self", sentence(dice), "governs: small.rules");
    }
    return laws;
}

using Found = std::set<std::string>;

Found found_by_deciding(const Shelf& shelf) {
    Found found;
    for (const Facts& facts : every_class()) {
        for (const char* on : {"1999-06-01", "2005-06-01", "2015-06-01", "2021-06-01"}) {
            const Answer answer = shelf.decide(facts, day(on));
            if (!answer.decision) {
                continue;  // before some first edition
            }
            const Decision& decision = *answer.decision;
            if (decision.governing.empty()) {
                found.insert("somebody-governs ");
            }
            const DutyDecision* duty = decision.duty("tie-off");
            for (const Governing& one : decision.governing) {
                CHECK(one.governs == Perhaps::yes);
                if (one.authority != "small.rules" &&
                    (duty == nullptr || duty->outcome == Outcome::not_addressed)) {
                    found.insert("spoken-of " + one.authority);
                }
            }
        }
    }
    return found;
}

Found found_by_solver(const Shelf& shelf) {
    Found found;
    for (const Proof& proof : prove(shelf).proofs) {
        CHECK_MESSAGE(!proof.internal_error, proof.question << ": " << proof.says);
        if (proof.question == "somebody-governs" || proof.question == "spoken-of") {
            CHECK(proof.settled == Settled::refuted);
            found.insert(std::string(proof.question) + " " + proof.authority);
        }
    }
    return found;
}

TEST_CASE("who governs small shelves is what deciding every class finds") {
    std::size_t nobody = 0;
    for (std::uint32_t seed = 1; seed <= shelves_tried; ++seed) {
        Dice dice(seed);
        std::vector<SourceText> texts{{"small.yaml", vocabulary_of_small_packs()}};
        std::string shown;
        for (const SmallLaw& law : random_laws(dice)) {
            texts.push_back(text_of(law));
            shown += texts.back().text;
        }
        INFO("seed ", seed, "\n", shown);
        const Shelf shelf = shelf_of(std::move(texts));
        const Found by_deciding = found_by_deciding(shelf);
        CHECK(found_by_solver(shelf) == by_deciding);
        nobody += by_deciding.count("somebody-governs ");
    }
    CHECK(nobody > 0);
    CHECK(nobody < shelves_tried);
}

}  // namespace
}  // namespace toprail::test
