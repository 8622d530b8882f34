// What is said beside a name that is not known, and beside a figure of the wrong kind.
#include "findings/unknown.hpp"
#include "support/small_shelf.hpp"

#include <doctest/doctest.h>

namespace toprail::test {
namespace {

TEST_CASE("unknown: the nearest name, or all where they are few") {
    CHECK(help_with_unknown("gate-opne", {"gate-open", "roofed"}) == "did you mean gate-open?");
    CHECK(help_with_unknown("wind", {"roofed", "gate-open"}) == "known are gate-open or roofed");
    CHECK(help_with_unknown("wind", {}).empty());
}

TEST_CASE("unknown: of many names those that begin alike, or how many begin so") {
    std::vector<std::string> known;
    for (const char* state : {"alpha", "bravo", "charlie"}) {
        known.push_back(std::string("us.state.") + state);
    }
    for (int i = 0; i < 20; ++i) {
        known.push_back("us.federal.part-" + std::to_string(i));
    }
    CHECK(help_with_unknown("us.state.zuluzuluzulu", known) ==
          "akin are us.state.alpha, us.state.bravo or us.state.charlie");
    CHECK(help_with_unknown("harbour-house-rules", known) ==
          "known are 20 in us.federal, 3 in us.state; toprail outline lists them");
}

TEST_CASE("unknown: of many names those that share a word") {
    std::vector<std::string> known{"platform-height", "rail-height"};
    for (int i = 0; i < 20; ++i) {
        known.push_back("fact-" + std::to_string(i));
    }
    CHECK(help_with_unknown("height-of-the-whole-thing", known) ==
          "akin are platform-height or rail-height");
    CHECK(help_with_unknown("of-is-at-to-nothing", known).empty());
}

std::string help_of(const std::string& provisions) {
    const LoadedShelf loaded =
        load_shelf({small_vocabulary(), small_pack("provisions:\n" + provisions)});
    REQUIRE(loaded.findings.size() == 1);
    return loaded.findings.front().help;
}

TEST_CASE("unknown: a figure of the wrong kind is told which kind and units are taken") {
    CHECK(help_of(provision("a", "limit: reach, at-most: 2 lb")) ==
          "give a length, with one of the units in, ft, yd, mm, cm, m or km; or name a quantity of "
          "that kind");
    CHECK(help_of(provision("a", "limit: reach, at-most: 2 feet")) == "write ft");
    CHECK(help_of(requires_tie_off("a", "height is more than 2 lb")) ==
          "give a length, with one of the units in, ft, yd, mm, cm, m or km");
    CHECK(help_of(requires_tie_off("a", "persons is more than 2 ft")) ==
          "give a plain number, without a unit");
}

TEST_CASE("unknown: a misspelt fact is marked at its name, a bad value at the value") {
    const FactsFile file = read_facts("facts:\n  heigth: 3 ft\n  width: wide\n", "facts.yaml");
    const Answer answer =
        small_shelf(requires_tie_off("a")).decide(file.cases.at(0).facts, day("2024-06-01"));
    REQUIRE(answer.findings.size() == 2);
    CHECK(answer.findings[0].place.line == 2);
    CHECK(answer.findings[0].place.column == 3);
    CHECK(answer.findings[0].help == "did you mean height?");
    CHECK(answer.findings[1].place.line == 3);
    CHECK(answer.findings[1].place.column == 10);
}

}  // namespace
}  // namespace toprail::test
