// Circles are told as the path that closes them.
#include "support/small_shelf.hpp"

#include <doctest/doctest.h>

using namespace toprail;
using namespace toprail::test;

namespace {

std::vector<Finding> findings_of(const std::string& body) {
    LoadedShelf loaded = load_shelf({small_vocabulary(), small_pack(body)});
    CHECK_FALSE(loaded.shelf);
    return std::move(loaded.findings);
}

}  // namespace

TEST_CASE("circle: the path through three conditions") {
    const auto findings = findings_of("conditions:\n"
                                      "  one: {reads: one, is: two}\n"
                                      "  two: {reads: two, any-of: [gate-open, three]}\n"
                                      "  three: {reads: three, is: not one}\n");
    REQUIRE(findings.size() == 1);
    CHECK(findings[0].code == "circle");
    CHECK(findings[0].message == "\"one\" depends on itself: one -> two -> three -> one");
    CHECK(findings[0].place.line == 8);
    REQUIRE(findings[0].others.size() == 2);
    CHECK(findings[0].others[0].place.line == 9);
    CHECK(findings[0].others[1].place.line == 10);
}

TEST_CASE("circle: through conditions and quantities alike") {
    const auto findings =
        findings_of("conditions:\n  tall: {reads: tall, is: lift is more than 10 ft}\n"
                    "quantities:\n  lift:\n    kind: length\n    unit: ft\n    reads: lift\n"
                    "    pieces: [{where: tall, equals: height}, {equals: width}]\n");
    REQUIRE(findings.size() == 1);
    CHECK(findings[0].message == "\"tall\" depends on itself: tall -> lift -> tall");
}

TEST_CASE("circle: two apart are two findings") {
    const auto findings =
        findings_of("conditions:\n  a: {reads: a, is: b}\n  b: {reads: b, is: a}\n"
                    "  c: {reads: c, is: d}\n  d: {reads: d, is: c}\n");
    REQUIRE(findings.size() == 2);
    CHECK(findings[0].message == "\"a\" depends on itself: a -> b -> a");
    CHECK(findings[1].message == "\"c\" depends on itself: c -> d -> c");
}

TEST_CASE("circle: of provisions that displace each other") {
    const auto findings = findings_of(
        "provisions:\n" + requires_tie_off("x", "", "displaces: [y]") +
        requires_tie_off("y", "", "displaces: [z]") + requires_tie_off("z", "", "displaces: [x]"));
    REQUIRE(findings.size() == 1);
    CHECK(findings[0].code == "displacement-circle");
    CHECK(findings[0].message == "\"x\" displaces itself: x -> y -> z -> x");
}

TEST_CASE("circle: a long one is told by its first steps and its last, and few of very many") {
    std::string body = "conditions:\n";
    for (int i = 0; i < 1000; ++i) {
        body += "  c" + std::to_string(i) + ": {reads: c, any-of: [c0, c" +
                std::to_string((i + 1) % 1000) + "]}\n";
    }
    const auto findings = findings_of(body);
    CHECK(findings.size() == 50);
    for (const Finding& finding : findings) {
        CHECK(finding.message.starts_with("\"c0\" depends on itself: c0 -> c"));
        CHECK(finding.message.size() < 300);
        CHECK(finding.others.size() < 20);
    }
}

TEST_CASE("circle: a long chain without one is none") {
    std::string body = "conditions:\n  c0: {reads: c, is: gate-open}\n";
    for (int i = 1; i < 3000; ++i) {
        body +=
            "  c" + std::to_string(i) + ": {reads: c, is: not c" + std::to_string(i - 1) + "}\n";
    }
    body += "provisions:\n" + requires_tie_off("rule", "c2999");
    const Shelf shelf = shelf_of({small_vocabulary(), small_pack(body)});
    CHECK(tie_off(decided(shelf, {{"gate-open", "no"}})).outcome == Outcome::required);
    CHECK(tie_off(decided(shelf, {{"gate-open", "yes"}})).outcome == Outcome::not_addressed);
}
