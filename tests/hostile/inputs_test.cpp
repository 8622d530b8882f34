// Too much of everything: each input is refused with the finding that is meant for it, or taken.
// How long each takes and how much memory is for toprail-hostile-costs to say; no test hangs on it.
#include "hostile/inputs.hpp"
#include "support/screen.hpp"
#include "support/small_shelf.hpp"
#include "toprail/telling.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace toprail;
using namespace toprail::test;

TEST_CASE("hostile: every input is refused for what it is, and told in bounds") {
    for (const hostile::Input& input : hostile::inputs()) {
        CAPTURE(input.name);
        const std::vector<Finding> findings = hostile::read(input, input.text());
        if (input.code.empty()) {
            CHECK_FALSE_MESSAGE(has_error(findings), told(findings).substr(0, 2000));
            continue;
        }
        CHECK(has_error(findings));
        CHECK_MESSAGE(std::any_of(findings.begin(), findings.end(),
                                  [&](const Finding& f) { return f.code == input.code; }),
                      input.code << " is not among\n"
                                 << told(findings).substr(0, 2000));
        // Those of the small vocabulary are among them.
        CHECK(findings.size() <= 2 * (Limits{}.findings + 1));
        const std::string text = told(findings);
        CHECK(trouble_on_screen(text).empty());
        CHECK(text.size() < std::size_t{64} << 20U);
    }
}

TEST_CASE("hostile: what is left out of the findings is counted, and an error among it is one") {
    const hostile::Input input{"", hostile::Kind::facts, {}, ""};
    Limits limits;
    limits.findings = 3;
    const std::string text = "facts: {a: 1, a: 2, a: 3, a: 4, a: 5, a: 6}\n";
    const std::vector<Finding> findings = hostile::read(input, text, limits);
    REQUIRE(findings.size() == 4);
    CHECK(findings.front().code == "too-many-findings");
    CHECK(findings.front().severity == Severity::error);
    CHECK(findings.front().message == "2 more findings are not shown");
    CHECK(findings.back().code == "duplicate-key");
}

TEST_CASE("hostile: columns count characters, however long the line and wherever they stand") {
    std::string line = "facts: {";
    for (int i = 0; i < 3000; ++i) {
        line += "\u00e4\u20ac" + std::to_string(i) + ": x, ";
    }
    const std::size_t characters = count_characters(line);
    const FactsFile file = read_facts(line + "last: }\n", "facts.yaml");
    REQUIRE(file.findings.size() == 1);
    CHECK(file.findings.front().place.column == characters + 1);
    CHECK(file.findings.front().place.length == 4);
}

TEST_CASE("hostile: a number of thousands of digits leaves open what rests on it") {
    const auto input =
        std::find_if(hostile::inputs().begin(), hostile::inputs().end(), [](const auto& each) {
            return each.name == "quantities that square each other";
        });
    REQUIRE(input != hostile::inputs().end());
    const Shelf shelf = shelf_of({small_vocabulary(), {"pack.yaml", input->text()}});
    const Decision decision = decided(shelf, {{"persons", "3"}});
    // It is far more than 5; but that it is not known must never be told as settled.
    CHECK(tie_off(decision).outcome == Outcome::undetermined);
    CHECK(tie_off(decision).act_as_if == Outcome::required);
    std::string json;
    append_json(json, decision, "case");
    CHECK(json.size() < std::size_t{1} << 20U);
}

TEST_CASE("hostile: a number of thousands of digits is told in short, however often") {
    std::string quantities =
        "quantities:\n  q0: {kind: ratio, reads: q, equals: 7.000000001 * persons}\n";
    const auto add = [&quantities](int number, const std::string& sum) {
        quantities +=
            "  q" + std::to_string(number) + ": {kind: ratio, reads: q, equals: " + sum + "}\n";
    };
    for (int i = 1; i <= 7; ++i) {
        add(i, "q" + std::to_string(i - 1) + " * q" + std::to_string(i - 1));
    }
    std::string sum = "q7";
    for (int i = 0; i < 60; ++i) {
        sum += " + q7";
    }
    for (int i = 8; i < 40; ++i) {
        add(i, sum);
    }
    const Shelf shelf =
        shelf_of({small_vocabulary(), small_pack(quantities + "provisions:\n" +
                                                 requires_tie_off("a", "q39 is more than 5"))});
    const Decision decision = decided(shelf, {{"persons", "20"}});
    CHECK(tie_off(decision).outcome == Outcome::required);
    REQUIRE(decision.quantities.size() >= 8);
    std::string json;
    append_json(json, decision, "case");
    CHECK(json.find("over 10^2") != std::string::npos);
    // With every one of its 275 digits it would be half a million.
    CHECK(json.size() < std::size_t{1} << 17U);
}

TEST_CASE("hostile: numbers at every edge are taken exactly or refused") {
    const Shelf shelf = small_shelf(requires_tie_off("a", "height is more than 10 ft"));
    const auto outcome = [&](std::string_view height) {
        Answer answer = shelf.decide(facts_of({{"height", height}}), day("2024-06-01"));
        return answer.decision ? std::string(word(tie_off(*answer.decision).outcome))
                               : std::string(answer.findings.front().code);
    };
    CHECK(outcome("10 ft") == "not addressed");
    CHECK(outcome("10.0000000000000000000000000001 ft") == "required");
    CHECK(outcome("3.048 m") == "not addressed");
    CHECK(outcome("0 ft") == "not addressed");
    CHECK(outcome("-0 ft") == "not addressed");
    CHECK(outcome("500 ft") == "required");
    CHECK(outcome("500.000000000000000000000000001 ft") == "out-of-range");
    CHECK(outcome("-0.0000000000000000000000000001 ft") == "out-of-range");
    for (const char* text : {"9223372036854775807 ft", "9223372036854775808 ft",
                             "18446744073709551616 ft", "999999999999999999999999999999 ft"}) {
        CHECK(outcome(text) == "out-of-range");
    }
    for (const char* text : {"1e2 ft", "0x10 ft", "inf ft", "nan ft", "1_000 ft", "+5 ft", "--5 ft",
                             "5", "ft", "1.2.3 ft", "1,00 ft", "0,500 ft", "\u0665 ft", "5\u00a0ft",
                             "1000000000000000000000000000000 ft"}) {
        CHECK(outcome(text) == "unreadable-fact");
    }
}

TEST_CASE("hostile: packs that adopt each other over and over do not multiply") {
    // Sixteen packs, each of which adopts the next ten times: ten to the sixteenth copies.
    std::vector<SourceText> texts{small_vocabulary()};
    for (int i = 0; i < 16; ++i) {
        std::string body = i == 15 ? "" : "adopts:\n";
        for (int k = 0; i < 15 && k < 10; ++k) {
            body += "  - {rulepack: p" + std::to_string(i + 1) + ", cite: Rule 0, source: read}\n";
        }
        texts.push_back(
            small_pack(body + "provisions:\n" + requires_tie_off("own-" + std::to_string(i)),
                       "p" + std::to_string(i)));
    }
    const LoadedShelf loaded = load_shelf(std::move(texts));
    CHECK_FALSE(loaded.shelf);
    CHECK(std::any_of(loaded.findings.begin(), loaded.findings.end(),
                      [](const Finding& finding) { return finding.code == "name-taken"; }));
}
