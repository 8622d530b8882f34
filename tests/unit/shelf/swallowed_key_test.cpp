// Keys that a text has swallowed: where they are marked, which count, and in which texts.
#include "support/small_shelf.hpp"

#include <doctest/doctest.h>

#include <algorithm>

namespace toprail::test {
namespace {

std::vector<Finding> swallowed(const std::string& body) {
    std::vector<Finding> found = load_shelf({small_vocabulary(), small_pack(body)}).findings;
    std::erase_if(found, [](const Finding& each) { return each.code != "swallowed-key"; });
    return found;
}

// A provision with these lines; the pack above it has six.
std::vector<Finding> in_provision(const std::string& lines,
                                  const std::string& effect = "duty: tie-off\n    calls-for: "
                                                              "required") {
    return swallowed("provisions:\n  - id: a\n    cite: c\n    source: read\n" + lines + "    " +
                     effect + "\n");
}

TEST_CASE("swallowed key: it is marked in the text, over folded and indented lines") {
    for (const char* style : {">", "|", ">-", "|+", "|  # as it stands"}) {
        CAPTURE(style);
        const std::vector<Finding> found = in_provision(
            "    gist: " + std::string(style) +
            "\n      Tie off.\n\n        Always: so it is.\n      where:  gate-open\n");
        REQUIRE(found.size() == 1);
        CHECK(found[0].severity == Severity::warning);
        CHECK(found[0].message == "the text holds \"where:\"; was it meant as a key?");
        CHECK(found[0].help.find("indentation") != std::string::npos);
        CHECK(found[0].help.find("\"gist\"") != std::string::npos);
        CHECK(found[0].place.line == 15);
        CHECK(found[0].place.column == 7);
        CHECK(found[0].place.length == 6);
    }
}

TEST_CASE("swallowed key: a text in quotes is marked at the key, or whole where it has escapes") {
    const std::vector<Finding> plain = in_provision("    gist: \"Tie off. where: gate-open\"\n");
    REQUIRE(plain.size() == 1);
    CHECK(plain[0].place.column == 21);
    CHECK(plain[0].place.length == 6);
    const std::vector<Finding> escaped =
        in_provision("    gist: \"Tie \\x6Fff. where: gate-open\"\n");
    REQUIRE(escaped.size() == 1);
    CHECK(escaped[0].place.column == 11);
    CHECK(in_provision("    gist: 'where:'\n").size() == 1);
    CHECK(in_provision("    gist: 'Tie off.\n\n      where:gate-open'\n").size() == 1);
}

TEST_CASE(
    "swallowed key: every key of a provision counts, whatever its effect, and no other word") {
    for (const char* key :
         {"id",      "cite",     "also-cite",    "source",     "source-note", "standing",
          "gist",    "in-force", "where",        "displaces",  "duty",        "calls-for",
          "relaxes", "terms",    "terms-met-by", "choice",     "admits",      "bars",
          "limit",   "at-most",  "at-least",     "remarks-on", "governs"}) {
        CAPTURE(key);
        CHECK(in_provision("    gist: |\n      Tie off.\n      " + std::string(key) + ": x\n")
                  .size() == 1);
    }
    for (const char* text : {"Tie off where the gate is open.", "So: tie off.", "elsewhere: no",
                             "(where: no)", "where :", "wheres: no", "provisions: no"}) {
        CAPTURE(text);
        CHECK(in_provision("    gist: |\n      " + std::string(text) + "\n").empty());
    }
}

TEST_CASE("swallowed key: all texts of provisions, packs and adoptions are looked at") {
    CHECK(
        in_provision("    gist: g\n    source-note: |\n      n\n      where: gate-open\n").size() ==
        1);
    CHECK(in_provision("    gist: g\n    also-cite:\n      - |\n        n\n        where: x\n")
              .size() == 1);
    CHECK(in_provision("    gist: g\n", "relaxes: [b]\n    terms: |\n      t\n      terms-met-by: "
                                        "gate-open")
              .size() == 1);
    // The error that follows from it is told with it.
    CHECK(
        in_provision("    gist: |\n      g\n      duty: tie-off\n", "calls-for: required").size() ==
        1);
    CHECK(swallowed("what-is-open:\n  - |\n    much\n    adopts: {rulepack: x}\n").size() == 1);
    CHECK(swallowed("adopts:\n  rulepack: test.other\n  source: read\n  cite: |\n    c\n    where: "
                    "gate-open\n")
              .size() == 1);
}

}  // namespace
}  // namespace toprail::test
