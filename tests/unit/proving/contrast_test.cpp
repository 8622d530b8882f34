// What a comparison tells of each kind of answer: values, lower limits, bounds by a quantity, who
// governs, adopters, editions, marks; and what it says when it cannot tell.
#include "support/small_shelf.hpp"
#include "toprail/proving.hpp"

#include <doctest/doctest.h>

#include <algorithm>

namespace toprail::test {
namespace {

Comparison compared(const std::string& before, const std::string& after,
                    const ProveOptions& options = {}) {
    return compare(small_shelf(before), small_shelf(after), options);
}

const Region& only_region(const Comparison& comparison) {
    REQUIRE(comparison.regions.size() == 1);
    CHECK(comparison.rest.empty());
    CHECK(comparison.settled == Settled::refuted);
    return comparison.regions.front();
}

using Words = std::vector<std::string>;

TEST_CASE("comparing: the words for which way an answer differs") {
    CHECK(word(Asks::less) == "asks less");
    CHECK(word(Asks::more) == "asks more");
    CHECK(word(Asks::either) == "asks less in some cases, more in others");
}

TEST_CASE("comparing: a value that is barred no more, with what is left as a worked case") {
    const std::string bars_both = provision("a", "choice: means, bars: [arrest]", "gate-open") +
                                  provision("b", "choice: means, bars: [restraint]");
    const std::string bars_one = provision("b", "choice: means, bars: [restraint]");
    const Comparison loosened = compared(bars_both, bars_one);
    const Region& region = only_region(loosened);
    CHECK(region.subject == "means arrest");
    CHECK(region.before == "barred");
    CHECK(region.after == "admissible");
    CHECK(region.asks == Asks::less);
    CHECK(region.where == Words{"gate-open is yes"});
    CHECK(region.example.yaml.find("means: [arrest]") != std::string::npos);

    const Comparison tightened = compared(bars_one, bars_both);
    const Region& back = only_region(tightened);
    CHECK(back.asks == Asks::more);
    CHECK(back.example.yaml.find("means: none") != std::string::npos);
    CHECK(back.example.yaml.find("stands: [a]") != std::string::npos);

    // Nothing bars any value afterwards: no decision speaks of the choice, nor does the example.
    const Comparison freed =
        compared(provision("a", "choice: means, bars: [arrest]"), requires_tie_off("c"));
    const auto value = std::find_if(freed.regions.begin(), freed.regions.end(),
                                    [](const Region& r) { return r.subject == "means arrest"; });
    REQUIRE(value != freed.regions.end());
    CHECK(value->example.yaml.find("means:") == std::string::npos);
}

TEST_CASE("comparing: a lower limit asks more when it rises") {
    const std::string six = provision("a", "limit: width, at-least: 6 ft", "gate-open");
    const std::string nine = provision("a", "limit: width, at-least: 9 ft", "gate-open");
    const Comparison risen = compared(six, nine);
    const Region& region = only_region(risen);
    CHECK(region.subject == "width, lower limit");
    CHECK(region.before == "at least 6 ft");
    CHECK(region.after == "at least 9 ft");
    CHECK(region.asks == Asks::more);
    CHECK(region.example.yaml.find("width, lower limit") != std::string::npos);
    CHECK(region.example.yaml.find("width: at least 9 ft") != std::string::npos);
    CHECK(only_region(compared(nine, six)).asks == Asks::less);
    CHECK(only_region(compared(nine, requires_tie_off("c", "{all-of: [gate-open, not gate-open]}")))
              .after == "no bound");
}

TEST_CASE("comparing: a bound by a quantity is told by its name, and differs by its value") {
    const std::string by_height = provision("a", "limit: width, at-most: height");
    const std::string by_reach = provision("a", "limit: width, at-most: reach");
    // The reach is the height and at least one foot of width.
    const Comparison wider = compared(by_height, by_reach);
    const Region& region = only_region(wider);
    CHECK(region.before == "at most height");
    CHECK(region.after == "at most reach");
    CHECK(region.asks == Asks::less);
    CHECK(only_region(compared(by_reach, by_height)).asks == Asks::more);
    CHECK(compared(by_height, by_height).settled == Settled::proved);
    // Below six feet the bound by height is the tighter one, above it the looser.
    const Comparison either = compared(provision("a", "limit: width, at-most: 6 ft"), by_height);
    REQUIRE(either.regions.size() == 2);
    for (const Region& each : either.regions) {
        CHECK(each.asks == Asks::either);
    }
    CHECK(either.regions[0].where == Words{"height is exactly 0 ft or height is exactly 500 ft"});
    CHECK(either.regions[0].whole);
    // At six feet both come to the same.
    CHECK_FALSE(either.regions[1].whole);
}

TEST_CASE("comparing: a quantity of the same name may come to another figure") {
    const auto shelf = [](const std::string& formula) {
        return shelf_of({small_vocabulary(),
                         small_pack("quantities:\n  span: {kind: length, unit: ft, reads: r, "
                                    "equals: " +
                                    formula + "}\nprovisions:\n" +
                                    provision("a", "limit: width, at-most: span"))});
    };
    const Comparison comparison = compare(shelf("height * 2"), shelf("height * 3"));
    const Region& region = only_region(comparison);
    CHECK(region.before == "at most span");
    CHECK(region.after == "at most span, which comes to another figure");
    CHECK(region.asks == Asks::less);
}

TEST_CASE("comparing: one duty alone, and none of the other answers") {
    ProveOptions options;
    options.duty = "vest";
    const std::string vest = provision("v", "duty: vest, calls-for: required");
    const std::string limited = provision("w", "limit: width, at-most: 6 ft");
    CHECK(compared(requires_tie_off("a") + vest, vest + limited, options).settled ==
          Settled::proved);
    CHECK(only_region(compared(requires_tie_off("a"), requires_tie_off("a") + vest, options))
              .subject == "vest");
}

// Two authorities, and a pack that says which of them governs where.
Shelf governed_shelf(const std::string& one_governs, const std::string& more = {}) {
    return shelf_of(
        {small_vocabulary(), small_pack("provisions:\n" + requires_tie_off("a"), "test.one"),
         small_pack("provisions:\n" + requires_tie_off("b"), "test.two"),
         small_pack("provisions:\n" + provision("here", "governs: test.one", one_governs) +
                        provision("there", "governs: test.two") + more,
                    "test.who")});
}

TEST_CASE("comparing: who governs is told by authority, with a case and not as a worked case") {
    const Comparison less = compare(governed_shelf("height is more than 6 ft"),
                                    governed_shelf("height is more than 9 ft"));
    const Region& region = only_region(less);
    CHECK(region.authority == "test.one");
    CHECK(region.subject == "who governs");
    CHECK(region.before == "governs");
    CHECK(region.after == "does not govern");
    CHECK(region.asks == Asks::less);
    CHECK(region.where == Words{"height is more than 6 ft and at most 9 ft"});
    CHECK(region.example.authority.empty());
    CHECK(region.example.yaml.find("cases:\n  - case: who governs") != std::string::npos);
    CHECK(region.example.yaml.find("answers:") == std::string::npos);
    const Decision decision = decided(governed_shelf("height is more than 6 ft"),
                                      region.example.facts, region.example.on.text());
    CHECK(std::any_of(decision.governing.begin(), decision.governing.end(),
                      [](const Governing& g) { return g.authority == "test.one"; }));
    CHECK(compare(governed_shelf("gate-open"), governed_shelf("gate-open")).settled ==
          Settled::proved);
}

TEST_CASE("comparing: an authority that only one side has is no equal shelf") {
    const Shelf two = governed_shelf("gate-open");
    const Shelf three = shelf_of(
        {small_vocabulary(), small_pack("provisions:\n" + requires_tie_off("a"), "test.one"),
         small_pack("provisions:\n" + requires_tie_off("b"), "test.two"),
         small_pack("provisions:\n" + requires_tie_off("c"), "test.three"),
         small_pack("provisions:\n" + provision("here", "governs: test.one", "gate-open") +
                        provision("there", "governs: test.two"),
                    "test.who")});
    const Comparison gained = compare(two, three);
    CHECK(gained.only_after == Words{"test.three"});
    CHECK(gained.only_before.empty());
    CHECK(gained.regions.empty());
    CHECK(gained.settled == Settled::refuted);
    const Comparison lost = compare(three, two);
    CHECK(lost.only_before == Words{"test.three"});
    CHECK(lost.settled == Settled::refuted);
}

TEST_CASE("comparing: what an adopter takes over is told once, of the lender") {
    const auto shelf = [](const std::string& where) {
        return shelf_of({small_vocabulary(),
                         small_pack("provisions:\n" + requires_tie_off("a", where), "test.lender"),
                         small_pack("adopts: {rulepack: test.lender, cite: c, source: read}\n"
                                    "provisions:\n" +
                                        provision("v", "duty: vest, calls-for: required"),
                                    "test.borrower"),
                         // It has a rule of its own where the edit makes no difference.
                         small_pack("adopts: {rulepack: test.lender, cite: c, source: read}\n"
                                    "provisions:\n" +
                                        requires_tie_off("own", "gate-open"),
                                    "test.careful")});
    };
    const Comparison comparison =
        compare(shelf("height is more than 6 ft"), shelf("height is more than 9 ft"));
    const Region& region = only_region(comparison);
    CHECK(region.authority == "test.lender");
    CHECK(region.also == Words{"test.borrower", "test.careful"});

    // An adopter in which it differs in further cases has a region of its own.
    const auto wider = [](const std::string& where, const std::string& own) {
        return shelf_of({small_vocabulary(),
                         small_pack("provisions:\n" + requires_tie_off("a", where), "test.lender"),
                         small_pack("adopts: {rulepack: test.lender, cite: c, source: read}\n"
                                    "provisions:\n" +
                                        requires_tie_off("own", own),
                                    "test.wider")});
    };
    const Comparison two =
        compare(wider("height is more than 6 ft", "gate-open"),
                wider("height is more than 9 ft", "{all-of: [gate-open, roofed]}"));
    CHECK(std::count_if(two.regions.begin(), two.regions.end(),
                        [](const Region& r) { return r.authority == "test.wider"; }) > 0);
    CHECK(two.regions.front().authority == "test.lender");
}

TEST_CASE("comparing: more regions than asked for become one that holds them all") {
    ProveOptions options;
    options.regions = 1;
    const std::string before = requires_tie_off("a", "{any-of: [gate-open, roofed]}") +
                               requires_tie_off("b", "height is more than 100 ft");
    const std::string after = requires_tie_off("b", "height is more than 100 ft");
    const Comparison comparison = compared(before, after, options);
    const Region& region = only_region(comparison);
    CHECK_FALSE(region.whole);
    CHECK(region.where == Words{"height is at most 100 ft", "work-date is on or after 2000-01-01"});
    options.regions = 2;
    const Comparison two = compared(before, after, options);
    CHECK(two.regions.size() == 2);
    CHECK(std::all_of(two.regions.begin(), two.regions.end(),
                      [](const Region& r) { return r.whole; }));
}

TEST_CASE("comparing: other days of an edition are told, unless one day alone is asked about") {
    const auto shelf = [](const std::string& edition) {
        return shelf_of({small_vocabulary(), small_pack("provisions:\n" + requires_tie_off("a"),
                                                        "test.pack", "regulation", edition)});
    };
    const Shelf before =
        shelf("{from: 2000-01-01, verified-through: 2030-01-01, picked-by: work-date}");
    const Shelf after = shelf("{from: 2000-01-01, until: 2031-01-01, verified-through: 2030-06-01, "
                              "picked-by: work-date}");
    const Comparison comparison = compare(before, after);
    REQUIRE(comparison.rest.size() == 1);
    CHECK(comparison.rest.front().question == "editions");
    CHECK(comparison.rest.front().says ==
          "editions: from 2000-01-01, verified through 2030-01-01 -> from 2000-01-01 to "
          "2031-01-01, verified through 2030-06-01");
    CHECK(comparison.settled == Settled::refuted);
    ProveOptions options;
    options.on = day("2020-01-01");
    CHECK(compare(before, after, options).rest.empty());
    CHECK(compare(before, after, options).settled == Settled::proved);
}

TEST_CASE("comparing: a mark that rose is told, one that fell is not") {
    const auto shelf = [](const std::string& mark) {
        return small_shelf("  - {id: a, cite: c, source: " + mark +
                           ", gist: g, duty: tie-off, calls-for: required}\n");
    };
    CHECK(compare(shelf("memory"), shelf("read")).raised_marks ==
          Words{"test.pack/a: memory -> read"});
    CHECK(compare(shelf("read"), shelf("memory")).raised_marks.empty());
    CHECK(compare(shelf("memory"), shelf("read")).settled == Settled::proved);
}

TEST_CASE("comparing: a day of the edition that a fact picks is among the cases") {
    const auto shelf = [](const std::string& where) {
        return shelf_of(
            {small_vocabulary(),
             small_pack("provisions:\n" + requires_tie_off("a", where), "test.pack", "regulation",
                        "{from: 2010-01-01, verified-through: 2030-01-01, "
                        "picked-by: made-on}")});
    };
    const Comparison comparison =
        compare(shelf("made-on is before 2015-01-01"), shelf("made-on is before 2016-01-01"));
    const Region& region = only_region(comparison);
    CHECK(region.asks == Asks::more);
    CHECK(region.where == Words{"made-on is from 2015-01-01 to 2015-12-31"});
    CHECK(compare(shelf("made-on is before 2010-01-01"), shelf("made-on is before 2009-01-01"))
              .settled == Settled::proved);
}

// Of three cubes nobody knows whether they make this number; no solver settles it.
const std::string open_question = R"(vocabulary: cubes
title: Counts
standings:
  regulation: {rank: 1, may: [require, relax, limit, explain]}
facts:
  a: {type: count, reads: a, ask: a, why: w}
  b: {type: count, reads: b, ask: b, why: w}
  c: {type: count, reads: c, ask: c, why: w}
quantities:
  cubes: {kind: ratio, reads: r, equals: a * a * a + b * b * b - c * c * c}
duties:
  tie-off: {asks: a, reads: tie-off}
)";

Shelf cubes(const std::string& provisions) {
    return shelf_of(
        {{"cubes.yaml", open_question},
         {"law.yaml", "rulepack: test.law\ntitle: t\nformat: 1\nstanding: regulation\n"
                      "vocabulary: cubes\nedition: {from: 2000-01-01, verified-through: "
                      "2030-01-01, picked-by: work-date}\nprovisions:\n" +
                          provisions}});
}

TEST_CASE("comparing: a difference that nobody can settle is told as that, and nothing is proved") {
    ProveOptions options;
    options.time_limit = 50;
    const std::string sum = "cubes is exactly 114";
    const Comparison comparison =
        compare(cubes(requires_tie_off("x", sum) + provision("n", "remarks-on: tie-off")),
                cubes(provision("n", "remarks-on: tie-off")), options);
    CHECK(comparison.settled == Settled::not_settled);
    CHECK(comparison.regions.empty());
    REQUIRE(comparison.rest.size() == 1);
    const Proof& proof = comparison.rest.front();
    CHECK(proof.settled == Settled::not_settled);
    CHECK(proof.authority == "test.law");
    CHECK(proof.about == Words{"tie-off"});
    CHECK(proof.says == "tie-off, required -> not addressed: not settled within the time given");
    CHECK_FALSE(proof.example);
    CHECK_FALSE(proof.internal_error);
}

TEST_CASE("proving: a claim that nobody can settle counts as neither") {
    ProveOptions options;
    options.time_limit = 50;
    const Report report = prove(cubes(requires_tie_off("x", "cubes is exactly 114")), options);
    const Tally& tally = report.tallies.at("can-stand");
    CHECK(tally.asked == 1);
    CHECK(tally.not_settled == 1);
    CHECK(tally.in_order == 0);
    CHECK(tally.found == 0);
    const auto proof = std::find_if(report.proofs.begin(), report.proofs.end(),
                                    [](const Proof& p) { return p.question == "can-stand"; });
    REQUIRE(proof != report.proofs.end());
    CHECK(proof->settled == Settled::not_settled);
    CHECK(proof->says == "not settled within the time given");
}

TEST_CASE("comparing: facts of one name and two kinds are refused") {
    const auto shelf = [](const std::string& type) {
        return shelf_of({{"words.yaml", "vocabulary: small\ntitle: t\nstandings:\n  regulation: "
                                        "{rank: 2, may: [require]}\nfacts:\n  size: {type: " +
                                            type +
                                            ", reads: r, ask: a, why: w}\nduties:\n  tie-off: "
                                            "{asks: a, reads: r}\n"},
                         small_pack("provisions:\n" + requires_tie_off("a"))});
    };
    CHECK_THROWS_WITH_AS(compare(shelf("count"), shelf("date")),
                         doctest::Contains("size is of one kind in one vocabulary"),
                         std::runtime_error);
    CHECK_THROWS_AS(compare(shelf("length, unit: ft"), shelf("mass, unit: lb")),
                    std::runtime_error);
}

TEST_CASE("comparing: only cases that both vocabularies know are compared") {
    const auto shelf = [](const std::string& values, const std::string& count,
                          const std::string& gate, const std::string& where) {
        return shelf_of({{"words.yaml",
                          "vocabulary: small\ntitle: t\nstandings:\n  regulation: {rank: 2, may: "
                          "[require]}\nfacts:\n  kind: {type: choice, values: [" +
                              values + "], reads: r, ask: a, why: w}\n  many: {type: count" +
                              count + ", reads: r, ask: a, why: w}\n  gate: {type: yes-no" + gate +
                              ", reads: r, ask: a, why: w}\nduties:\n  tie-off: {asks: a, reads: "
                              "r}\n"},
                         small_pack("provisions:\n" + requires_tie_off("a", where))});
    };
    const auto settled = [&](const std::string& values, const std::string& count,
                             const std::string& gate, const std::string& before,
                             const std::string& after) {
        return compare(shelf("boom, mast, pole", "", ", may-not-apply: yes", before),
                       shelf(values, count, gate, after))
            .settled;
    };
    const std::string may = ", may-not-apply: yes";
    // A value that is gone can be in no case of both.
    CHECK(settled("boom, mast, pole", "", may, "kind is boom", "kind is not mast") ==
          Settled::refuted);
    CHECK(settled("boom, mast", "", may, "kind is boom", "kind is not mast") == Settled::proved);
    // Counts are whole, and no case of both is beyond the narrower range.
    CHECK(settled("boom, mast, pole", "", may, "many is more than 5", "many is at least 6") ==
          Settled::proved);
    CHECK(settled("boom, mast, pole", "", may, "many is more than 5", "many is more than 9") ==
          Settled::refuted);
    CHECK(settled("boom, mast, pole", ", from: 1, to: 5", may, "many is more than 5",
                  "many is more than 9") == Settled::proved);
    CHECK(settled("boom, mast, pole", ", to: 5", may, "many is more than 5",
                  "many is more than 9") == Settled::proved);
    // What always applies on one side is yes or no in every case of both.
    CHECK(settled("boom, mast, pole", "", may, "not gate", "gate is no") == Settled::refuted);
    CHECK(settled("boom, mast, pole", "", "", "not gate", "gate is no") == Settled::proved);
}

}  // namespace
}  // namespace toprail::test
