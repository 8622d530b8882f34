// One case that has everything at once: a contest, an exception, choices, limits, formulas, named
// conditions and displacement. Page, text, drawing and JSON each say all of it.
#include "support/small_shelf.hpp"
#include "toprail/telling.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <initializer_list>

namespace toprail::test {
namespace {

const Shelf& rich_shelf() {
    static const Shelf shelf = shelf_of(
        {small_vocabulary(),
         small_pack("conditions:\n  high: {reads: it is high up, is: height is more than 30 ft}\n"
                    "provisions:\n" +
                    requires_tie_off("asks", "{all-of: [high, mechanism is scissor]}",
                                     "source-note: read off a board") +
                    frees_tie_off("frees", "guardrail is complete") +
                    provision("relief", "relaxes: [asks], terms: Keep low.", "roofed") +
                    provision("bar", "choice: anchor, bars: [boom]") +
                    provision("may-bar", "choice: anchor, bars: [basket]", "gate-open") +
                    provision("no-arrest", "choice: means, bars: [arrest]") +
                    provision("no-restraint", "choice: means, bars: [restraint]", "roofed") +
                    provision("cap", "limit: reach, at-most: 60 ft") +
                    provision("wide-cap", "limit: reach, at-most: 90 ft") +
                    provision("low-cap", "limit: reach, at-most: 20 ft", "gate-open") +
                    provision("floor", "limit: reach, at-least: 5 ft") +
                    provision("watch", "duty: vest, calls-for: required", "roofed") +
                    provision("over", "remarks-on: vest", "roofed", "displaces: [watch]"))});
    return shelf;
}

Decision rich_case() {
    return decided(rich_shelf(), {{"height", "40 ft"},
                                  {"width", "10 ft"},
                                  {"mechanism", "scissor"},
                                  {"guardrail", "complete"},
                                  {"roofed", "yes"},
                                  {"tied-off", "no"},
                                  {"depth", "does not apply"}});
}

/// What is not said stands in the message of the failed test.
void check_says(const std::string& text, std::initializer_list<std::string> pieces) {
    for (const std::string& piece : pieces) {
        CHECK_MESSAGE(text.find(piece) != std::string::npos, piece, "\nis not in\n", text);
    }
}

void check_silent(const std::string& text, std::initializer_list<std::string> pieces) {
    for (const std::string& piece : pieces) {
        CHECK_MESSAGE(text.find(piece) == std::string::npos, piece, "\nis in\n", text);
    }
}

TEST_CASE("rich case: the page") {
    const Decision decision = rich_case();
    const std::string page = tell_html(decision, "lift", {}, Length::everything, "made by hand");
    check_says(
        page,
        {"<p>made by hand</p>", "<p class=\"outcome\">required with exception (contested)</p>",
         "<p>On these terms: Keep low. (Rule relief)</p>",
         "(since the height is more than 30 ft (height: 40 ft): true)",
         "<br>source: read off a board</li>", "<p>Not addressed: a vest.</p>",
         "<th scope=\"row\">the anchor</th><td>structure</td><td>basket (Rule "
         "may-bar)</td><td>boom "
         "(Rule bar)</td>",
         "<td>nothing satisfies every authority: stop and ask</td><td>none</td><td>arrest (Rule "
         "no-arrest); restraint (Rule no-restraint)</td>",
         "<td>at most 60 ft (strictest)</td>", "<td>at least 5 ft (strictest)</td>",
         "<td>if gate-open is yes: at most 20 ft</td>", "<td>at most 90 ft</td>",
         "<th scope=\"row\">means</th><td>not met</td>",
         "<td>50 ft</td><td>height + width</td><td>40 ft + 10 ft</td>",
         "<td>displaced; displaced by test.pack/over</td>"});
    // A bound that another one is stricter than is for those who want everything.
    const std::string shorter = tell_html(decision, "lift", {}, Length::reasons);
    check_says(shorter, {"at most 60 ft (strictest)", "at most 20 ft"});
    check_silent(shorter, {"at most 90 ft", "(since the height", "Figures worked out"});
}

TEST_CASE("rich case: the text") {
    const Decision decision = rich_case();
    const std::string text = tell_text(decision, "lift", {}, Length::everything);
    check_says(text, {"REQUIRED WITH EXCEPTION (contested)", "on these terms: Keep low.",
                      "source: read off a board", "NOTHING SATISFIES EVERY AUTHORITY: stop and ask",
                      "50 ft = height + width = 40 ft + 10 ft", "displaced by test.pack/over",
                      "if gate-open is yes:"});
    check_silent(tell_text(decision, "lift", {}, Length::answer),
                 {"Gist of asks", "height + width", "barred: boom"});
}

TEST_CASE("rich case: the drawing") {
    const std::string dot = draw_dot(rich_case(), "lift");
    check_says(dot,
               {"\"fact/height\" [shape=plain,label=\"height: 40 ft\"]",
                "\"fact/gate-open\" [shape=plain,label=\"gate-open: not known\"]",
                "\"test.pack/watch\" [shape=box,style=dotted,",
                "\"test.pack/may-bar\" [shape=box,style=dashed,",
                "\"test.pack/over\" -> \"test.pack/watch\" [style=dashed,label=displaces];",
                "label=\"anchor: structure\"", "label=\"means: nothing satisfies every authority\"",
                // Both ends of what is allowed, not the last that was looked at.
                "label=\"reach: at most 60 ft; at least 5 ft\""});
    const Shelf shelf =
        small_shelf(requires_tie_off("a", "{none-of: [depth is less than 5 ft]}") +
                    provision("b", "choice: means, bars: [arrest, restraint]", "gate-open"));
    const std::string open = draw_dot(decided(shelf, {{"depth", "does not apply"}}), "lift");
    check_says(open, {"depth: does not apply", "label=\"means: none for certain\""});
}

TEST_CASE("rich case: the JSON") {
    std::string text;
    append_json(text, rich_case(), "lift");
    const nlohmann::json json = nlohmann::json::parse(text);
    CHECK(json["duties"]["tie-off"]["contested"] == "yes");
    CHECK(json["duties"]["tie-off"]["terms"]["test.pack/relief"] == "Keep low.");
    CHECK(json["choices"]["means"]["empty"] == "yes");
    CHECK(json["limits"]["reach"]["bounds"][2]["if"] == "gate-open is yes");
    CHECK(json["quantities"][0]["filled-in"] == "40 ft + 10 ft");
    CHECK(json["facts"]["depth"]["value"] == "does not apply");
    std::size_t displaced = 0;
    for (const nlohmann::json& step : json["trail"]) {
        displaced += step.contains("displaced-by") ? 1U : 0U;
        CHECK(step.contains("displaced-by") == (step["provision"] == "test.pack/watch"));
    }
    CHECK(displaced == 1);
}

// As a receipt is retold: it may not record who picked an edition, who adopted it, or the step of
// a provision that it names.
TEST_CASE("told from a record: what it leaves out is said, or named as it stands") {
    Decision decision = rich_case();
    decision.governing.clear();
    decision.trail.clear();
    decision.fit.clear();
    for (FactEntry& fact : decision.facts) {
        fact.state = fact.name == "roofed" ? FactState::not_known : fact.state;
    }
    decision.packs = {PackUsed{}, PackUsed{}, PackUsed{}};
    decision.packs[0].role = PackRole::adopted;
    decision.packs[1].role = PackRole::adopted;
    decision.packs[1].adopted_by = "hall.rules";
    decision.packs[2].role = PackRole::names_authorities;
    decision.packs[2].picked_by = "work-date";
    const std::string page = tell_html(decision, "lift", {}, Length::everything);
    check_says(page, {"<p>No authority on the shelf governs this case.</p>", ": , adopted</th>",
                      ": , adopted by hall.<wbr>rules</th>", ", which says who governs</th>",
                      "<td>not recorded</td>", "<td>never</td>", "(test.pack/relief)",
                      "<th scope=\"row\">roofed</th><td>not known</td>"});
    check_silent(page, {"The plan held against it"});
    check_says(tell_text(decision, "lift", {}, Length::everything),
               {"(test.pack/relief)", "roofed: not known"});
    std::string json;
    append_json(json, decision, "lift");
    CHECK(nlohmann::json::parse(json)["facts"]["roofed"]["value"] == "not known");
}

TEST_CASE("told: the same paragraph under two authorities stands once") {
    const auto with = [](const std::string& id) {
        return small_pack("provisions:\n" + requires_tie_off("same"), id);
    };
    const Shelf shelf = shelf_of({small_vocabulary(), with("t.one"), with("t.two")});
    const Decision decision = decided(shelf, GivenFacts{});
    const std::string page = tell_html(decision, "lift", {}, Length::reasons);
    const std::size_t first = page.find("<li>Gist of same.");
    REQUIRE(first != std::string::npos);
    CHECK(page.find("<li>Gist of same.", first + 1) == std::string::npos);
}

TEST_CASE("told: an answer that holds whichever way an open fact turns says so") {
    const Shelf shelf =
        small_shelf(requires_tie_off("in", "roofed") + requires_tie_off("out", "not roofed"));
    const Decision decision = decided(shelf, {{"tied-off", "yes"}});
    REQUIRE(tie_off(decision).outcome == Outcome::required);
    const std::string page = tell_html(decision, "lift", {}, Length::reasons);
    check_says(page, {"<p class=\"outcome\">required</p>", "whichever way",
                      "<th scope=\"row\">tie-off</th><td>met</td>"});
    // A plan meets a duty that asks nothing of it; that is no news.
    const Decision quiet = decided(small_shelf(frees_tie_off("all")), {{"tied-off", "no"}});
    check_silent(tell_html(quiet, "lift"), {"<th scope=\"row\">tie-off</th><td>met</td>"});
}

TEST_CASE("told: a line of any text is one line") {
    CHECK(tell_line("a  b\nc\td") == tell_line("a b\nc\td"));
    CHECK(tell_line("a    b") == "a b");
    CHECK(tell_line("one\ntwo").find('\n') == std::string::npos);
    CHECK(tell_line("") == "");
}

TEST_CASE("told: JSON holds any bytes, and shows what hides") {
    Decision decision = rich_case();
    decision.cautions = {"\xFF", "\xF3\xA0\x80\x81", "\x01\"\\", "\xE2\x80\xAE",
                         "Gr\xC3\xBC\xC3\x9F"};
    std::string text;
    append_json(text, decision, "lift");
    check_says(text, {"\"\\ufffd\"", "\"\\udb40\\udc01\"", "\"\\u0001\\\"\\\\\"", "\"\\u202e\"",
                      "\"Gr\xC3\xBC\xC3\x9F\""});
    CHECK(nlohmann::json::parse(text)["cautions"][1] == "\xF3\xA0\x80\x81");
}

TEST_CASE("told: a finding in JSON has its other places") {
    const LoadedShelf loaded =
        load_shelf({small_vocabulary(), small_pack("provisions:\n" + requires_tie_off("twice") +
                                                   requires_tie_off("twice"))});
    std::string text;
    append_json(text, loaded.findings);
    const nlohmann::json json = nlohmann::json::parse(text);
    REQUIRE(json.size() == 1);
    CHECK(json[0]["severity"] == "error");
    REQUIRE(json[0]["others"].size() == 1);
    CHECK_FALSE(json[0]["others"][0]["says"].get<std::string>().empty());
    CHECK(json[0]["others"][0].dump() != json[0].dump());
}

}  // namespace
}  // namespace toprail::test
