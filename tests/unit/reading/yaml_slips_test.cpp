// What is said where a text stops being YAML: the slip itself is marked, in our own words.
#include "reading/tree.hpp"
#include "support/small_shelf.hpp"

#include <doctest/doctest.h>

namespace toprail::test {
namespace {

std::vector<Finding> findings_in(const std::string& text) {
    const Source source("pack.yaml", text);
    Findings findings;
    read_tree(source, {}, findings);
    return findings.take();
}

/// "line:column message" of the only finding; what to do must be said as well.
std::string slip(const std::string& text) {
    const std::vector<Finding> findings = findings_in(text);
    REQUIRE_MESSAGE(findings.size() == 1, text);
    const Finding& one = findings.front();
    CHECK(one.code == "not-yaml");
    CHECK(!one.help.empty());
    return std::to_string(one.place.line) + ":" + std::to_string(one.place.column) + " " +
           one.message;
}

const std::string head = "title: Rules\nprovisions:\n  - id: a\n    cite: Rule 1\n";

TEST_CASE("yaml: a tab in the indentation is marked where it stands") {
    CHECK(slip(head + "\tsource: read\n") == "5:1 a tab stands in the indentation");
    CHECK(slip(head + "  \tsource: read\n") == "5:3 a tab stands in the indentation");
}

TEST_CASE("yaml: a missing colon is marked on its own line, not on the next") {
    const std::string message = " this line has no colon behind its key";
    CHECK(slip("title Rules\nformat: 1\n") == "1:1" + message);
    CHECK(slip("title: Rules\nprovisions\n  - id: a\n") == "2:1" + message);
    CHECK(slip("provisions:\n  - id a\n    cite: Rule 1\n") == "2:5" + message);
    CHECK(slip(head + "    source read\n    gist: g\n") == "5:5" + message);
    CHECK(slip(head + "    source read\n  - id: b\n") == "5:5" + message);
    CHECK(slip(head + "    source:read\n    gist: g\n") ==
          "5:11 this colon has no space behind it");
}

TEST_CASE("yaml: a text with a colon, or with a sign at its start, wants quotes") {
    CHECK(slip("title: Rules: now\n") == "1:13 a second colon stands in this line");
    CHECK(slip("edition: {from: 2000-01-01 until: 2001-01-01}\n") ==
          "1:33 a second colon stands in this entry");
    CHECK(slip("title: @Rules\n") == "1:8 a text cannot begin with \"@\"");
    CHECK(slip("title: *Rules\n") == "1:8 a text cannot begin with \"*\"");
    CHECK(slip("title: \"\\q\"\n") ==
          "1:9 a backslash begins something unknown inside double quotes");
}

TEST_CASE("yaml: the bracket that stays open is marked, not where that is noticed") {
    const std::string message = " this bracket is not closed";
    CHECK(slip("vocabulary: [a, b\ntitle: Rules\n") == "1:13" + message);
    CHECK(slip("vocabulary: [a, b") == "1:13" + message);
    CHECK(slip("edition: {from: [a, b]\ntitle: Rules\nlist: [c]\n") == "1:10" + message);
    CHECK(slip("where: {all-of: [a, b\ntitle: Rules\n") == "1:17" + message);
    CHECK(slip("where: {all-of: [a, b]}}\n") == "1:24 this bracket closes nothing");
    const std::vector<Finding> other = findings_in("where: {all-of: [a, b}\n");
    REQUIRE(other.size() == 1);
    CHECK(other[0].place.column == 22);
    REQUIRE(other[0].others.size() == 1);
    CHECK(other[0].others[0].place.column == 17);
}

TEST_CASE("yaml: a text below its key wants to be indented, where the key asks for one") {
    const auto below = [](const std::string& value) {
        return slip(head + "    gist: " + value + "\n    Tie off.\n    source: read\n");
    };
    const std::string text = "6:5 this text is not indented deeper than its key";
    CHECK(below(">") == text);
    CHECK(below("|") == text);
    CHECK(below(">-") == text);
    const std::string line = "6:5 this line has no colon behind its key";
    CHECK(below("5 > 4 or so") == line);
    CHECK(below("a>") == line);
    CHECK(below("a|b") == line);
}

TEST_CASE("yaml: a quote inside a quoted text does not end it") {
    const std::string colon = "2:5 a second colon stands in this line";
    CHECK(slip("a: \"x \\\" [ y\"\nb: c: d\n") == colon);
    CHECK(slip("a: 'it''s [ y'\nb: c: d\n") == colon);
    CHECK(slip("a: \"it's [ y\"\nb: c: d\n") == colon);
    CHECK(slip("a: 'x \\'\nb: c: d\n") == colon);
}

TEST_CASE("yaml: brackets and quotes in comments are none") {
    CHECK(slip("a: 1 # 'tis open\nb: [1, 2\nc: 3\n") == "2:4 this bracket is not closed");
    CHECK(slip("# [ \"\na: 1 # }\nb: [1, 2\nc: 3\n") == "3:4 this bracket is not closed");
    // Not at the start of a word it is no comment.
    CHECK(slip("a: b#[1\nb: [1, 2\nc: 3\n") == "2:4 this bracket is not closed");
    CHECK(slip("a: [b#[, 2\nc: 3\n") == "1:4 this bracket is not closed");
}

TEST_CASE("yaml: a quote that is never closed, or closes too early, is marked") {
    CHECK(slip("gist: \"Tie off\ncite: \"Rule 1\"\n") ==
          "1:7 this quote is not closed on its line");
    CHECK(slip("gist: \"Tie off\ncite: Rule 1\n") == "1:7 this quote is never closed");
    CHECK(slip("gist: 'The maker's word.'\n") == "1:17 the quote closes here, and text follows");
    CHECK(slip("gist: \"Tie\" off.\ncite: a\n") == "1:11 the quote closes here, and text follows");
    CHECK(slip("edition: {from: \"a, until: b}\ntitle: \"c\"\n") ==
          "1:17 this quote is not closed on its line");
}

TEST_CASE("yaml: what begins in the wrong column is marked, with the columns that it may have") {
    CHECK(slip(head + "      source: read\n") ==
          "5:7 this begins in column 7, what stands above it in column 5");
    CHECK(slip("title: Rules\n format: 1\n") ==
          "2:2 this begins in column 2, what stands above it in column 1");
    CHECK(slip(head + "   source: read\n") ==
          "5:4 this begins in column 4, where nothing above it begins");
    CHECK(findings_in(head + "   source: read\n").at(0).help ==
          "begin it in column 1, 3 or 5, as what it belongs to does");
    CHECK(slip("gist: >-\nTie off.\ncite: a\n") ==
          "2:1 this text is not indented deeper than its key");
}

TEST_CASE("yaml: hyphens in the wrong place are marked") {
    CHECK(slip(head + "    - source: read\n") == "5:5 an entry of a list stands among keys");
    CHECK(slip(head + "  -id: b\n") == "5:3 a hyphen stands here without a space behind it");
    CHECK(slip("vocabulary: - a\n") == "1:13 a list begins behind a key on the same line");
}

// Words that only the parser says.
bool speaks_for_itself(const std::string& message) {
    for (const char* word :
         {"illegal", "not found", "token", "scalar", "flow", "anchor is", "sequence", "YAML::"}) {
        if (message.find(word) != std::string::npos) {
            return false;
        }
    }
    return true;
}

TEST_CASE("yaml: whatever character slips in anywhere, the parser's own words are never shown") {
    const std::string sound =
        "title: Rules\nvocabulary: [a, b]\nprovisions:\n  - id: a\n    cite: \"Rule 1\"\n"
        "    where: {all-of: [a, not b]}\n    gist: >-\n      Tie off.\n    says: 'don''t'\n";
    std::size_t slips = 0;
    for (std::size_t at = 0; at < sound.size(); ++at) {
        for (const std::string piece : {"\t", ":", ": ", "\"", "'",  "[", "]", "{", "}", "- ",
                                        "\n", "@", "%",  "*",  "\\", ",", "?", "|", ">", " "}) {
            std::string text = sound;
            text.insert(at, piece);
            for (const Finding& finding : findings_in(text)) {
                slips += finding.code == "not-yaml" ? 1U : 0U;
                CHECK_MESSAGE(speaks_for_itself(finding.message), finding.message << "\n" << text);
                CHECK_MESSAGE((finding.code != "not-yaml" || finding.place.line > 0), text);
            }
        }
        const std::string cut = sound.substr(0, at);
        for (const Finding& finding : findings_in(cut)) {
            CHECK_MESSAGE(speaks_for_itself(finding.message), finding.message << "\n" << cut);
        }
    }
    CHECK(slips > 500);
}

}  // namespace
}  // namespace toprail::test
