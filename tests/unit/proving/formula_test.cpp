// Quantities with products and roots, where the solver works with exact reals and the engine with
// brackets.
#include "support/shelves.hpp"
#include "toprail/proving.hpp"

#include <doctest/doctest.h>

namespace toprail::test {
namespace {

Shelf shelf_with(const std::string& where) {
    const std::string vocabulary = R"(vocabulary: spans
title: Two legs
standings:
  regulation: {rank: 1, may: [require, relax, limit, explain]}
facts:
  across: {type: length, unit: ft, from: 0 ft, to: 100 ft, reads: r, ask: a, why: w}
  down: {type: length, unit: ft, from: 0 ft, to: 100 ft, may-not-apply: yes, reads: r, ask: a, why: w}
quantities:
  straight: {kind: length, unit: ft, reads: r, equals: sqrt(across * across + down * down)}
  slope: {kind: ratio, reads: r, equals: down / across}
duties:
  tie-off: {asks: a, reads: tie-off}
)";
    const std::string pack = R"(rulepack: small.law
title: t
format: 1
standing: regulation
vocabulary: [spans]
edition: {from: 2000-01-01, verified-through: 2020-01-01, picked-by: work-date}
provisions:
  - {id: far, cite: c, source: read, gist: g, duty: tie-off, calls-for: required, where: )" +
                             where + "}\n";
    return shelf_of({{"spans.yaml", vocabulary}, {"law.yaml", pack}});
}

bool can_stand(const std::string& where) {
    return prove(shelf_with(where)).tallies.at("can-stand").in_order == 1;
}

TEST_CASE("a root is never shorter than a leg") {
    CHECK_FALSE(can_stand("{all-of: [straight is less than 3 ft, across is at least 4 ft]}"));
    CHECK(can_stand("{all-of: [straight is exactly 5 ft, across is exactly 4 ft]}"));
}

TEST_CASE("what does not apply makes a quantity not apply") {
    // An absent leg and a division by nought leave every comparison false.
    CHECK_FALSE(can_stand("{all-of: [slope is at least 0, across is exactly 0 ft]}"));
    CHECK(can_stand("{none-of: [slope is at least 0, slope is less than 0]}"));
    CHECK_FALSE(can_stand("straight is less than 0 ft"));
}

TEST_CASE("a changed root comes with an example that the engine agrees with") {
    const Comparison comparison = compare(shelf_with("straight is more than 50 ft"),
                                          shelf_with("straight is at least 51 ft"));
    CHECK(comparison.settled == Settled::refuted);
    REQUIRE_FALSE(comparison.regions.empty());
    for (const Region& region : comparison.regions) {
        const Decision before =
            decided(shelf_with("straight is more than 50 ft"), region.example.facts);
        CHECK(before.duty("tie-off")->outcome == Outcome::required);
    }
}

}  // namespace
}  // namespace toprail::test
