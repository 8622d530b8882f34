// Which paragraphs stand behind the first duty, and which behind the other answers.
#include "deciding/cautions.hpp"
#include "support/small_shelf.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace toprail;
using namespace toprail::test;

namespace {

std::string marked(const std::string& id, const std::string& cite, const std::string& mark,
                   const std::string& effect) {
    return "  - {id: " + id + ", cite: " + cite + ", source: " + mark + ", gist: g, " + effect +
           "}\n";
}

bool has_caution(const Decision& decision, const std::string& caution) {
    return std::count(decision.cautions.begin(), decision.cautions.end(), caution) == 1;
}

}  // namespace

TEST_CASE("caution: behind the first duty stand who governs and what displaces, too") {
    const Shelf shelf = shelf_of(
        {small_vocabulary(),
         small_pack("provisions:\n" +
                        marked("asks", "Rule 1", "read", "duty: tie-off, calls-for: required") +
                        marked("low", "Rule 2", "read", "duty: tie-off, calls-for: not required") +
                        marked("vest", "Rule 3", "read", "duty: vest, calls-for: required") +
                        marked("self", "Rule 4", "memory", "governs: t.one"),
                    "t.one"),
         small_pack(
             "provisions:\n" +
                 marked("over", "Rule 5", "memory", "remarks-on: tie-off, displaces: [t.one/low]") +
                 marked("veils", "Rule 6", "memory", "remarks-on: vest, displaces: [t.one/vest]"),
             "t.two"),
         small_pack("provisions:\n" +
                        marked("vest", "Rule 7", "read", "duty: vest, calls-for: required"),
                    "t.three"),
         small_pack("provisions:\n" + marked("one", "Rule 11", "memory", "governs: t.one") +
                        marked("two", "Rule 12", "memory", "governs: t.two") +
                        marked("three", "Rule 13", "memory", "governs: t.three"),
                    "t.governing", "guidance")});
    const Decision decision = decided(shelf, GivenFacts{});
    CHECK(tie_off(decision).provisions == std::vector<std::string>{"t.one/asks"});
    CHECK(decision.duty("vest")->provisions == std::vector<std::string>{"t.three/vest"});
    REQUIRE(decision.cautions.size() >= 2);
    CHECK(decision.cautions[0] ==
          "unverified: tie-off rests on text that was not read in full at its source; check "
          "Rule 11 (memory); Rule 12 (memory); Rule 5 (memory)");
    CHECK(decision.cautions[1] ==
          "unverified, as to the other answers: they rest on text that was not read in full at "
          "its source; check Rule 13 (memory)");
}

TEST_CASE("caution: an authority without an edition for the date that picks it") {
    const std::string none = "no edition of t.one counts for the date that picks it: nothing was "
                             "weighed under it; ask a competent person";
    const Shelf shelf = shelf_of(
        {small_vocabulary(),
         small_pack("provisions:\n" + requires_tie_off("a"), "t.one", "regulation",
                    "{from: 2000-01-01, verified-through: 2030-01-01, picked-by: made-on}")});
    const Decision absent = decided(shelf, {{"made-on", "does not apply"}});
    CHECK(tie_off(absent).outcome == Outcome::not_addressed);
    CHECK(has_caution(absent, none));
    CHECK_FALSE(has_caution(decided(shelf, {{"made-on", "2000-01-01"}}), none));
    CHECK_FALSE(has_caution(decided(shelf, {{"made-on", "not known"}}), none));
}

TEST_CASE("caution: where the host names the authorities nobody else is heard") {
    const Shelf shelf =
        shelf_of({small_vocabulary(), small_pack("provisions:\n" + requires_tie_off("a"), "t.one"),
                  small_pack("provisions:\n" + requires_tie_off("a"), "t.two")});
    DecideOptions named;
    named.authorities = {"t.two", "t.one"};
    const Decision both = decided(shelf, GivenFacts{}, "2024-06-01", named);
    CHECK(has_caution(both, std::string(named_alone) +
                                "t.one, t.two; what another authority, the maker, the employer, "
                                "the host or the owner of the lift demands is not in this answer"));
    const Decision unnamed = decided(shelf, GivenFacts{});
    CHECK(
        std::none_of(unnamed.cautions.begin(), unnamed.cautions.end(),
                     [](const std::string& caution) { return caution.starts_with(named_alone); }));
}
