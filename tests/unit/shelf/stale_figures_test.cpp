// Texts for readers that tell a figure which their rule has no more: which clash, which do not, and
// what is marked.
#include "support/small_shelf.hpp"

#include <doctest/doctest.h>

namespace toprail::test {
namespace {

std::vector<Finding> stale(const Shelf& shelf) {
    std::vector<Finding> found = lint_shelf(shelf);
    std::erase_if(found, [](const Finding& each) { return each.code != "stale-figure"; });
    return found;
}

// One provision with this gist, as it is written in the file.
std::vector<Finding> with_gist(const std::string& gist, const std::string& where,
                               const std::string& effect = "duty: tie-off, calls-for: required") {
    return stale(small_shelf("  - {id: a, cite: c, source: read, " + effect +
                             ", where: " + in_flow(where) + ", gist: " + gist + "}\n"));
}

std::vector<Finding> with_quantity(const std::string& reads, const std::string& rest) {
    return stale(shelf_of(
        {small_vocabulary(),
         small_pack("conditions:\n  high: {reads: r, is: height is more than 10 ft}\nquantities:\n"
                    "  span: {kind: length, unit: ft, reads: " +
                    reads + ", " + rest + "}\nprovisions:\n" +
                    provision("a", "limit: width, at-most: span"))}));
}

TEST_CASE("stale figures: a gist that bounds the same way by another figure") {
    const std::vector<Finding> found =
        with_gist("Tie off above 6 ft.", "height is more than 10 ft");
    REQUIRE(found.size() == 1);
    CHECK(found.front().severity == Severity::warning);
    CHECK(found.front().message == "the text tells \"6 ft\", and the rule has no such figure");
    CHECK(found.front().place.text.substr(found.front().place.column - 1, 4) == "6 ft");
    CHECK(found.front().place.length == 4);
    REQUIRE(found.front().others.size() == 1);
    CHECK(found.front().others.front().says == "the rule says");
    for (const char* lead :
         {"Above", "over", "Over", "more than", "at least", "exceeds", "exceeding"}) {
        CAPTURE(lead);
        CHECK(with_gist(lead + std::string(" 6 ft it is so."), "height is at least 10 ft").size() ==
              1);
        CHECK(
            with_gist(lead + std::string(" 6 ft it is so."), "height is less than 10 ft").empty());
    }
    for (const char* lead : {"no more than", "at most", "below", "Below", "under", "Under",
                             "less than", "up to", "Up to", "within"}) {
        CAPTURE(lead);
        CHECK(with_gist(lead + std::string(" 6 ft it is so."), "height is at most 10 ft").size() ==
              1);
        CHECK(
            with_gist(lead + std::string(" 6 ft it is so."), "height is more than 10 ft").empty());
    }
}

TEST_CASE("stale figures: what is no such clash") {
    const std::string over = "height is more than 10 ft";
    CHECK(with_gist("Tie off above 10 ft.", over).empty());
    CHECK(with_gist("Tie off above 120 in.", over).empty());
    // The right figure stands there, too, whatever else is told.
    CHECK(with_gist("Tie off above 6 ft or above 10 ft.", over).empty());
    // Neither way is said, or it is part of another word.
    CHECK(with_gist("Tie off with 6 ft of rope.", over).empty());
    CHECK(with_gist("Tie off moreover 6 ft.", over).empty());
    CHECK(with_gist("6 ft is no figure that bounds.", over).empty());
    // Of another kind, without a unit, or no figure at all.
    CHECK(with_gist("Tie off above 300 lb.", over).empty());
    CHECK(with_gist("Tie off above 6.", over).empty());
    CHECK(with_gist("Tie off above 6 persons.", over).empty());
    CHECK(with_gist("Tie off above 6ft.", over).empty());
    CHECK(with_gist("Tie off above A6 ft.", over).empty());
    CHECK(with_gist("\"Tie off above 6,,0 ft.\"", over).empty());
    CHECK(with_gist("Tie off above 6 ft.", "height is exactly 10 ft").empty());
    CHECK(with_gist("Tie off above 6.", "persons is more than 10").empty());
}

TEST_CASE("stale figures: a figure may have two parts, or stand in brackets") {
    CHECK(with_gist("Tie off above 5 ft 6 in.", "height is more than 66 in").empty());
    const std::vector<Finding> parts =
        with_gist("Tie off above 5 ft 6 in.", "height is more than 5 ft");
    REQUIRE(parts.size() == 1);
    CHECK(parts.front().message.find("\"5 ft 6 in\"") != std::string::npos);
    CHECK(with_gist("Tie off above 5 ft 6 lb.", "height is more than 5 ft").empty());
    CHECK(with_gist("Tie off above 5 ft 6 fast.", "height is more than 5 ft").empty());
    CHECK(with_gist("Tie off up (above 2 m) there (6 ft).", "height is more than 6 ft").empty());
}

TEST_CASE(
    "stale figures: the bound of a limit, and what stands behind its names, are its figures") {
    const std::string limit = "limit: width, at-most: 6 ft";
    CHECK(with_gist("\"Stay within 5 ft.\"", "gate-open", limit).size() == 1);
    CHECK(with_gist("\"Stay within 6 ft.\"", "gate-open", limit).empty());
    CHECK(with_gist("Keep at least 5 ft.", "gate-open", "limit: width, at-least: 6 ft").size() ==
          1);
    const auto shelf = [](const std::string& gist) {
        return shelf_of(
            {small_vocabulary(),
             small_pack("conditions:\n  high: {reads: r, is: height is more than 10 ft}\n"
                        "provisions:\n  - {id: a, cite: c, source: read, duty: tie-off, calls-for: "
                        "required, where: {all-of: [high, width is more than 3 ft]}, gist: " +
                        gist + "}\n")});
    };
    CHECK(stale(shelf("Tie off above 10 ft.")).empty());
    CHECK(stale(shelf("Tie off above 3 ft.")).empty());
    CHECK(stale(shelf("Tie off above 4 ft.")).size() == 1);
}

TEST_CASE("stale figures: a condition that is named twice is looked through once") {
    const Shelf shelf = shelf_of(
        {small_vocabulary(),
         small_pack("conditions:\n  high: {reads: r, is: height is more than 10 ft}\n"
                    "provisions:\n  - {id: a, cite: c, source: read, duty: tie-off, calls-for: "
                    "required, where: {any-of: [{all-of: [high, gate-open]}, {all-of: [high, "
                    "roofed]}, width is more than 3 ft]}, gist: Tie off above 4 ft.}\n")});
    CHECK(stale(shelf).size() == 1);
}

TEST_CASE("stale figures: what a quantity or condition reads tells every figure it has") {
    CHECK(with_quantity("half of the 6 ft rope", "equals: 3 ft + height").size() == 1);
    CHECK(with_quantity("the height and 3 ft", "equals: 3 ft + height").empty());
    const std::string pieces =
        "pieces: [{where: high, equals: 3 ft}, {where: width is more than 9 ft, equals: height * "
        "2}, {equals: width}]";
    CHECK(with_quantity("3 ft when it is high", pieces).empty());
    CHECK(with_quantity("3 ft above 10 ft", pieces).empty());
    CHECK(with_quantity("something about 9 ft", pieces).empty());
    CHECK(with_quantity("something about 2 ft", pieces).size() == 1);
    CHECK(with_quantity("something about 2", pieces).empty());
    const auto condition = [](const std::string& reads) {
        return stale(shelf_of(
            {small_vocabulary(), small_pack("conditions:\n  high: {reads: " + reads +
                                            ", is: height is more than 10 ft}\nprovisions:\n" +
                                            requires_tie_off("a", "high"))}));
    };
    CHECK(condition("it is higher than 6 ft").size() == 1);
    CHECK(condition("it is higher than 10 ft").empty());
}

TEST_CASE("stale figures: a text that runs over lines is marked as a whole, an adopted one once") {
    const std::vector<Finding> folded = stale(small_shelf(
        "  - id: a\n    cite: c\n    source: read\n    gist: >-\n      Tie off whenever it is\n"
        "      above 6 ft.\n    where: height is more than 10 ft\n    duty: tie-off\n"
        "    calls-for: required\n"));
    REQUIRE(folded.size() == 1);
    CHECK(folded.front().place.line == 11);
    const Shelf adopted = shelf_of(
        {small_vocabulary(),
         small_pack("provisions:\n  - {id: a, cite: c, source: read, duty: tie-off, calls-for: "
                    "required, where: height is more than 10 ft, gist: Tie off above 6 ft.}\n"),
         small_pack("adopts: {rulepack: test.pack, cite: c, source: read}\nprovisions:\n" +
                        requires_tie_off("b"),
                    "test.other")});
    CHECK(stale(adopted).size() == 1);
}

}  // namespace
}  // namespace toprail::test
