// Whether worked cases notice small changes to their pack.
#include "proving/likeness.hpp"
#include "proving/mutants.hpp"
#include "proving/narrow.hpp"
#include "small_packs.hpp"
#include "toprail/proving.hpp"

#include <doctest/doctest.h>

#include <algorithm>

namespace toprail::test {
namespace {

constexpr const char* pack = R"(rulepack: small.law
title: t
format: 1
standing: regulation
vocabulary: [small]
edition: {from: 2000-01-01, verified-through: 2020-01-01, picked-by: work-date}
conditions:
  high: {reads: r, is: height is more than 10 ft}
provisions:
  - {id: tied, cite: c, source: read, gist: g, where: high, duty: tie-off, calls-for: required}
  - {id: short-rope, cite: c, source: read, gist: g, where: kind is boom, limit: rope, at-most: 6 ft}
worked-cases:
)";

CaseCoverage coverage_with(const std::string& cases) {
    const Shelf shelf =
        shelf_of({{"small.yaml", vocabulary_of_small_packs()}, {"law.yaml", pack + cases}});
    CasesReport report = prove_worked_cases(shelf);
    REQUIRE(report.packs.size() == 1);
    return report.packs.front();
}

std::vector<std::string> changes_of(const std::vector<Survivor>& survivors) {
    std::vector<std::string> changes;
    for (const Survivor& survivor : survivors) {
        changes.push_back(survivor.change);
    }
    std::sort(changes.begin(), changes.end());
    return changes;
}

std::vector<std::string> unnoticed(const CaseCoverage& coverage) {
    return changes_of(coverage.survivors);
}

TEST_CASE("cases on both sides of every figure notice every change") {
    const CaseCoverage coverage = coverage_with(R"(
  - {name: at ten, facts: {height: 10 ft, kind: boom}, answers: {tie-off: not addressed, rope: at most 6 ft}}
  - {name: over ten, facts: {height: 10.5 ft, kind: mast}, answers: {tie-off: required, rope: no bound}}
)");
    CHECK(unnoticed(coverage).empty());
    CHECK(coverage.unreached.at("high") == std::vector<std::string>{"never unknown"});
    CHECK(coverage.never_decisive.empty());
    CHECK(coverage.cases == 2);
}

TEST_CASE("a figure that no case stands on may slip from one side to the other") {
    const CaseCoverage coverage = coverage_with(R"(
  - {name: low, facts: {height: 9.5 ft, kind: boom}, answers: {tie-off: not addressed, rope: at most 6 ft}}
  - {name: high, facts: {height: 12 ft, kind: mast}, answers: {tie-off: required, rope: no bound}}
)");
    CHECK(unnoticed(coverage) ==
          std::vector<std::string>{"\"height is more than 10 ft\" is at least",
                                   "\"height is more than 10 ft\" with 11 ft"});
}

TEST_CASE("cases that ask nothing notice nothing") {
    const CaseCoverage coverage = coverage_with(
        "  - {name: idle, facts: {kind: mast}, answers: {gate-closed: not addressed}}\n");
    CHECK(coverage.survivors.size() == coverage.mutants);
    CHECK(coverage.never_decisive == std::vector<std::string>{"short-rope", "tied"});
    CHECK(coverage.unreached.at("high") == std::vector<std::string>{"never true", "never false"});
}

CaseCoverage coverage_of(const std::string& provisions_and_cases) {
    const std::string head = std::string(pack).substr(0, std::string(pack).find("conditions:"));
    const Shelf shelf = shelf_of(
        {{"small.yaml", vocabulary_of_small_packs()}, {"law.yaml", head + provisions_and_cases}});
    CasesReport report = prove_worked_cases(shelf);
    REQUIRE(report.packs.size() == 1);
    return report.packs.front();
}

TEST_CASE("of a provision that says what another says it is proved that no case can miss it") {
    const CaseCoverage coverage = coverage_of(R"(
provisions:
  - {id: tied, cite: c, source: read, gist: g, where: kind is boom, duty: tie-off, calls-for: required}
  - {id: tied-again, cite: c, source: read, gist: g, where: kind is boom, duty: tie-off, calls-for: required}
  - {id: six, cite: c, source: read, gist: g, where: kind is boom, limit: rope, at-most: 6 ft}
  - {id: also-six, cite: c, source: read, gist: g, where: kind is boom, limit: rope, at-most: 72 in}
worked-cases:
  - {name: boom, facts: {kind: boom}, answers: {tie-off: required}, stands: [tied, tied-again, six, also-six]}
  - {name: mast, facts: {kind: mast}, answers: {tie-off: not addressed}, falls: [tied, tied-again, six, also-six]}
)");
    CHECK(changes_of(coverage.proved_alike) ==
          std::vector<std::string>{"also-six taken out", "also-six: 72 in -> 73 in",
                                   "six taken out", "six: 6 ft -> 7 ft", "tied taken out",
                                   "tied-again taken out"});
    CHECK(unnoticed(coverage) ==
          std::vector<std::string>{"also-six: 72 in -> 71 in", "six: 6 ft -> 5 ft"});
}

TEST_CASE("what stands only where another does not can be missed") {
    const CaseCoverage coverage = coverage_of(R"(
provisions:
  - {id: tied, cite: c, source: read, gist: g, where: kind is boom, duty: tie-off, calls-for: required}
  - {id: high, cite: c, source: read, gist: g, where: height is more than 19 ft, duty: tie-off, calls-for: required}
worked-cases:
  - {name: boom, facts: {kind: boom, height: 20 ft}, answers: {tie-off: required}}
)");
    CHECK(coverage.proved_alike.empty());
    CHECK(unnoticed(coverage).size() == coverage.mutants);
}

// The ratio is 1 at the root of 3, which the solver knows and no figure is.
constexpr const char* irrational = R"(
quantities:
  ratio: {kind: ratio, reads: r, equals: height * height / (1 ft * 3 ft), source: inference}
provisions:
  - {id: tied, cite: c, source: read, gist: g, where: ratio is more than 1, duty: tie-off, calls-for: required}
worked-cases:
  - {name: below, facts: {height: 1.7 ft}, answers: {tie-off: not addressed}}
  - {name: above, facts: {height: 1.8 ft}, answers: {tie-off: required}}
)";

