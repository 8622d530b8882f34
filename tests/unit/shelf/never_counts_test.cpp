// Pieces of a quantity that stand behind one that always counts.
#include "support/linted.hpp"
#include "support/small_shelf.hpp"

#include <doctest/doctest.h>

namespace toprail::test {
namespace {

std::vector<Finding> dead_of(const std::string& how) {
    return linted(shelf_of({small_vocabulary(),
                            small_pack("quantities:\n  size:\n    kind: length\n    unit: ft\n    "
                                       "reads: r\n    " +
                                       how + "\nprovisions:\n" +
                                       provision("a", "limit: size, at-most: 6 ft"))}),
                  "never-counts");
}

TEST_CASE("never counts: each piece behind one without a where is told with that one") {
    const std::vector<Finding> found = dead_of(
        "pieces:\n      - {where: gate-open, equals: width}\n      - {equals: height}\n      - "
        "{where: roofed, equals: width}\n      - {equals: 3 ft}");
    REQUIRE(found.size() == 2);
    CHECK(found[0].severity == Severity::warning);
    CHECK(found[0].message == "this piece of \"size\" can never count");
    CHECK(found[0].place.line == 15);
    CHECK(found[1].place.line == 16);
    for (const Finding& finding : found) {
        REQUIRE(finding.others.size() == 1);
        CHECK(finding.others[0].place.line == 14);
    }
}

TEST_CASE("never counts: the last piece may stand without a where, and a formula alone is none") {
    CHECK(dead_of("pieces: [{where: gate-open, equals: width}, {equals: height}]").empty());
    CHECK(dead_of("pieces: [{where: gate-open, equals: width}, {where: roofed, equals: height}]")
              .empty());
    CHECK(dead_of("equals: height").empty());
}

}  // namespace
}  // namespace toprail::test
