// Who governs, and which packs and editions were looked at.
#include "support/governed.hpp"
#include "support/small_shelf.hpp"

#include <doctest/doctest.h>

using namespace toprail;
using namespace toprail::test;

namespace {

using Names = std::vector<std::string>;

// "t.one possibly: t.governing/one; settled by roofed"
Names who_governs(const Decision& decision) {
    Names all;
    for (const Governing& one : decision.governing) {
        std::string text = one.authority + " " + std::string(word(one.governs)) + ":";
        for (const std::string& provision : one.provisions) {
            text += " " + provision;
        }
        text += "; settled by";
        for (const std::string& fact : one.settled_by) {
            text += " " + fact;
        }
        all.push_back(text);
    }
    return all;
}

// "t.one, weighed: possibly on 2024-06-01 (work-date)"
Names packs_of(const Decision& decision) {
    Names all;
    for (const PackUsed& pack : decision.packs) {
        all.push_back(pack.authority + ", " + std::string(word(pack.role)) + ": " +
                      std::string(word(pack.counts)) + " on " + pack.picked_date + " (" +
                      pack.picked_by + ")");
    }
    return all;
}

}  // namespace

TEST_CASE("governing: who does, who may, and what would settle it") {
    const Shelf shelf = test::shelf_with_governing_pack();
    const Decision open = decided(shelf, GivenFacts{});
    CHECK(who_governs(open) == Names{"t.one possibly: t.governing/one; settled by roofed",
                                     "t.two yes: t.governing/two; settled by"});
    CHECK(packs_of(open) == Names{"t.governing, names authorities: yes on 2024-06-01 (work-date)",
                                  "t.one, weighed: possibly on 2024-06-01 (work-date)",
                                  "t.two, weighed: yes on 2024-06-01 (work-date)"});
    const Decision roofed = decided(shelf, {{"roofed", "yes"}});
    CHECK(who_governs(roofed) == Names{"t.one yes: t.governing/one; settled by",
                                       "t.two yes: t.governing/two; settled by"});
    const Decision bare = decided(shelf, {{"roofed", "no"}});
    CHECK(who_governs(bare) == Names{"t.two yes: t.governing/two; settled by"});
    CHECK(packs_of(bare) == Names{"t.governing, names authorities: yes on 2024-06-01 (work-date)",
                                  "t.two, weighed: yes on 2024-06-01 (work-date)"});
    DecideOptions named;
    named.authorities = {"t.one"};
    const Decision one = decided(shelf, {{"roofed", "no"}}, "2024-06-01", named);
    CHECK(who_governs(one) == Names{"t.one yes:; settled by"});
    CHECK(one.governing.at(0).named);
    CHECK(packs_of(one) == Names{"t.one, weighed: yes on 2024-06-01 (work-date)"});
}

TEST_CASE("governing: editions that a date picks, first and last day included") {
    const std::string by_date = ", verified-through: 2030-01-01, picked-by: made-on";
    const Shelf shelf =
        shelf_of({small_vocabulary(),
                  small_pack("provisions:\n" + requires_tie_off("a"), "t.one", "regulation",
                             "{from: 2000-01-01" + by_date + "}"),
                  {"later.yaml", small_pack("provisions:\n" + frees_tie_off("a"), "t.one",
                                            "regulation", "{from: 2010-05-02" + by_date + "}")
                                     .text}});
    CHECK(tie_off(decided(shelf, {{"made-on", "2010-05-01"}})).outcome == Outcome::required);
    CHECK(tie_off(decided(shelf, {{"made-on", "2010-05-02"}})).outcome == Outcome::not_required);
    const auto editions = [&](const char* made_on) {
        Names all;
        for (const PackUsed& pack : decided(shelf, {{"made-on", made_on}}).packs) {
            all.push_back(pack.edition + " " + std::string(word(pack.counts)));
        }
        return all;
    };
    CHECK(editions("2000-01-01") == Names{"2000-01-01 yes"});
    CHECK(editions("2010-05-01") == Names{"2000-01-01 yes"});
    CHECK(editions("2010-05-02") == Names{"2010-05-02 yes"});
    CHECK(editions("not known") == Names{"2000-01-01 possibly", "2010-05-02 possibly"});
    CHECK(editions("does not apply").empty());
}

TEST_CASE("governing: days before the first edition of who governs are no possibility") {
    const auto picked_from = [](const std::string& first) {
        return "{from: " + first + ", verified-through: 2030-01-01, picked-by: made-on}";
    };
    const auto outcome_where = [&](const std::string& condition) {
        const Shelf shelf =
            shelf_of({small_vocabulary(),
                      small_pack("provisions:\n" + requires_tie_off("a", condition), "t.one",
                                 "regulation", picked_from("2000-01-01")),
                      small_pack("provisions:\n" + provision("b", "remarks-on: vest"), "t.two",
                                 "regulation", picked_from("2005-01-01"))});
        return tie_off(decided(shelf, GivenFacts{})).outcome;
    };
    CHECK(outcome_where("made-on is before 2000-01-01") == Outcome::not_addressed);
    // Both govern: the later of their first days counts.
    CHECK(outcome_where("made-on is before 2005-01-01") == Outcome::not_addressed);
    CHECK(outcome_where("made-on is on 2005-01-01") == Outcome::undetermined);
    const auto governed_where_roofed = [&](const std::string& condition) {
        const Shelf shelf =
            shelf_of({small_vocabulary(),
                      small_pack("provisions:\n" + requires_tie_off("a", condition), "t.one"),
                      small_pack("provisions:\n" + provision("b", "remarks-on: vest"), "t.two",
                                 "regulation", picked_from("2005-01-01")),
                      small_pack("provisions:\n" + provision("one", "governs: t.one") +
                                     provision("two", "governs: t.two", "roofed"),
                                 "t.governing", "guidance")});
        return tie_off(decided(shelf, GivenFacts{}));
    };
    // Under a roof such a day has no answer, so both together are none; apart they are some.
    CHECK(governed_where_roofed("{all-of: [roofed, made-on is before 2005-01-01]}").outcome ==
          Outcome::not_addressed);
    CHECK(governed_where_roofed("made-on is before 2005-01-01").outcome == Outcome::undetermined);
    CHECK(governed_where_roofed("{all-of: [roofed, made-on is on 2005-01-01]}").outcome ==
          Outcome::undetermined);
    // What decides which days have an answer settles nothing by itself.
    CHECK(governed_where_roofed("gate-open").settled_by == Names{"gate-open"});
    CHECK(governed_where_roofed("made-on is before 2005-01-01").settled_by == Names{"made-on"});
    CHECK(governed_where_roofed("{any-of: [gate-open, mechanism is boom]}").settled_by ==
          Names{"gate-open", "mechanism"});
}
