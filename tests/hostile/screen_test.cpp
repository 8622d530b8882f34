// A trail must not be able to lie on screen: whatever packs, facts and receipts hold, nothing that
// is shown hides or turns a character, ends a line early, or brings in marks of its own.
#include "support/screen.hpp"
#include "support/small_shelf.hpp"
#include "telling/json_writer.hpp"
#include "toprail/telling.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <sstream>

using namespace toprail;
using namespace toprail::test;

namespace {

// What a host may hand in: bytes of any kind.
const std::vector<std::string>& lies() {
    static const std::vector<std::string> all{
        "\x1b[2J\x1b[31mred",  // clears the screen of a terminal
        "\x9b"
        "2J",  // the same in one byte, and not UTF-8
        "\xc2\x9b"
        "2J",                              // the same as a character
        "\u202enot required\u202c",        // turned round
        "\u2066\u2069\u200b\u00ad\ufeff",  // invisible
        "\U000E0041",                      // a tag
        "a\n  tie-off               NOT REQUIRED",
        "a\r\nb\rc",
        "a\tb",
        std::string("a\0b", 3),
        "<script>alert(1)</script>",
        "\"><img src=x onerror=alert(1)>",
        "</title></style><h1>NOT REQUIRED</h1>",
        "&lt;b&gt;",
        "\"]; a -> b; \\l\\N\\",
        "\xc0\xaf\xed\xa0\x80\xf5",  // not UTF-8
        "\xe2\x80",                  // cut off
        "```\n# heading\n[x](javascript:x)",
    };
    return all;
}

// The decision of a case in which every text is the lie. What packs cannot hold is handed in by
// other ways: a decision is a plain value.
Decision lying_decision(const std::string& lie) {
    static const Decision honest =
        decided(small_shelf(requires_tie_off("high", "height is more than 6 ft") +
                            frees_tie_off("low", "persons is at most 2") +
                            provision("reach", "limit: reach, at-most: 30 ft") +
                            provision("arrest", "choice: means, bars: [arrest]", "roofed")),
                {{"height", "12 ft"}, {"persons", "3"}});
    Decision decision = honest;
    for (Governing& each : decision.governing) {
        each.title = each.authority = each.standing = lie;
    }
    for (DutyDecision& each : decision.duties) {
        each.reads = each.asks = each.ask_next = lie;
        each.settled_by = {lie};
        each.terms = {{lie, lie}};
        each.conditional = {{lie, lie}};
    }
    for (ChoiceDecision& each : decision.choices) {
        each.reads = lie;
        each.admissible = {lie};
        each.barred[lie] = {lie};
        each.open[lie] = {lie};
    }
    for (LimitDecision& each : decision.limits) {
        each.reads = each.value = lie;
        for (Bound& bound : each.bounds) {
            bound.text = bound.when = lie;
        }
    }
    for (Fit& each : decision.fit) {
        each.name = each.reason = lie;
    }
    for (QuantityValue& each : decision.quantities) {
        each.reads = each.value = each.formula = each.filled = lie;
    }
    for (Step& each : decision.trail) {
        each.cite = each.adopted_by = each.standing = each.source = each.source_note = lie;
        each.gist = each.in_force = each.effect = lie;
        each.also_cite = {lie};
        each.displaced_by = {lie};
        each.because = {{lie, "true", {lie}, {{lie, "true", {lie}, {}}}}};
    }
    for (PackUsed& each : decision.packs) {
        each.title = each.edition = each.picked_by = each.verified_through = lie;
    }
    for (FactEntry& each : decision.facts) {
        each.text = each.from = lie;
    }
    decision.cautions = {lie};
    return decision;
}

// No line may begin as the sheet's own lines do without being one.
bool holds_line(const std::string& text, std::string_view start) {
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) {
        if (line.starts_with(start)) {
            return true;
        }
    }
    return false;
}

std::vector<Finding> lying_findings(const std::string& lie) {
    Finding finding;
    finding.code = finding_kinds().front().code;
    finding.place = {lie, 3, 2, 4, lie};
    finding.message = finding.help = lie;
    finding.others = {{finding.place, lie}};
    return {finding};
}

}  // namespace

