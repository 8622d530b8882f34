// The page and the drawing: whole, safe with any text, and saying the same as the decision.
#include "support/small_shelf.hpp"
#include "toprail/telling.hpp"

#include <doctest/doctest.h>

#include <set>

namespace toprail::test {
namespace {

/// A case of the demo shelf's kind, small enough to look at.
Decision decided(const std::string& from) {
    static const Shelf shelf = shelf_of({{"words.yaml", R"(vocabulary: hall
title: Words of an invented hall
standings:
  regulation: {rank: 2, may: [require, relax, limit, explain]}
facts:
  machine: {type: choice, values: [boom, scissor], reads: m, ask: m, why: w}
  height: {type: length, unit: ft, from: 0 ft, to: 500 ft, reads: h, ask: h, why: w}
  rails: {type: yes-no, reads: r, ask: r, why: w}
duties:
  tie-off: {asks: "Must <they> be tied off?", reads: tie-off}
)"},
                                         {"rules.yaml", R"(rulepack: hall.rules
title: Rules of the hall
format: 1
standing: regulation
vocabulary: [hall]
edition: {from: 2020-01-01, verified-through: 2025-01-01, picked-by: work-date}
provisions:
  - {id: boom, cite: Hall 1 & 2, source: read, where: machine is boom, gist: "Say \"yes\".", duty: tie-off, calls-for: required}
  - {id: open, cite: Hall 3, source: read, where: {none-of: [rails]}, gist: g, duty: tie-off, calls-for: required}
  - {id: line, cite: Hall 4, source: read, gist: g, limit: height, at-most: 40 ft}
)"}});
    Facts facts;
    facts.set("machine", "scissor", from);
    facts.set("height", "12.5 ft");
    return shelf.decide(facts, day("2024-06-01")).decision.value();
}

std::size_t count(const std::string& text, const std::string& piece) {
    std::size_t n = 0;
    for (std::size_t at = text.find(piece); at != std::string::npos;
         at = text.find(piece, at + 1)) {
        ++n;
    }
    return n;
}

TEST_CASE("page: landmarks, headings, language and table heads are there") {
    const std::string page = tell_html(decided("plate"), "lift", "says", Length::everything);
    CHECK(page.starts_with("<!DOCTYPE html>\n<html lang=\"en\">"));
    for (const char* once : {"<h1>", "<main>", "</main>", "<header>", "<footer>", "<title>"}) {
        CHECK(count(page, once) == 1);
    }
    CHECK(count(page, "<section ") == count(page, "<h2 "));
    CHECK(count(page, "<table>") == count(page, "<caption>"));
    CHECK(count(page, "<tbody>\n<tr><td>") == 0);
    for (const char* tag : {"section", "table", "ul", "li", "p", "tr", "th", "td", "h2", "h3"}) {
        const std::string name(tag);
        CHECK(count(page, "<" + name + ">") + count(page, "<" + name + " ") ==
              count(page, "</" + name + ">"));
    }
}

TEST_CASE("page: nothing is fetched and nothing runs") {
    const std::string page = tell_html(decided("plate"), "lift", {}, Length::everything);
    for (const char* piece : {"<script", "http:", "https:", "url(", "<img", "<link", "@import"}) {
        CHECK(count(page, piece) == 0);
    }
}

TEST_CASE("page: texts of any origin stay texts") {
    const std::string page = tell_html(decided("<script>alert(1)</script>&\"'\xE2\x80\xAE"),
                                       "<b>lift</b>", "</main>", Length::everything);
    CHECK(count(page, "<script") == 0);
    CHECK(count(page, "<b>") == 0);
    CHECK(count(page, "</main>") == 1);
    CHECK(page.find("&lt;script&gt;") != std::string::npos);
    CHECK(page.find("&lt;U+202E&gt;") != std::string::npos);
    CHECK(page.find("Must &lt;they&gt; be tied off?") != std::string::npos);
    CHECK(page.find("Hall 1 &amp; 2") != std::string::npos);
}

TEST_CASE("page: several cases are articles under one list, with ids of their own") {
    const Decision one = decided("plate");
    const Decision other = decided("<hearsay>");
    CasesPage pieces({"lift <1>", "lift 2"}, "Hall, decided for 2024-06-01", Length::everything);
    std::string page = pieces.begin();
    page += pieces.tell("lift <1>", one, "says");
    page += pieces.tell("lift 2", other);
    page += pieces.end();
    CHECK(count(page, "<h1>Hall, decided for 2024-06-01</h1>") == 1);
    CHECK(count(page, "<article ") == 2);
    CHECK(count(page, "</article>") == 2);
    CHECK(count(page, "<a href=\"#case-1\">lift &lt;1&gt;</a>") == 1);
    CHECK(count(page, "&lt;hearsay&gt;") > 0);
    CHECK(count(page, "<p>described as: says</p>") == 1);
    CHECK(count(page, ">Cautions</h3>") == 2);
    CHECK(count(page, "<h2 ") == 2);
    CHECK(count(page, "<section ") == count(page, "<h3 id="));
    std::set<std::string> ids;
    std::size_t all = 0;
    for (std::size_t at = page.find(" id=\""); at != std::string::npos;
         at = page.find(" id=\"", at + 1)) {
        ids.insert(page.substr(at, page.find('"', at + 5) - at));
        ++all;
    }
    CHECK(ids.size() == all);
}

TEST_CASE("page: a case that was passed over stands there without an answer") {
    const Decision one = decided("plate");
    CasesPage pieces({"lift 1", "lift 2", "lift 3", "lift 4"}, "Hall");
    std::string page = pieces.begin();
    page += pieces.tell("lift 1", one);
    page += pieces.tell("lift 3", one);
    for (const char* name : {"lift 1", "lift 2", "lift 5"}) {
        CHECK_THROWS_AS(static_cast<void>(pieces.tell(name, one)), std::invalid_argument);
    }
    page += pieces.end();
    CHECK(count(page, "<article") == 4);
    CHECK(count(page, "This case has no answer here") == 2);
    CHECK(count(page, "<h2 id=\"case-2\">lift 2</h2>\n<p>This case has no answer") == 1);
    CHECK(count(page, "<h2 id=\"case-4\">lift 4</h2>\n<p>This case has no answer") == 1);
    CHECK(count(page, "<h2 id=\"case-3\">lift 3, decided for") == 1);
}

TEST_CASE("page: what depends on the plan, and since when a provision holds, as the text has it") {
    const Shelf shelf =
        shelf_of({small_vocabulary(),
                  small_pack("provisions:\n" + requires_tie_off("asks", "means is arrest",
                                                                "in-force: {from: 2001-02-03}"))});
    const Decision open = test::decided(shelf, GivenFacts{});
    const std::string page = tell_html(open, "lift", {}, Length::everything);
    const std::string text = tell_text(open, "lift");
    CHECK(page.find("depends on the plan: required if means is arrest") != std::string::npos);
    CHECK(text.find("DEPENDS ON THE PLAN: required if means is arrest") != std::string::npos);
    CHECK(page.find("Until settled, act as if") == std::string::npos);
    CHECK(page.find("[regulation, read]; in force from 2001-02-03</td>") != std::string::npos);
}

TEST_CASE("page: the three lengths tell more and more") {
    const Decision decision = decided("plate");
    const std::string answer = tell_html(decision, "lift", {}, Length::answer);
    const std::string reasons = tell_html(decision, "lift", {}, Length::reasons);
    const std::string everything = tell_html(decision, "lift", {}, Length::everything);
    for (const std::string& page : {answer, reasons, everything}) {
        CHECK(page.find("<p class=\"outcome\">undetermined</p>") != std::string::npos);
        CHECK(page.find("act as if: required") != std::string::npos);
    }
    CHECK(answer.find("Facts as given") == std::string::npos);
    CHECK(answer.find("<cite") == std::string::npos);
    CHECK(reasons.find("<cite") != std::string::npos);
    CHECK(reasons.find("Facts as given") != std::string::npos);
    CHECK(reasons.find("Everything considered") == std::string::npos);
    CHECK(everything.find("Everything considered") != std::string::npos);
    CHECK(everything.find("hall.<wbr>rules/<wbr>boom") != std::string::npos);
}

TEST_CASE("drawing: facts, provisions and answers that mattered, joined by edges") {
    const std::string dot = draw_dot(decided("plate"), "a \"quoted\" \\ name");
    CHECK(dot.starts_with("digraph decision {\n"));
    CHECK(dot.ends_with("}\n"));
    CHECK(dot.find("a \\\"quoted\\\" \\\\ name") != std::string::npos);
    CHECK(dot.find("\"fact/rails\" -> \"hall.rules/open\"") != std::string::npos);
    CHECK(dot.find("\"hall.rules/open\" -> \"answer/tie-off\"") != std::string::npos);
    CHECK(dot.find("\"hall.rules/line\" -> \"answer/height\"") != std::string::npos);
    // A boom was ruled out: that provision bears on nothing here.
    CHECK(dot.find("\"hall.rules/boom\"") == std::string::npos);
}

}  // namespace
}  // namespace toprail::test