TEST_CASE("what cannot be proved can be explained") {
    const std::string change = "\"ratio is more than 1\" is at least";
    const CaseCoverage bare = coverage_of(irrational);
    CHECK(unnoticed(bare) == std::vector<std::string>{change});
    const CaseCoverage coverage =
        coverage_of(irrational + ("unnoticed:\n  - {change: '" + change + "', why: no root}\n"));
    CHECK(unnoticed(coverage).empty());
    REQUIRE(coverage.explained.size() == 1);
    CHECK(coverage.explained.front().change == change);
    CHECK(coverage.explained.front().why == "no root");
    CHECK(coverage.idle_explanations.empty());
}

TEST_CASE("an explanation that fits no unnoticed change is told with its place") {
    const CaseCoverage coverage = coverage_of(
        std::string(irrational) + "unnoticed:\n  - {change: tied taken out, why: wrong}\n");
    CHECK(changes_of(coverage.idle_explanations) == std::vector<std::string>{"tied taken out"});
    CHECK(coverage.idle_explanations.front().place.file == "law.yaml");
    CHECK(unnoticed(coverage).size() == 1);
}

TEST_CASE("what is proved to make no difference makes none in any class of cases") {
    std::size_t alike = 0;
    std::size_t different = 0;
    const ProveOptions options;
    for (std::uint32_t seed = 1; seed <= 40; ++seed) {
        Dice dice(seed);
        const Shelf shelf = small_shelf({random_pack(dice)});
        const Model& model = shelf.data().model;
        const AuthorityId law = authority_of(model, "small.law");
        const PackId written_in = model.authorities[law.value].editions.front();
        Likeness likeness(options);
        for (const Mutant& mutant : mutants_of(model, written_in)) {
            Model changed = model;
            apply(mutant, written_in, changed);
            const std::shared_ptr<ShelfData> data = build_data(std::move(changed));
            if (!likeness.proved(shelf.data(), *data, law)) {
                ++different;
                continue;
            }
            ++alike;
            CAPTURE(seed);
            CAPTURE(mutant.change);
            for (const Facts& facts : every_class()) {
                CHECK(answers_of(shelf, facts, "small.law") ==
                      answers_of(Shelf(data), facts, "small.law"));
            }
        }
    }
    CHECK(alike > 20);
    CHECK(different > 200);
}

TEST_CASE("the shelf is left as it was") {
    const Shelf shelf =
        shelf_of({{"small.yaml", vocabulary_of_small_packs()},
                  {"law.yaml",
                   std::string(pack) +
                       "  - {name: a, facts: {height: 12 ft}, answers: {tie-off: required}}\n"}});
    const auto before = answers_of(shelf, facts_of({{"height", "12 ft"}}), "small.law");
    const CasesReport first = prove_worked_cases(shelf);
    const CasesReport second = prove_worked_cases(shelf);
    CHECK(unnoticed(first.packs.front()) == unnoticed(second.packs.front()));
    CHECK(answers_of(shelf, facts_of({{"height", "12 ft"}}), "small.law") == before);
}

}  // namespace
}  // namespace toprail::test
