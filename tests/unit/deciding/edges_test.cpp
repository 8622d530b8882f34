// What the shipped shelf has no case of: facts without bounds, formulas that come to a figure or to
// nothing, laws that are not in force, and nobody who governs.
#include "support/small_shelf.hpp"
#include "toprail/changes.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace toprail;
using namespace toprail::test;

namespace {

/// Facts: free (a length), low (one of at most 10 ft), deep (one of at least 3 ft), tally (a
/// count), since (a day), share (a ratio, at most 5).
SourceText unbounded() {
    return {"vocabulary.yaml", R"(vocabulary: small
title: Words without bounds
standings:
  regulation: {rank: 2, may: [require, relax, limit, explain]}
facts:
  free: {type: length, unit: ft, reads: it, ask: "How far?", why: w}
  low: {type: length, unit: ft, to: 10 ft, reads: it, ask: "How low?", why: w}
  deep: {type: length, unit: ft, from: 3 ft, reads: it, ask: "How deep?", why: w}
  tally: {type: count, reads: the tally, ask: "How many?", why: w}
  since: {type: date, reads: the first day, ask: "Since when?", why: w}
  share: {type: ratio, to: 5, reads: the share, ask: "What share?", why: w}
duties:
  tie-off: {asks: "Must the person be tied off?", reads: tie-off}
)"};
}

Outcome outcome_of(const std::string& provisions, GivenFacts facts = {}) {
    const Shelf shelf = shelf_of({unbounded(), small_pack("provisions:\n" + provisions)});
    return tie_off(decided(shelf, facts)).outcome;
}

bool says(const Decision& decision, const std::string& piece) {
    return std::any_of(
        decision.cautions.begin(), decision.cautions.end(),
        [&piece](const std::string& each) { return each.find(piece) != std::string::npos; });
}

std::string help_of(const Shelf& shelf, std::string_view fact, std::string_view value) {
    const Answer answer = shelf.decide(facts_of({{fact, value}}), day("2024-06-01"));
    REQUIRE(answer.findings.size() == 1);
    return answer.findings[0].message + "; " + answer.findings[0].help;
}

}  // namespace

TEST_CASE("edges: thresholds on a fact without bounds leave nothing between them") {
    for (const char* fact : {"free", "low", "deep"}) {
        const std::string name = fact;
        CAPTURE(name);
        CHECK(outcome_of(requires_tie_off("a", name + " is more than 5 ft") +
                         requires_tie_off("b", name + " is at most 5 ft")) == Outcome::required);
        CHECK(outcome_of(requires_tie_off("a", name + " is more than 5 ft") +
                         requires_tie_off("b", name + " is less than 5 ft")) ==
              Outcome::undetermined);
        CHECK(outcome_of(requires_tie_off("a", name + " is less than 5 ft") +
                         requires_tie_off("b", name + " is exactly 5 ft") +
                         requires_tie_off("c", name + " is more than 5 ft")) == Outcome::required);
        CHECK(outcome_of(requires_tie_off("a", name + " is more than 5 ft"), {{fact, "5 ft"}}) ==
              Outcome::not_addressed);
    }
    CHECK(outcome_of(requires_tie_off("a", "tally is more than 5") +
                     requires_tie_off("b", "tally is less than 6")) == Outcome::required);
    CHECK(outcome_of(requires_tie_off("a", "tally is more than 5") +
                     requires_tie_off("b", "tally is less than 5")) == Outcome::undetermined);
    CHECK(outcome_of(requires_tie_off("a", "tally is less than 6")) == Outcome::undetermined);
    CHECK(outcome_of(requires_tie_off("a", "share is at most 5")) == Outcome::required);
}

TEST_CASE("edges: values past one bound are refused with that bound") {
    const Shelf shelf =
        shelf_of({unbounded(), small_pack("provisions:\n" + requires_tie_off("a"))});
    CHECK(help_of(shelf, "low", "11 ft").find("at most 10 ft") != std::string::npos);
    CHECK(help_of(shelf, "deep", "2 ft").find("at least 3 ft") != std::string::npos);
    CHECK(help_of(shelf, "share", "some").find("a number") != std::string::npos);
    CHECK(help_of(shelf, "since", "does not apply").find("a day such as 2024-06-01") !=
          std::string::npos);
    CHECK(help_of(shelf, "share", "6").find("at most 5") != std::string::npos);
    const Shelf small = small_shelf(requires_tie_off("a"));
    CHECK(help_of(small, "made-on", "yesterday").find("such as 2024-06-01") != std::string::npos);
    for (const char* written : {"20240601", "2024/06/01", "2024.6.1"}) {
        CHECK(help_of(small, "made-on", written).find("write 2024-06-01") != std::string::npos);
    }
    for (const char* written : {"6/1/2024", "20240631", "2024", "2024-06-01-02"}) {
        CHECK(help_of(small, "made-on", written).find("year-month-day") != std::string::npos);
    }
    CHECK(help_of(small, "weight", "-1 lb").find("at least 0 lb") != std::string::npos);
}

