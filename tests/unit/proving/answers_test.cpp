// Answers that proofs and worked cases meet seldom: limits both ways and of one name twice, choices
// that one side alone knows, cases of adopters.
#include "support/small_shelf.hpp"
#include "toprail/proving.hpp"

#include <doctest/doctest.h>

#include <algorithm>

namespace toprail::test {
namespace {

using Words = std::vector<std::string>;

TEST_CASE("answers: the two bounds of one quantity are compared apart") {
    const auto shelf = [](const std::string& most, const std::string& least) {
        return small_shelf(provision("a", "limit: width, at-most: " + most) +
                           provision("b", "limit: width, at-least: " + least));
    };
    const Comparison upper = compare(shelf("9 ft", "2 ft"), shelf("6 ft", "2 ft"));
    REQUIRE(upper.regions.size() == 1);
    CHECK(upper.regions[0].subject == "width, upper limit");
    CHECK(upper.regions[0].asks == Asks::more);
    const Comparison lower = compare(shelf("9 ft", "2 ft"), shelf("9 ft", "1 ft"));
    REQUIRE(lower.regions.size() == 1);
    CHECK(lower.regions[0].subject == "width, lower limit");
    CHECK(lower.regions[0].asks == Asks::less);
}

TEST_CASE("answers: an exception gained or lost is a difference of its duty") {
    const std::string duty = requires_tie_off("a");
    const std::string spared = duty + provision("x", "relaxes: [a], terms: t", "gate-open");
    const Comparison gained = compare(small_shelf(duty), small_shelf(spared));
    REQUIRE(gained.regions.size() == 1);
    CHECK(gained.regions[0].before == "required");
    CHECK(gained.regions[0].after == "required with exception");
    CHECK(gained.regions[0].asks == Asks::less);
    CHECK(gained.regions[0].where == Words{"gate-open is yes"});
}

TEST_CASE("answers: of several values left the example names them all") {
    const Comparison comparison =
        compare(small_shelf(provision("a", "choice: anchor, bars: [boom, basket]")),
                small_shelf(provision("a", "choice: anchor, bars: [boom]")));
    REQUIRE(comparison.regions.size() == 1);
    CHECK(comparison.regions[0].subject == "anchor basket");
    CHECK(comparison.regions[0].example.yaml.find("anchor: [basket, structure]") !=
          std::string::npos);
}

TEST_CASE("answers: a duty or a choice that one vocabulary alone has") {
    SourceText fewer = small_vocabulary();
    const std::string vest = "  vest: {asks: \"Must a vest be worn?\", reads: a vest}\n";
    fewer.text.replace(fewer.text.find(vest), vest.size(), "");
    const std::string values = "values: [boom, basket, structure]";
    fewer.text.replace(fewer.text.find(values), values.size(), "values: [boom, structure]");
    const Shelf before = shelf_of({fewer, small_pack("provisions:\n" + requires_tie_off("a"))});
    const Comparison duty =
        compare(before, small_shelf(requires_tie_off("a") +
                                    provision("v", "duty: vest, calls-for: required")));
    REQUIRE(duty.regions.size() == 1);
    CHECK(duty.regions[0].subject == "vest");
    CHECK(duty.regions[0].before == "not addressed");
    CHECK(duty.regions[0].after == "required");
    const Comparison choice =
        compare(before, small_shelf(requires_tie_off("a") +
                                    provision("c", "choice: anchor, bars: [basket]")));
    REQUIRE(choice.regions.size() == 1);
    CHECK(choice.regions[0].subject == "anchor basket");
    CHECK(choice.regions[0].before == "admissible");
    CHECK(choice.regions[0].after == "barred");
}

TEST_CASE("answers: a choice that one vocabulary lacks bars nothing there") {
    SourceText fewer = small_vocabulary();
    const std::size_t from = fewer.text.find("  anchor: ");
    fewer.text.erase(from, fewer.text.find('\n', from) + 1 - from);
    const Comparison comparison = compare(
        shelf_of({fewer, small_pack("provisions:\n" + requires_tie_off("a"))}),
        small_shelf(requires_tie_off("a") + provision("c", "choice: anchor, bars: [basket]")));
    REQUIRE(comparison.regions.size() == 1);
    CHECK(comparison.regions[0].subject == "anchor basket");
    CHECK(comparison.regions[0].before == "admissible");
}

TEST_CASE("answers: a fact that one vocabulary lacks decides nothing there") {
    SourceText fewer = small_vocabulary();
    const std::size_t from = fewer.text.find("  roofed: ");
    fewer.text.erase(from, fewer.text.find('\n', from) + 1 - from);
    const Comparison comparison =
        compare(shelf_of({fewer, small_pack("provisions:\n" + requires_tie_off("a", "gate-open"))}),
                small_shelf(requires_tie_off("a", "gate-open") + requires_tie_off("b", "roofed")));
    REQUIRE(comparison.regions.size() == 1);
    CHECK(comparison.regions[0].before == "not addressed");
    CHECK(comparison.regions[0].after == "required");
    CHECK(comparison.regions[0].where == Words{"gate-open is no", "roofed is yes"});
}

TEST_CASE("answers: several editions are compared as one authority, and told in order") {
    const auto edition = [](const std::string& from, const std::string& where) {
        SourceText text =
            small_pack("provisions:\n" + requires_tie_off("a", where), "test.pack", "regulation",
                       "{from: " + from + ", verified-through: 2030-01-01, picked-by: work-date}");
        text.name = from + ".yaml";
        return text;
    };
    const Shelf one = shelf_of({small_vocabulary(), edition("2000-01-01", "gate-open")});
    const Shelf two = shelf_of(
        {small_vocabulary(), edition("2000-01-01", "gate-open"), edition("2010-01-01", "roofed")});
    const Comparison comparison = compare(one, two);
    REQUIRE(comparison.rest.size() == 1);
    CHECK(comparison.rest[0].says ==
          "editions: from 2000-01-01, verified through 2030-01-01 -> from 2000-01-01 to "
          "2009-12-31, verified through 2030-01-01; from 2010-01-01, verified through 2030-01-01");
    REQUIRE_FALSE(comparison.regions.empty());
    for (const Region& region : comparison.regions) {
        // Only from the second edition on.
        CHECK(region.example.on >= day("2010-01-01"));
    }
}

TEST_CASE("answers: shelves of which one alone says who governs, and has further authorities") {
    const SourceText one = small_pack("provisions:\n" + requires_tie_off("a"), "test.one");
    const SourceText edited =
        small_pack("provisions:\n" + requires_tie_off("a", "gate-open"), "test.one");
    const SourceText two = small_pack("provisions:\n" + requires_tie_off("b"), "test.two");
    const auto who = [](const std::string& more) {
        return small_pack("provisions:\n" + provision("here", "governs: test.one", "gate-open") +
                              provision("told", "remarks-on: tie-off") + more,
                          "test.who");
    };
    const Shelf plain = shelf_of({small_vocabulary(), one, two});
    const Comparison told = compare(plain, shelf_of({small_vocabulary(), edited, two, who("")}));
    CHECK(told.only_after == Words{"test.who"});
    CHECK(told.settled == Settled::refuted);
    const auto region = [&](const std::string& authority, const std::string& subject) {
        return std::count_if(told.regions.begin(), told.regions.end(), [&](const Region& r) {
            return r.authority == authority && r.subject == subject;
        });
    };
    CHECK(region("test.one", "tie-off") == 1);
    CHECK(region("test.one", "who governs") == 1);
    CHECK(region("test.two", "tie-off") == 0);
    // A duty in the pack that says who governs is compared like any other.
    const Comparison duty =
        compare(shelf_of({small_vocabulary(), one, two, who("")}),
                shelf_of({small_vocabulary(), one, two, who(requires_tie_off("z", "roofed"))}));
    REQUIRE_FALSE(duty.regions.empty());
    CHECK(duty.regions[0].authority == "test.who");
    CHECK(duty.regions[0].where == Words{"roofed is yes"});
}

TEST_CASE("answers: limits on quantities of one name in two packs are not called equal") {
    const auto shelf = [](const std::string& bound, const std::string& height = "height") {
        const std::string span =
            "quantities:\n  span: {kind: length, unit: ft, reads: r, equals: " + height +
            "}\nprovisions:\n";
        return shelf_of(
            {small_vocabulary(),
             small_pack(span + provision("l", "limit: span, at-most: 5 ft"), "test.lender"),
             small_pack("adopts: {rulepack: test.lender, cite: c, source: read}\n" + span +
                        provision("o", "limit: span, at-most: " + bound) + requires_tie_off("a"))});
    };
    const std::string says =
        "limits on span: several packs have a quantity of that name, so they are not compared";
    const Comparison edited = compare(shelf("6 ft"), shelf("7 ft"));
    CHECK(edited.settled == Settled::not_settled);
    CHECK(edited.regions.empty());
    REQUIRE(edited.rest.size() == 1);
    CHECK(edited.rest.front().authority == "test.pack");
    CHECK(edited.rest.front().about == Words{"span"});
    CHECK(edited.rest.front().says == says);
    CHECK(compare(shelf("6 ft"), shelf("6 ft")).settled == Settled::proved);
    ProveOptions options;
    options.duty = "tie-off";
    CHECK(compare(shelf("6 ft"), shelf("7 ft"), options).settled == Settled::proved);

    // Before, there is one such quantity.
    CHECK(compare(shelf_of({small_vocabulary(),
                            small_pack("quantities:\n  span: {kind: length, unit: ft, reads: r, "
                                       "equals: height}\nprovisions:\n" +
                                           provision("l", "limit: span, at-most: 5 ft"),
                                       "test.lender"),
                            small_pack("adopts: {rulepack: test.lender, cite: c, source: read}\n"
                                       "provisions:\n" +
                                       requires_tie_off("a"))}),
                  shelf("6 ft"))
              .settled == Settled::not_settled);

    // The lender has one such quantity, the adopter two.
    const Comparison stricter = at_least_as_strict(shelf("6 ft"), "test.pack", "test.lender");
    CHECK(stricter.settled == Settled::not_settled);
    REQUIRE(stricter.rest.size() == 1);
    CHECK(stricter.rest.front().says == says);
    CHECK(at_least_as_strict(shelf("6 ft"), "test.pack", "test.lender", options).settled ==
          Settled::proved);
}

CaseCoverage coverage_of(std::vector<SourceText> texts, const std::string& authority,
                         const ProveOptions& options = {}) {
    const CasesReport report = prove_worked_cases(shelf_of(std::move(texts)), options);
    const auto found =
        std::find_if(report.packs.begin(), report.packs.end(),
                     [&](const CaseCoverage& c) { return c.authority == authority; });
    REQUIRE(found != report.packs.end());
    return *found;
}

TEST_CASE("answers: the cases of an adopter notice changes to what it adopted") {
    const SourceText lender =
        small_pack("provisions:\n" + requires_tie_off("a", "height is more than 10 ft"));
    const std::string adopts = "adopts: {rulepack: test.pack, cite: c, source: read}\n"
                               "provisions:\n" +
                               provision("v", "duty: vest, calls-for: required");
    const std::string cases = "worked-cases:\n"
                              "  - {name: at, on: 2020-01-01, facts: {height: 10 ft}, answers: "
                              "{tie-off: not addressed}}\n"
                              "  - {name: over, facts: {height: 10.5 ft}, answers: {tie-off: "
                              "required}}\n";
    Words about;
    ProveOptions options;
    options.progress = [&](std::size_t done, std::size_t total, std::string_view name) {
        CHECK(done == about.size());
        CHECK(total == 2);
        about.emplace_back(name);
    };
    const CaseCoverage with =
        coverage_of({small_vocabulary(), lender, small_pack(adopts + cases, "test.copy")},
                    "test.pack", options);
    CHECK(about == Words{"test.copy", "test.pack"});
    CHECK(with.cases == 2);
    CHECK(with.mutants == 4);
    CHECK(with.survivors.empty());
    const CaseCoverage without =
        coverage_of({small_vocabulary(), lender, small_pack(adopts, "test.copy")}, "test.pack");
    CHECK(without.cases == 0);
    CHECK(without.survivors.size() == 4);
    CHECK(without.never_decisive == Words{"a"});
}

TEST_CASE("answers: a case that fails, or cannot be read, counts for nothing") {
    const std::string rule =
        "provisions:\n" + requires_tie_off("a", "height is more than 10 ft") + "worked-cases:\n";
    for (const char* worked :
         {"  - {name: wrong, facts: {height: 12 ft}, answers: {tie-off: not addressed}}\n",
          "  - {name: no unit, facts: {height: 12}, answers: {tie-off: required}}\n",
          "  - {name: early, on: 1990-01-01, facts: {height: 12 ft}, answers: {tie-off: "
          "required}}\n"}) {
        CAPTURE(worked);
        const CaseCoverage coverage =
            coverage_of({small_vocabulary(), small_pack(rule + worked)}, "test.pack");
        CHECK(coverage.cases == 0);
        CHECK(coverage.survivors.size() == coverage.mutants);
    }
}

TEST_CASE("answers: a bound by a quantity can be missed where its name alone would change") {
    // Both come to the same figure in every case, so that no case can tell the one from the other
    // but by the name that the decision tells.
    const std::string body =
        "quantities:\n  twice: {kind: length, unit: ft, reads: r, equals: height * 2}\n"
        "provisions:\n" +
        provision("one", "limit: width, at-most: twice", "gate-open") +
        provision("two", "limit: width, at-most: twice", "gate-open") +
        "worked-cases:\n  - {name: open, facts: {gate-open: yes, height: 3 ft}, answers: {width: "
        "at most twice}}\n";
    const CaseCoverage coverage = coverage_of({small_vocabulary(), small_pack(body)}, "test.pack");
    // Which provision sets the bound is told, so that to take one out is not proved alike.
    CHECK(coverage.never_decisive == Words{"one", "two"});
    CHECK(coverage.mutants == 4);
    CHECK(coverage.survivors.size() == 4);
    CHECK(coverage.proved_alike.empty());
}

}  // namespace
}  // namespace toprail::test
