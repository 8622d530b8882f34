// Whether worked cases notice small changes to their pack.
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

std::vector<std::string> unnoticed(const CaseCoverage& coverage) {
    std::vector<std::string> changes;
    for (const Survivor& survivor : coverage.survivors) {
        changes.push_back(survivor.change);
    }
    std::sort(changes.begin(), changes.end());
    return changes;
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