TEST_CASE("screen: no text of a decision can hide, turn or forge what is shown") {
    for (const std::string& lie : lies()) {
        CAPTURE(shown(lie));
        const Decision decision = lying_decision(lie);
        for (const Length length : {Length::answer, Length::reasons, Length::everything}) {
            const std::string text = tell_text(decision, lie, lie, length);
            CHECK(trouble_on_screen(text).empty());
            CHECK_FALSE(holds_line(text, "  tie-off               NOT"));
            CHECK(trouble_in_html(tell_html(decision, lie, lie, length)).empty());
        }
        std::string json;
        append_json(json, decision, lie);
        CHECK(trouble_in_json(json).empty());
        CHECK(trouble_on_screen(draw_dot(decision, lie)).empty());
        CHECK(trouble_on_screen(tell_line(lie)).empty());
        CHECK(tell_line(lie).find('\n') == std::string::npos);
    }
}

TEST_CASE("screen: no text of a finding can, as text, JSON or SARIF") {
    for (const std::string& lie : lies()) {
        CAPTURE(shown(lie));
        const std::vector<Finding> findings = lying_findings(lie);
        const std::string text = told(findings);
        CHECK(trouble_on_screen(text).empty());
        CHECK_FALSE(holds_line(text, "  tie-off"));
        std::string json;
        append_json(json, findings);
        CHECK(trouble_in_json(json).empty());
        std::string sarif;
        append_sarif(sarif, findings);
        CHECK(trouble_in_json(sarif).empty());
    }
}

TEST_CASE("screen: JSON gives back the very text, or a mark where it was not UTF-8") {
    for (const std::string& lie : lies()) {
        CAPTURE(shown(lie));
        std::string out;
        JsonWriter(out).text(lie);
        const auto read = nlohmann::json::parse(out).get<std::string>();
        if (first_invalid_utf8(lie)) {
            CHECK(read.find("\ufffd") != std::string::npos);
        } else {
            CHECK(read == lie);
        }
    }
}

TEST_CASE("screen: packs and facts cannot bring in by an escape what their bytes may not hold") {
    for (const std::string& lie : lies()) {
        if (first_invalid_utf8(lie)) {
            continue;
        }
        CAPTURE(shown(lie));
        bool hides = lie.find('\r') != std::string::npos;
        for (std::size_t at = 0; at < lie.size();) {
            hides = hides_text(next_code_point(lie, at)) || hides;
        }
        // JSON escapes all control characters; the others stand as they are, or by their escape.
        const std::string escaped = nlohmann::json(lie).dump(-1, ' ', true);
        if (escaped.find("\\ud") != std::string::npos) {
            continue;  // YAML has no surrogates
        }
        const FactsFile file = read_facts("site: " + escaped + "\nfacts: {}\n", "facts.yaml");
        CHECK(has_error(file.findings) == hides);
        for (const Finding& finding : file.findings) {
            CHECK(finding.code == "control-character");
        }
        const LoadedShelf loaded =
            load_shelf({small_vocabulary(), small_pack("provisions:\n  - {id: a, cite: " + escaped +
                                                       ", source: read, gist: " + escaped +
                                                       ", duty: tie-off, calls-for: required}\n")});
        CHECK(loaded.shelf.has_value() == !hides);
        if (loaded.shelf) {
            const std::string text = tell_text(decided(*loaded.shelf, Facts{}), "case");
            CHECK(trouble_on_screen(text).empty());
            CHECK_FALSE(holds_line(text, "  tie-off               NOT"));
        }
    }
}

TEST_CASE("screen: the source of a fact is anybody's text and is told harmlessly") {
    const Shelf shelf = small_shelf(requires_tie_off("a", "height is more than 6 ft"));
    for (const std::string& lie : lies()) {
        CAPTURE(shown(lie));
        Facts facts;
        facts.set("height", "12 ft", lie);
        const Decision decision = decided(shelf, facts);
        CHECK(trouble_in_html(tell_html(decision, lie, lie, Length::everything)).empty());
        std::string json;
        append_json(json, decision, lie);
        CHECK(trouble_in_json(json).empty());
    }
}