TEST_CASE("edges: formulas that come to a figure, to nothing, or to what one fact decides") {
    const auto with = [](const std::string& formula, const std::string& where, GivenFacts facts) {
        const Shelf shelf = shelf_of(
            {small_vocabulary(),
             small_pack("conditions:\n  open: {reads: it is open, is: gate-open}\nquantities:\n"
                        "  x: {kind: length, unit: ft, reads: x, " +
                        formula + "}\nprovisions:\n" + requires_tie_off("a", where))});
        return tie_off(decided(shelf, facts)).outcome;
    };
    CHECK(with("equals: \"6 ft + 3 ft\"", "x is more than 8 ft", {}) == Outcome::required);
    CHECK(with("equals: \"max(6 ft, 9 ft)\"", "x is more than height", {}) ==
          Outcome::undetermined);
    // Whatever the height is, it takes itself away; a depth may not apply.
    CHECK(with("equals: height - height", "x is at most 0 ft", {}) == Outcome::required);
    CHECK(with("equals: height - height", "x is more than 0 ft", {}) == Outcome::not_addressed);
    CHECK(with("equals: depth - depth", "x is at most 0 ft", {}) == Outcome::undetermined);
    CHECK(with("equals: depth - depth", "x is at most 0 ft", {{"depth", "3 ft"}}) ==
          Outcome::required);
    // Where no piece counts there is no value, and nothing is so of it.
    const std::string pieces = "pieces: [{where: open, equals: height}]";
    CHECK(with(pieces, "x is at least 0 ft", {{"gate-open", "no"}}) == Outcome::not_addressed);
    CHECK(with(pieces, "x is at least 0 ft", {{"gate-open", "yes"}}) == Outcome::required);
    CHECK(with(pieces, "x is at least 0 ft", {}) == Outcome::undetermined);
    // The lesser of a known and an unknown, and of two ranges that do not meet.
    CHECK(with("equals: \"min(height, 501 ft)\"", "x is at most 500 ft", {}) == Outcome::required);
    CHECK(with("equals: \"max(width, 600 ft)\"", "x is at least 600 ft", {}) == Outcome::required);
    CHECK(with("equals: \"min(depth, 4 ft)\"", "x is at most 4 ft",
               {{"depth", "does not apply"}}) == Outcome::not_addressed);
}

TEST_CASE("edges: more ways than a formula is followed in leave the case open, never wrong") {
    std::string pieces = "pieces: [";
    for (int i = 1; i <= 40; ++i) {
        pieces += "{where: height is at most " + std::to_string(i) + " ft, equals: width + " +
                  std::to_string(i) + " ft}, ";
    }
    pieces += "{equals: 300 ft}]";
    const Shelf shelf = shelf_of(
        {small_vocabulary(),
         small_pack("quantities:\n  x: {kind: length, unit: ft, reads: x, " + pieces +
                    "}\n  y: {kind: length, unit: ft, reads: y, equals: x + x}\nprovisions:\n" +
                    requires_tie_off("a", "y is at least 4 ft"))});
    // The width is at least 1 ft: y is never less than 4 ft, which may be too much to find.
    const Outcome open = tie_off(decided(shelf, GivenFacts{})).outcome;
    CHECK((open == Outcome::required || open == Outcome::undetermined));
    CHECK(tie_off(decided(shelf, {{"height", "7 ft"}, {"width", "2 ft"}})).outcome ==
          Outcome::required);
}

