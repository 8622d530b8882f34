// The solver's answers held against deciding a case of every class, both ways.
#include "small_packs.hpp"
#include "toprail/proving.hpp"

#include <doctest/doctest.h>

namespace toprail::test {
namespace {

constexpr std::uint32_t packs_tried = 40;

using Found = std::set<std::pair<std::string, std::string>>;

// What `prove` finds: the question and the provisions or the duty that it is about.
Found found_by_solver(const Shelf& shelf) {
    Found found;
    const Report report = prove(shelf);
    for (const Proof& proof : report.proofs) {
        CHECK_FALSE(proof.internal_error);
        CHECK(proof.settled != Settled::not_settled);
        if (proof.question == "somebody-governs" || proof.question == "spoken-of") {
            continue;  // without a pack on who governs, all of them do
        }
        std::string about = proof.about.front();
        if (proof.question == "displacement-matters") {
            about += " over " + proof.about[1];
        }
        if (proof.question == "not-contested" || proof.question == "some-value-left") {
            CHECK(proof.example.has_value());
        }
        found.emplace(proof.question, about);
    }
    return found;
}

bool answers_differ(const SmallPack& a, const SmallPack& b, const std::vector<Facts>& cases) {
    const Shelf first = small_shelf({a});
    const Shelf second = small_shelf({b});
    for (const Facts& facts : cases) {
        if (answers_of(first, facts, a.id) != answers_of(second, facts, b.id)) {
            return true;
        }
    }
    return false;
}

Found found_by_deciding(const SmallPack& pack, const std::vector<Facts>& cases) {
    const Shelf shelf = small_shelf({pack});
    std::set<std::string> standing;
    Found found;
    for (const Facts& facts : cases) {
        DecideOptions options;
        options.authorities = {pack.id};
        const Decision decision = decided(shelf, facts, "2015-01-01", options);
        for (const Step& step : decision.trail) {
            if (step.status == Status::stands) {
                standing.insert(step.provision);
            }
        }
        for (const DutyDecision& duty : decision.duties) {
            if (duty.contested == Perhaps::yes) {
                found.emplace("not-contested", duty.duty);
            }
        }
        for (const ChoiceDecision& choice : decision.choices) {
            if (choice.empty == Perhaps::yes) {
                found.emplace("some-value-left", choice.choice);
            }
        }
    }
    for (const SmallProvision& p : pack.provisions) {
        const std::string key = pack.id + "/" + p.id;
        if (!standing.contains(key)) {
            found.emplace("can-stand", key);
        } else if (!answers_differ(pack, pack.without(p.id), cases)) {
            found.emplace(p.effect.empty() ? "exception-applies" : "decides", key);
        }
        for (const std::string& other : p.displaces) {
            if (!answers_differ(pack, pack.without(p.id, other), cases)) {
                found.emplace("displacement-matters", key + " over " + pack.id + "/" + other);
            }
        }
    }
    return found;
}

std::string told(const Found& found) {
    std::string text;
    for (const auto& [question, about] : found) {
        text += question + " " + about + "\n";
    }
    return text;
}

// (subject, before, after) of every difference.
using Differences = std::set<std::tuple<std::string, std::string, std::string>>;

Differences differences_by_deciding(const Shelf& before, const std::string& first,
                                    const Shelf& after, const std::string& second,
                                    const std::vector<Facts>& cases) {
    Differences found;
    for (const Facts& facts : cases) {
        const auto a = answers_of(before, facts, first);
        const auto b = answers_of(after, facts, second);
        for (const auto& [subject, answer] : a) {
            if (answer != b.at(subject)) {
                found.emplace(subject, answer, b.at(subject));
            }
        }
    }
    return found;
}

Differences differences_of(const Comparison& comparison) {
    Differences found;
    for (const Region& region : comparison.regions) {
        const auto figure = [](const std::string& text) {
            return text == "at most 72 in" ? std::string("at most 6 ft") : text;
        };
        found.emplace(region.subject, figure(region.before), figure(region.after));
        CHECK(region.whole);
    }
    CHECK(comparison.rest.empty());
    return found;
}

bool looser(const std::string& before, const std::string& after) {
    const std::vector<std::string> strictness{"not addressed", "not required",
                                              "required with exception", "required"};
    const auto place = [&](const std::string& text) {
        return std::find(strictness.begin(), strictness.end(), text) - strictness.begin();
    };
    if (place(before) < 4) {
        return place(after) < place(before);
    }
    return before == "barred" || after == "no bound" ||
           (before == "at most 3 ft" && after == "at most 6 ft");
}

TEST_CASE("what is found in small packs is what deciding every class finds") {
    const std::vector<Facts> cases = every_class();
    std::size_t findings = 0;
    for (std::uint32_t seed = 1; seed <= packs_tried; ++seed) {
        Dice dice(seed);
        const SmallPack pack = random_pack(dice);
        INFO("seed ", seed, "\n", pack.text().text);
        const Found by_solver = found_by_solver(small_shelf({pack}));
        const Found by_deciding = found_by_deciding(pack, cases);
        CHECK(told(by_solver) == told(by_deciding));
        findings += by_deciding.size();
    }
    CHECK(findings > packs_tried);  // the packs are no easy ones
}

TEST_CASE("differences of small packs are those that deciding every class shows") {
    const std::vector<Facts> cases = every_class();
    std::size_t different = 0;
    for (std::uint32_t seed = 1; seed <= packs_tried; ++seed) {
        Dice dice(seed);
        const SmallPack before = random_pack(dice);
        SmallPack after = before;
        after.provisions[dice.roll(after.provisions.size())].where = random_condition(dice);
        INFO("seed ", seed, "\n", before.text().text, after.text().text);
        const Shelf first = small_shelf({before});
        const Shelf second = small_shelf({after});
        ProveOptions options;
        options.regions = 1000;
        const Comparison comparison = compare(first, second, options);
        const Differences expected =
            differences_by_deciding(first, before.id, second, after.id, cases);
        CHECK(differences_of(comparison) == expected);
        CHECK((comparison.settled == Settled::proved) == expected.empty());
        different += expected.empty() ? 0U : 1U;
    }
    CHECK(different > packs_tried / 4);
    CHECK(different < packs_tried);
}

TEST_CASE("one authority is looser than another where deciding every class says so") {
    const std::vector<Facts> cases = every_class();
    for (std::uint32_t seed = 100; seed < 100 + packs_tried; ++seed) {
        Dice dice(seed);
        const SmallPack mine = random_pack(dice, "small.state");
        const SmallPack theirs = random_pack(dice, "small.federal");
        INFO("seed ", seed, "\n", mine.text().text, theirs.text().text);
        const Shelf shelf = small_shelf({mine, theirs});
        ProveOptions options;
        options.regions = 1000;
        const Comparison comparison = at_least_as_strict(shelf, mine.id, theirs.id, options);
        Differences expected;
        for (const auto& difference :
             differences_by_deciding(shelf, theirs.id, shelf, mine.id, cases)) {
            if (looser(std::get<1>(difference), std::get<2>(difference))) {
                expected.insert(difference);
            }
        }
        CHECK(differences_of(comparison) == expected);
        CHECK((comparison.settled == Settled::proved) == expected.empty());
    }
}

}  // namespace
}  // namespace toprail::test
