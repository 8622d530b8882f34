// Conditions that no case makes true: what is said of each form, where it is marked, and what is
// said to help.
#include "support/linted.hpp"
#include "support/small_shelf.hpp"

#include <doctest/doctest.h>

namespace toprail::test {
namespace {

std::vector<Finding> never_true(const Shelf& shelf) {
    return linted(shelf, "never-true");
}

std::vector<Finding> found_in(const std::string& where) {
    return never_true(small_shelf(requires_tie_off("a", where)));
}

Finding only_in(const std::string& where) {
    const std::vector<Finding> found = found_in(where);
    REQUIRE_MESSAGE(found.size() == 1, told(found));
    return found.front();
}

TEST_CASE("never true: a figure out of the range of its fact tells the range") {
    const Finding both = only_in("height is more than 500 ft");
    CHECK(both.message == "\"height is more than 500 ft\" can never be true");
    CHECK(both.help == "height lies from 0 ft to 500 ft");
    CHECK(only_in("depth is less than 0 ft").help == "depth is at least 0 ft");
    CHECK(only_in("width is exactly 41 ft").help == "width lies from 1 ft to 40 ft");
    const Shelf upper = shelf_of(
        {{"words.yaml", "vocabulary: small\ntitle: t\nstandings:\n  regulation: {rank: 2, may: "
                        "[require]}\nfacts:\n  size: {type: length, unit: ft, to: 9 ft, reads: r, "
                        "ask: a, why: w}\nduties:\n  tie-off: {asks: a, reads: r}\n"},
         small_pack("provisions:\n" + requires_tie_off("a", "size is at least 10 ft"))});
    const std::vector<Finding> found = never_true(upper);
    REQUIRE(found.size() == 1);
    CHECK(found.front().help == "size is at most 9 ft");
    CHECK(found_in("height is at least 500 ft").empty());
    // Its sides are facts: no range of one explains it.
    CHECK(only_in("reach is less than 1 ft").help.empty());
}

TEST_CASE("never true: a list that leaves no value out") {
    const Finding finding = only_in("mechanism is not one of [boom, scissor, mast]");
    CHECK(finding.help == "mechanism has no other value");
    // It may not apply, and then it is none of them.
    CHECK(only_in("guardrail is not one of [complete, removed]").help ==
          "guardrail has no other value");
    CHECK(found_in("mechanism is not one of [boom, scissor]").empty());
}

TEST_CASE("never true: parts that exclude one another, as few as can be") {
    const Finding two = only_in("{all-of: [gate-open, height is more than 9 ft, not gate-open]}");
    CHECK(two.message == "\"not gate-open\" and \"gate-open\" are never true together");
    REQUIRE(two.others.size() == 1);
    CHECK(two.others.front().says == "the other");
    CHECK_FALSE(two.help.empty());

    const Finding three = only_in("{all-of: [{any-of: [gate-open, roofed]}, not gate-open, roofed "
                                  "is no]}");
    CHECK(three.message == "\"roofed is no\" is never true together with the others");
    CHECK(three.others.size() == 2);

    const Finding nested = only_in("{all-of: [gate-open, {none-of: [gate-open]}]}");
    CHECK(nested.message == "this part and \"gate-open\" are never true together");
}

TEST_CASE("never true: a part that is never true by itself is what is told") {
    const Finding finding = only_in("{all-of: [gate-open, height is more than 500 ft]}");
    CHECK(finding.message == "\"height is more than 500 ft\" can never be true");
    // Of alternatives one may be true, yet each that is not is told.
    CHECK(only_in("{any-of: [gate-open, height is more than 500 ft]}").message == finding.message);
    const std::vector<Finding> all =
        found_in("{any-of: [width is less than 1 ft, height is more than 500 ft]}");
    CHECK(all.size() == 2);
}

TEST_CASE("never true: a none-of with a part that always is") {
    const Finding one = only_in("{none-of: [gate-open, height is at least 0 ft]}");
    CHECK(one.message == "\"height is at least 0 ft\" is always true, so none-of never is");
    const Finding together = only_in("{none-of: [gate-open, not gate-open]}");
    CHECK(together.message == "some part of this none-of is always true, so it never is");
    const Finding nested = only_in("{none-of: [{any-of: [gate-open, not gate-open]}]}");
    CHECK(nested.message == "this part is always true, so none-of never is");
}

TEST_CASE("never true: a condition is told where it is defined, its negation where it stands") {
    const auto shelf = [](const std::string& is, const std::string& where) {
        return shelf_of(
            {small_vocabulary(), small_pack("conditions:\n  named: {reads: r, is: " + is +
                                            "}\nprovisions:\n" + requires_tie_off("a", where))});
    };
    const std::vector<Finding> defined = never_true(shelf("height is more than 500 ft", "named"));
    REQUIRE(defined.size() == 1);
    CHECK(defined.front().place.line == 8);
    const std::vector<Finding> negated = never_true(shelf("height is at least 0 ft", "not named"));
    REQUIRE(negated.size() == 1);
    CHECK(negated.front().message == "\"not named\" can never be true");
    CHECK(negated.front().help == "the condition \"named\" is always true");
}

TEST_CASE("never true: what meets terms and duties is looked at, an adopted copy is not") {
    const Shelf terms = small_shelf(
        requires_tie_off("a") +
        provision("b", "relaxes: [a], terms: t, terms-met-by: \"height is more than 500 ft\""));
    CHECK(never_true(terms).size() == 1);
    SourceText words = small_vocabulary();
    const std::string met = "met-by: tied-off";
    words.text.replace(words.text.find(met), met.size(), "met-by: height is more than 500 ft");
    CHECK(
        never_true(shelf_of({words, small_pack("provisions:\n" + requires_tie_off("a"))})).size() ==
        1);
    const Shelf adopted =
        shelf_of({small_vocabulary(),
                  small_pack("provisions:\n" + requires_tie_off("a", "height is more than 500 ft")),
                  small_pack("adopts: {rulepack: test.pack, cite: c, source: read}\nprovisions:\n" +
                                 requires_tie_off("b"),
                             "test.other")});
    CHECK(never_true(adopted).size() == 1);
}

TEST_CASE("never false: a comparison that the range of its fact makes true in every case") {
    const auto always = [](const std::string& where) {
        return linted(small_shelf(requires_tie_off("a", where)), "never-false");
    };
    const std::vector<Finding> found = always("height is less than 6000 in");
    CHECK(found.empty());  // 500 ft is as high as it may be
    const std::vector<Finding> wide = always("{any-of: [gate-open, width is less than 41 ft]}");
    REQUIRE(wide.size() == 1);
    CHECK(wide[0].severity == Severity::warning);
    CHECK(wide[0].message == "\"width is less than 41 ft\" can never be false");
    CHECK(wide[0].help == "width lies from 1 ft to 40 ft: look at figure and unit");
    CHECK(always("weight is at least 0 lb").front().help ==
          "weight is at least 0 lb: look at figure and unit");
    CHECK(always("width is at most 40 ft").size() == 1);
    CHECK(always("width is less than 40 ft").empty());
    // It may not apply, and then every comparison is false.
    CHECK(always("depth is at least 0 ft").empty());
    // What makes a whole list never true is told there.
    CHECK(always("{none-of: [gate-open, height is at least 0 ft]}").empty());
    // Both sides may be meant, and neither has a figure to mend.
    CHECK(always("height is at least height").empty());
}

TEST_CASE("never true: nothing is said of a condition that takes too much to look through") {
    // Pairs of facts that stand far apart make a large diagram; this is in truth never true.
    std::string words = "vocabulary: small\ntitle: t\nstandings:\n  regulation: {rank: 2, may: "
                        "[require]}\nfacts:\n";
    std::string parts;
    constexpr int pairs = 18;
    for (int i = 0; i < 2 * pairs; ++i) {
        words += "  f" + std::to_string(i) + ": {type: yes-no, reads: r, ask: a, why: w}\n";
    }
    words += "duties:\n  tie-off: {asks: a, reads: r}\n";
    for (int i = 0; i < pairs; ++i) {
        parts += (i == 0 ? "" : ", ") +
                 ("{all-of: [f" + std::to_string(i) + ", f" + std::to_string(i + pairs) + "]}");
    }
    const auto shelf = [&](const std::string& where) {
        return shelf_of(
            {{"words.yaml", words}, small_pack("provisions:\n" + requires_tie_off("a", where))});
    };
    const std::string large = "{any-of: [" + parts + "]}";
    CHECK(never_true(shelf("{all-of: [" + large + ", {none-of: [" + large + "]}]}")).empty());
    CHECK(never_true(shelf("{all-of: [f0, not f0]}")).size() == 1);
}

}  // namespace
}  // namespace toprail::test
