#include "findings/text.hpp"
#include "support/small_shelf.hpp"
#include "toprail/telling.hpp"

#include <doctest/doctest.h>

#include <sstream>

using namespace toprail;
using namespace toprail::test;

namespace {

std::vector<std::string> lines(const std::string& text) {
    std::vector<std::string> all;
    std::istringstream stream(text);
    for (std::string line; std::getline(stream, line);) {
        all.push_back(line);
    }
    return all;
}

bool has(const std::string& text, std::string_view part) {
    return text.find(part) != std::string::npos;
}

Shelf boom_shelf() {
    return small_shelf(requires_tie_off("asks", "mechanism is boom") +
                       frees_tie_off("frees", "mechanism is scissor"));
}

}  // namespace

TEST_CASE("text: the answer comes first") {
    const std::string text =
        tell_text(decided(boom_shelf(), {{"mechanism", "boom"}}), "lift-1", "by the window");
    const std::vector<std::string> all = lines(text);
    REQUIRE(all.size() > 3);
    CHECK(all[0] == "lift-1");
    CHECK(all[1] == "  described as: by the window");
    CHECK(all[2] == "  tie-off               REQUIRED");
    CHECK(has(text, "Gist of asks."));
    CHECK(has(text, "mechanism: boom"));
    CHECK(has(text, "Rule asks"));
    CHECK(has(text, "[regulation, read]"));
}

TEST_CASE("text: the outcomes as people read them") {
    const auto second_line = [](GivenFacts facts) {
        return lines(tell_text(decided(boom_shelf(), facts), "x"))[1];
    };
    CHECK(second_line({{"mechanism", "scissor"}}) == "  tie-off               NOT REQUIRED");
    CHECK(second_line({{"mechanism", "mast"}}) == "  tie-off               NOT ADDRESSED");
    CHECK(second_line({}) ==
          "  tie-off               UNDETERMINED: required or not required or not addressed");
}

TEST_CASE("text: an open answer says what settles it and how to act until then") {
    const std::string text = tell_text(decided(boom_shelf(), GivenFacts{}), "x");
    CHECK(has(text, "settled by: mechanism"));
    CHECK(has(text, "until then act as if required"));
}

TEST_CASE("text: longer tellings hold the shorter ones' answer") {
    const Decision decision = decided(boom_shelf(), {{"mechanism", "boom"}});
    const std::string answer = tell_text(decision, "x", {}, Length::answer);
    const std::string reasons = tell_text(decision, "x", {}, Length::reasons);
    const std::string everything = tell_text(decision, "x", {}, Length::everything);
    CHECK(answer.size() < reasons.size());
    CHECK(reasons.size() < everything.size());
    CHECK(has(answer, "REQUIRED"));
    CHECK_FALSE(has(answer, "Gist of asks."));
    CHECK(has(everything, "test.pack/frees: falls"));
}

TEST_CASE("text: what rests on unread text says so") {
    const Shelf shelf = shelf_of(
        {small_vocabulary(),
         small_pack("provisions:\n  - {id: a, cite: Rule 7, source: memory, gist: Tie off., "
                    "duty: tie-off, calls-for: required}\n")});
    const Decision decision = decided(shelf, GivenFacts{});
    REQUIRE_FALSE(decision.cautions.empty());
    CHECK(has(decision.cautions.front(), "unverified"));
    CHECK(has(decision.cautions.front(), "Rule 7"));
    CHECK(has(tell_text(decision, "x"), "unverified"));
    CHECK_FALSE(has(tell_text(decided(boom_shelf(), {{"mechanism", "boom"}}), "x"), "unverified"));
}

TEST_CASE("text: the first duty's unread paragraphs are named apart, each once") {
    const auto marked = [](const std::string& id, const std::string& cite, const std::string& mark,
                           const std::string& effect) {
        return "  - {id: " + id + ", cite: " + cite + ", source: " + mark +
               ", gist: g, where: mechanism is boom, " + effect + "}\n";
    };
    const Shelf shelf = shelf_of(
        {small_vocabulary(),
         small_pack("provisions:\n" +
                    marked("a", "Rule 1", "read-part", "duty: tie-off, calls-for: required") +
                    marked("b", "Rule 1", "memory", "duty: tie-off, calls-for: required") +
                    marked("c", "Rule 2", "read", "duty: tie-off, calls-for: required") +
                    marked("d", "Rule 3", "secondary", "duty: vest, calls-for: required") +
                    marked("e", "Rule 1", "memory", "duty: vest, calls-for: required") +
                    marked("f", "Rule 4", "memory", "remarks-on: vest"))});
    const Decision decision = decided(shelf, {{"mechanism", "boom"}});
    REQUIRE(decision.cautions.size() == 3);
    CHECK(decision.cautions[0] == "unverified: tie-off rests on text that was not read in full at "
                                  "its source; check Rule 1 (memory, read-part)");
    CHECK(decision.cautions[1] ==
          "unverified, as to the other answers: they rest on text that was not read in full at "
          "its source; check Rule 3 (secondary)");
    // Where it falls nothing rests on it.
    CHECK(decided(shelf, {{"mechanism", "mast"}}).cautions.size() == 1);
}