TEST_CASE("edges: a law that is not in force is told, and where nobody governs that is told") {
    const auto law = [](const std::string& edition, const std::string& where) {
        return shelf_of({small_vocabulary(),
                         small_pack("provisions:\n" + provision("itself", "governs: t.law", where) +
                                        requires_tie_off("asks"),
                                    "t.law", "regulation", edition),
                         small_pack("provisions:\n" + provision("own", "remarks-on: tie-off"),
                                    "t.other", "guidance")});
    };
    const std::string later = "{from: 2030-01-01, verified-through: 2031-01-01, picked-by: "
                              "work-date}";
    const std::string ended = "{from: 2000-01-01, until: 2010-12-31, verified-through: 2010-01-01, "
                              "picked-by: work-date}";
    const auto told = [](const Shelf& shelf, GivenFacts facts, const std::string& piece) {
        return says(decided(shelf, facts), piece);
    };
    const std::string begins = "no edition of t.law counts on 2024-06-01: it begins on 2030-01-01";
    CHECK(told(law(ended, ""), {}, "no edition of t.law counts on 2024-06-01: it ended"));
    CHECK(told(law(ended, "roofed"), {{"roofed", "yes"}}, "it ended, and nothing was weighed"));
    CHECK(told(law(ended, "roofed"), {}, "it ended, and nothing was weighed"));
    CHECK_FALSE(told(law(ended, "roofed"), {{"roofed", "no"}}, "no edition of t.law"));
    CHECK(told(law(ended, "roofed"), {{"roofed", "no"}}, "no rulepack on the shelf governs"));
    CHECK(told(law(later, ""), {}, begins));
    CHECK(told(law(later, "roofed"), {}, begins));
    DecideOptions law_itself;
    law_itself.authorities = {"t.law"};
    CHECK(says(decided(law(ended, ""), GivenFacts{}, "2024-06-01", law_itself),
               "no edition of t.law counts for the date that picks it"));
    // A host that names the other is not told what was not asked.
    DecideOptions named;
    named.authorities = {"t.other"};
    CHECK_FALSE(says(decided(law(ended, ""), GivenFacts{}, "2024-06-01", named), "no edition of"));
}

TEST_CASE("edges: a change after which nobody speaks of the duty is one to not addressed") {
    const Shelf shelf = shelf_of(
        {small_vocabulary(),
         small_pack("provisions:\n" + provision("who", "governs: t.site", "roofed"), "t.policy"),
         small_pack("provisions:\n" +
                        provision("vest", "duty: vest, calls-for: required", "gate-open"),
                    "t.site")});
    const Changes found = smallest_changes(
        shelf, facts_of({{"roofed", "yes"}, {"gate-open", "yes"}}), day("2024-06-01"), "vest");
    CHECK(found.outcome == Outcome::required);
    CHECK(found.size == 1);
    std::size_t by_roof = 0;
    for (const Change& change : found.changes) {
        CHECK(change.outcome == Outcome::not_addressed);
        by_roof += change.facts.at(0).fact == "roofed" ? 1U : 0U;
    }
    CHECK(by_roof > 0);
}

// Wherever the budget runs out - over outcomes, dates, limits, choices or the plan - the answer is
// wider, and what it says is so.
TEST_CASE("edges: at every budget what is said holds of the exact answer") {
    const Shelf shelf = shelf_of(
        {small_vocabulary(),
         small_pack("conditions:\n  railed: {reads: railed, is: guardrail is complete}\n"
                    "provisions:\n" +
                        requires_tie_off("a", "{any-of: [{all-of: [gate-open, railed]}, {all-of: "
                                              "[gate-open, not railed]}, roofed]}") +
                        frees_tie_off("b", "{all-of: [not gate-open, height is at most 6 ft]}",
                                      "displaces: [a]") +
                        provision("relief", "relaxes: [a], terms: Keep low.", "mechanism is mast") +
                        provision("cap", "limit: height, at-most: 20 ft",
                                  "{any-of: [roofed, gate-open]}") +
                        provision("bar", "choice: means, bars: [arrest]",
                                  "{all-of: [not roofed, not gate-open]}"),
                    "test.pack", "regulation",
                    "{from: 2000-01-01, verified-through: 2030-01-01, picked-by: made-on}"),
         small_pack("provisions:\n" + provision("who", "governs: test.pack", "not roofed"),
                    "t.policy")});
    const GivenFacts facts{{"height", "30 ft"}, {"tied-off", "no"}};
    const Decision exact = decided(shelf, facts);
    for (std::size_t budget = 0; budget < 250; ++budget) {
        DecideOptions how;
        how.budget = budget;
        const Decision wide = decided(shelf, facts, "2024-06-01", how);
        CAPTURE(budget);
        for (const DutyDecision& duty : exact.duties) {
            const std::vector<Outcome>& possible = wide.duty(duty.duty)->possible;
            for (const Outcome each : duty.possible) {
                CHECK(std::find(possible.begin(), possible.end(), each) != possible.end());
            }
        }
        for (const Step& step : exact.trail) {
            const Status status = status_of(wide, step.provision);
            CHECK((status == step.status || status == Status::open));
        }
        REQUIRE(wide.fit.size() == exact.fit.size());
        for (std::size_t i = 0; i < exact.fit.size(); ++i) {
            CHECK((wide.fit[i].verdict == exact.fit[i].verdict ||
                   wide.fit[i].verdict == Verdict::open));
        }
    }
}
