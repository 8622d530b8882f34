// Examples that are handed out: they run as worked cases, say what the sentence says, and are
// small.
#include "small_packs.hpp"
#include "toprail/proving.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <stdexcept>

namespace toprail::test {
namespace {

SmallProvision provision(std::string id, std::string where, std::string effect) {
    return {std::move(id), std::move(where), std::move(effect), {}, {}};
}

SmallPack contested_pack() {
    SmallPack pack;
    pack.provisions = {
        provision("tied-in-booms", "kind is boom", "duty: tie-off\n    calls-for: required"),
        provision("free-below", "height is less than 5 ft",
                  "duty: tie-off\n    calls-for: not required"),
        provision("no-arrest", "kind is mast", "choice: means\n    bars: [arrest]"),
        provision("no-restraint", "height is at least 10 ft",
                  "choice: means\n    bars: [restraint]")};
    return pack;
}

const Proof& found(const Report& report, std::string_view question) {
    const auto it = std::find_if(report.proofs.begin(), report.proofs.end(),
                                 [&](const Proof& p) { return p.question == question; });
    REQUIRE(it != report.proofs.end());
    return *it;
}

// The pack with the example as a worked case of its own.
std::vector<Finding> lint_with(const SmallPack& pack, const Example& example) {
    SourceText text = pack.text();
    text.text += example.yaml;
    LoadedShelf loaded = load_shelf({{"small.yaml", vocabulary_of_small_packs()}, text});
    REQUIRE_MESSAGE(loaded.shelf, told(loaded.findings));
    std::vector<Finding> errors;
    for (Finding& finding : lint_shelf(*loaded.shelf)) {
        if (finding.severity == Severity::error) {
            errors.push_back(std::move(finding));
        }
    }
    return errors;
}

TEST_CASE("a contested duty comes with a worked case that runs and names both provisions") {
    const SmallPack pack = contested_pack();
    const Report report = prove(small_shelf({pack}));
    const Proof& proof = found(report, "not-contested");
    CHECK(proof.settled == Settled::refuted);
    CHECK(proof.about ==
          std::vector<std::string>{"tie-off", "small.law/free-below", "small.law/tied-in-booms"});
    REQUIRE(proof.example);
    CHECK(proof.example->facts.entries().size() == 2);
    CHECK(proof.example->yaml.find("tie-off: required") != std::string::npos);
    CHECK(told(lint_with(pack, *proof.example)).empty());
}

TEST_CASE("an emptied choice comes with a worked case that runs") {
    const SmallPack pack = contested_pack();
    const Report report = prove(small_shelf({pack}));
    const Proof& proof = found(report, "some-value-left");
    REQUIRE(proof.example);
    CHECK(proof.example->yaml.find("means: none") != std::string::npos);
    CHECK(told(lint_with(pack, *proof.example)).empty());
}

TEST_CASE("a raised trigger height is told as the heights between") {
    SmallPack before;
    before.provisions = {
        provision("tied", "height is more than 5 ft", "duty: tie-off\n    calls-for: required")};
    SmallPack after = before;
    after.provisions.front().where = "height is more than 10 ft";
    const Comparison comparison = compare(small_shelf({before}), small_shelf({after}));
    REQUIRE(comparison.regions.size() == 1);
    const Region& region = comparison.regions.front();
    CHECK(region.subject == "tie-off");
    CHECK(region.before == "required");
    CHECK(region.after == "not addressed");
    CHECK(region.asks == Asks::less);
    CHECK(compare(small_shelf({after}), small_shelf({before})).regions.at(0).asks == Asks::more);
    CHECK(region.where == std::vector<std::string>{"height is more than 5 ft and at most 10 ft"});
    CHECK(region.example.facts.entries().size() == 1);
    CHECK(told(lint_with(after, region.example)).empty());
}

TEST_CASE("an edit of words alone is proved to change nothing") {
    SmallPack before;
    before.provisions = {provision("tied", "{none-of: [height is more than 10 ft]}",
                                   "duty: tie-off\n    calls-for: required")};
    SmallPack after = before;
    after.provisions.front().where = "height is at most 120 in";
    const Comparison comparison = compare(small_shelf({before}), small_shelf({after}));
    CHECK(comparison.settled == Settled::proved);
    CHECK(comparison.regions.empty());
}

TEST_CASE("a fact that may not apply is told from one that is no") {
    SmallPack before;
    before.provisions = {
        provision("tied", "not gate-open", "duty: tie-off\n    calls-for: required")};
    SmallPack after = before;
    after.provisions.front().where = "gate-open is no";
    const Comparison comparison = compare(small_shelf({before}), small_shelf({after}));
    REQUIRE(comparison.regions.size() == 1);
    CHECK(comparison.regions.front().where == std::vector<std::string>{"gate-open does not apply"});
}

TEST_CASE("a new county variant is told, and when it governs") {
    const SmallPack law = contested_pack();
    SmallPack county{"small.county", contested_pack().provisions};
    const Comparison comparison = compare(small_shelf({law}), small_shelf({law, county}));
    CHECK(comparison.only_after == std::vector<std::string>{"small.county"});
    CHECK(comparison.settled == Settled::refuted);
}

TEST_CASE("limits are held against each other by figure, whatever the unit") {
    SmallPack before;
    before.provisions = {provision("rope", "kind is boom", "limit: rope\n    at-most: 6 ft")};
    SmallPack after = before;
    after.provisions.front().effect = "limit: rope\n    at-most: 72 in";
    CHECK(compare(small_shelf({before}), small_shelf({after})).settled == Settled::proved);
    after.provisions.front().effect = "limit: rope\n    at-most: 3 ft";
    const Comparison comparison = compare(small_shelf({before}), small_shelf({after}));
    REQUIRE(comparison.regions.size() == 1);
    CHECK(comparison.regions.front().before == "at most 6 ft");
    CHECK(comparison.regions.front().after == "at most 3 ft");
    CHECK(comparison.regions.front().asks == Asks::more);
    CHECK(compare(small_shelf({after}), small_shelf({before})).regions.at(0).asks == Asks::less);
    CHECK(comparison.regions.front().where == std::vector<std::string>{"kind is boom"});
}

TEST_CASE("what was found stays when the host stops") {
    const std::atomic<bool> stop{true};
    ProveOptions options;
    options.stop = &stop;
    const Shelf shelf = small_shelf({contested_pack()});
    CHECK(prove(shelf, options).interrupted);
    CHECK(prove(shelf, options).proofs.empty());
    SmallPack edited = contested_pack();
    edited.provisions.front().where = "kind is mast";
    const Comparison comparison = compare(shelf, small_shelf({edited}), options);
    CHECK(comparison.interrupted);
    CHECK(comparison.settled == Settled::not_settled);
    CHECK(prove_worked_cases(shelf, options).interrupted);
}

TEST_CASE("progress names every authority once and then all together") {
    ProveOptions options;
    std::vector<std::string> seen;
    options.progress = [&seen](std::size_t done, std::size_t total, std::string_view about) {
        CHECK(done < total);
        seen.emplace_back(about);
    };
    const Report report = prove(small_shelf({contested_pack()}), options);
    CHECK(seen == std::vector<std::string>{"small.law", "all authorities together"});
}

TEST_CASE("a given fact and a date hold in every case considered") {
    ProveOptions options;
    options.given.set("kind", "mast");
    options.on = day("2015-03-01");
    const Report report = prove(small_shelf({contested_pack()}), options);
    const Proof& proof = found(report, "can-stand");
    CHECK(proof.about == std::vector<std::string>{"small.law/tied-in-booms"});
    CHECK(found(report, "some-value-left").example->on == day("2015-03-01"));
}

TEST_CASE("a duty or a given fact that is none is refused, not proved") {
    SmallPack pack;
    pack.provisions = {
        provision("tied", "height is more than 5 ft", "duty: tie-off\n    calls-for: required")};
    const Shelf shelf = small_shelf({pack});
    ProveOptions misspelt;
    misspelt.duty = "tieoff";
    CHECK_THROWS_WITH_AS(compare(shelf, shelf, misspelt),
                         doctest::Contains("did you mean tie-off?"), std::runtime_error);
    const std::string id = shelf.packs().front().authority;
    CHECK_THROWS_AS(at_least_as_strict(shelf, id, id, misspelt), std::runtime_error);
    ProveOptions given;
    given.given.set("heigth", "6 ft");
    CHECK_THROWS_AS(compare(shelf, shelf, given), std::runtime_error);
    ProveOptions unit;
    unit.given.set("height", "6");
    CHECK_THROWS_AS(compare(shelf, shelf, unit), std::runtime_error);
}

TEST_CASE("an unknown authority is refused by name") {
    const Shelf shelf = small_shelf({contested_pack()});
    CHECK_THROWS_WITH(at_least_as_strict(shelf, "small.law", "small.stat"),
                      doctest::Contains("small.stat"));
}

}  // namespace
}  // namespace toprail::test