TEST_CASE("text: sources of facts, and what a named condition comes down to, are told") {
    const Shelf shelf = shelf_of(
        {small_vocabulary(),
         small_pack("conditions:\n  high: {reads: it is high up, is: height is more than 6 ft}\n"
                    "provisions:\n" +
                    requires_tie_off("asks", "high"))});
    Facts facts;
    facts.set("height", "8 ft", "tape measure").set("mechanism", "boom");
    const Decision decision = decided(shelf, facts);
    REQUIRE(decision.trail.at(0).because.at(0).since.size() == 1);
    CHECK(decision.trail[0].because[0].since[0].says ==
          "the height is more than 6 ft (height: 8 ft)");
    const std::string reasons = tell_text(decision, "x");
    CHECK(has(reasons, "height: 8 ft, from: tape measure"));
    CHECK_FALSE(has(reasons, "mechanism: boom, from"));
    CHECK_FALSE(has(reasons, "more than 6 ft"));
    const std::string everything = tell_text(decision, "x", {}, Length::everything);
    CHECK(has(everything, "mechanism: boom, from: not told"));
    CHECK(has(everything, "the height is more than 6 ft (height: 8 ft): true"));
}

TEST_CASE("text: an adopted provision names the rulepack it was written in") {
    const Shelf shelf = shelf_of(
        {small_vocabulary(), small_pack("provisions:\n" + requires_tie_off("asks"), "base.pack"),
         small_pack("adopts: {rulepack: base.pack, cite: Own 1, source: read}\n")});
    DecideOptions under;
    under.authorities = {"test.pack"};
    const Decision decision = shelf.decide(Facts(), day("2024-06-01"), under).decision.value();
    CHECK(decision.trail.at(0).provision == "test.pack/asks");
    CHECK(decision.trail[0].adopted_from == "base.pack");
    CHECK(has(tell_text(decision, "x"), "adopted from base.pack by test.pack: Own 1 (read)"));
    // Of its own provisions nothing of the kind is said.
    under.authorities = {"base.pack"};
    CHECK(shelf.decide(Facts(), day("2024-06-01"), under).decision->trail.at(0).adopted_from == "");
}

TEST_CASE("text: the rulepack that says who governs is listed with its edition") {
    const Decision decision = decided(shipped_shelf(), {{"lift-mechanism", "telescopic-boom"},
                                                        {"state", "washington"},
                                                        {"industry", "construction"}});
    std::size_t naming = 0;
    for (const PackUsed& pack : decision.packs) {
        naming += pack.role == PackRole::names_authorities && pack.authority == "us.governing";
    }
    CHECK(naming == 1);
    CHECK(has(tell_text(decision, "x"), "us.governing (says who governs)"));
}

TEST_CASE("text: a date past the last comparison says so") {
    const Shelf shelf = boom_shelf();
    CHECK(has(tell_text(decided(shelf, {{"mechanism", "boom"}}, "2030-01-02"), "x"),
              "not verified for this date"));
    CHECK_FALSE(has(tell_text(decided(shelf, {{"mechanism", "boom"}}, "2030-01-01"), "x"),
                    "not verified for this date"));
}

TEST_CASE("text: local codes, the manual and a competent person come first, always") {
    for (const char* mechanism : {"boom", "scissor", "mast"}) {
        const Decision decision = decided(boom_shelf(), {{"mechanism", mechanism}});
        REQUIRE_FALSE(decision.cautions.empty());
        CHECK(has(decision.cautions.back(), "competent"));
    }
}

TEST_CASE("text: hidden characters of a fact are shown as their code points") {
    Facts facts;
    facts.set("mechanism", "boom");
    const std::string text =
        tell_text(decided(boom_shelf(), facts), "lift\xE2\x80\xAE-1", "\x1b[2J");
    CHECK(has(text, "lift<U+202E>-1\n  described as: <U+001B>[2J"));
    CHECK_FALSE(has(text, "\x1b"));
}

TEST_CASE("text: lines stay within a hundred characters where words allow it") {
    const Decision decision = decided(shipped_shelf(), {{"lift-mechanism", "telescopic-boom"},
                                                        {"state", "washington"},
                                                        {"industry", "construction"}});
    for (const Length length : {Length::answer, Length::reasons, Length::everything}) {
        for (const std::string& line : lines(tell_text(decision, "case", {}, length))) {
            CHECK_MESSAGE(count_characters(line) <= 100, line);
        }
    }
}
