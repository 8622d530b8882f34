// Slips of single parts of a rulepack or vocabulary: what is said of each, and what helps.
#include "support/small_shelf.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <map>

namespace toprail::test {
namespace {

std::vector<Finding> findings_of(std::vector<SourceText> texts) {
    LoadedShelf loaded = load_shelf(std::move(texts));
    CHECK_FALSE(loaded.shelf);
    return std::move(loaded.findings);
}

Finding only_of(std::vector<SourceText> texts) {
    std::vector<Finding> found = findings_of(std::move(texts));
    REQUIRE_MESSAGE(found.size() == 1, told(found));
    return found.front();
}

// The only finding of a pack with these conditions and quantities, and one provision.
Finding slip(const std::string& where, const std::string& body = {}) {
    return only_of(
        {small_vocabulary(), small_pack(body + "provisions:\n" + requires_tie_off("a", where))});
}

const std::string high = "conditions:\n  high: {reads: r, is: height is more than 10 ft}\n";

TEST_CASE("slips: a misused name is told with the sentences that fit its kind") {
    const Finding condition = slip("high is more than 5 ft", high);
    CHECK(condition.code == "wrong-use");
    CHECK(condition.message == "\"high\" is not measured");
    CHECK(condition.help == "write high or not high");
    const Finding yes_no = slip("gate-open is more than 5 ft");
    CHECK(yes_no.message == "\"gate-open\" is not measured");
    CHECK(yes_no.help == "write gate-open or not gate-open");
    CHECK(slip("made-on is more than 5 ft").help ==
          "write made-on is before, on or before, on, on or after, or after a day");
    CHECK(slip("mechanism is more than 5 ft").help ==
          "write mechanism is one of its values: boom, scissor or mast");
    CHECK(slip("high is before 2010-01-01", high).message == "\"high\" is not a date");
    CHECK(slip("height is before 2010-01-01").help ==
          "write height is more than, at least, at most, less than or exactly a figure");
    CHECK(slip("reach").message == "\"reach\" is not true or false by itself");
    CHECK(slip("height is more than gate-open").message == "\"gate-open\" is not measured");
    CHECK(slip("height is more than high", high).message == "\"high\" is not measured");
}

TEST_CASE("slips: an unknown value is told with the nearest one, or with all") {
    CHECK(slip("mechanism is bom").help == "did you mean boom?");
    CHECK(slip("mechanism is crane").help == "its values are boom, scissor or mast");
    CHECK(slip("mechanism is no").help == "its values are boom, scissor or mast");
    CHECK(slip("mechanism is yes").help == "its values are boom, scissor or mast");
    CHECK(slip("gate-open is perhaps").help == "its values are no or yes");
}

TEST_CASE("slips: formulas of conditions, and roots of what is no square") {
    const auto quantity = [](const std::string& rest) {
        return slip("gate-open", high + "quantities:\n  span: {reads: r, " + rest + "}\n");
    };
    CHECK(quantity("kind: length, unit: ft, equals: high * 2").code == "wrong-use");
    CHECK(quantity("kind: length, unit: ft, equals: gate-open + height").code == "wrong-use");
    for (const char* equals : {"sqrt(height)", "sqrt(weight * weight * weight)", "sqrt(3 s)",
                               "sqrt(30 deg)", "sqrt(height * height * weight)"}) {
        CAPTURE(equals);
        CHECK(quantity("kind: length, unit: ft, equals: \"" + std::string(equals) + "\"").code ==
              "wrong-dimension");
    }
}

TEST_CASE("slips: effects on what cannot have them") {
    const auto effect = [](const std::string& text) {
        return only_of(
            {small_vocabulary(), small_pack(high + "provisions:\n" + frees_tie_off("free", "high") +
                                            provision("a", text))});
    };
    CHECK(effect("relaxes: [free], terms: t").code == "wrong-use");
    CHECK(effect("choice: mechanism, bars: [boom]").code == "unknown-name");
    CHECK(effect("choice: high, bars: [boom]").code == "unknown-name");
    CHECK(effect("limit: made-on, at-most: 5 ft").code == "wrong-use");
    CHECK(effect("limit: high, at-most: 5 ft").code == "wrong-use");
}

TEST_CASE("slips: ranks, ids and names of vocabularies") {
    const auto vocabulary = [](std::string_view from, const std::string& to) {
        SourceText text = small_vocabulary();
        text.text.replace(text.text.find(from), from.size(), to);
        return findings_of({text, small_pack("provisions:\n" + requires_tie_off("a"))});
    };
    for (const char* rank : {"rank: 1.5", "rank: 100", "rank: 0", "rank: high"}) {
        CAPTURE(rank);
        const std::vector<Finding> found = vocabulary("rank: 4", rank);
        REQUIRE(found.size() == 1);
        CHECK(found.front().code == "bad-number");
        CHECK(found.front().message == "a rank is a whole number from 1 to 99");
    }
    const std::vector<Finding> name = vocabulary("vocabulary: small", "vocabulary: Small Words");
    CHECK(std::any_of(name.begin(), name.end(),
                      [](const Finding& f) { return f.code == "bad-name"; }));
    SourceText pack = small_pack("provisions:\n" + requires_tie_off("a"));
    const std::string id = "rulepack: test.pack";
    pack.text.replace(pack.text.find(id), id.size(), "rulepack: [test.pack]");
    const std::vector<Finding> found = findings_of({small_vocabulary(), pack});
    CHECK(std::any_of(found.begin(), found.end(),
                      [](const Finding& f) { return f.place.line == 1; }));
}

TEST_CASE("slips: a provision of one id by two adoptions stands twice") {
    const Finding finding = only_of(
        {small_vocabulary(), small_pack("provisions:\n" + requires_tie_off("a"), "test.one"),
         small_pack("provisions:\n" + frees_tie_off("a"), "test.two"),
         small_pack("adopts:\n  - {rulepack: test.one, cite: c, source: read}\n"
                    "  - {rulepack: test.two, cite: c, source: read}\nprovisions:\n" +
                        requires_tie_off("b"),
                    "test.both")});
    CHECK(finding.code == "name-taken");
    CHECK(finding.message == "the provision \"a\" stands twice in test.both");
    CHECK(finding.place.file == "test.two.yaml");
    REQUIRE(finding.others.size() == 1);
    CHECK(finding.others.front().place.file == "test.one.yaml");
}

TEST_CASE("slips: a long row of adoptions is told as that, and not as a circle") {
    const auto row = [](int packs) {
        std::vector<SourceText> texts{small_vocabulary()};
        for (int i = 10; i < 10 + packs; ++i) {
            const std::string next = "test.p" + std::to_string(i + 1);
            const std::string adopts =
                "adopts: {rulepack: " + next + ", cite: c, source: read}\nprovisions:\n";
            texts.push_back(small_pack((i + 1 < 10 + packs ? adopts : "provisions:\n") +
                                           requires_tie_off("a" + std::to_string(i)),
                                       "test.p" + std::to_string(i)));
        }
        return load_shelf(std::move(texts));
    };
    CHECK(row(17).shelf);
    const LoadedShelf loaded = row(18);
    CHECK_FALSE(loaded.shelf);
    REQUIRE(loaded.findings.size() == 1);
    CHECK(loaded.findings.front().code == "too-deep");
    CHECK(loaded.findings.front().message == "more than 16 rulepacks adopt one another in a row");
    CHECK(loaded.findings.front().place.file == "test.p26.yaml");
}

TEST_CASE("slips: very many circles are told up to a number, long ones shortened") {
    std::string body = "conditions:\n";
    constexpr int many = 60;
    for (int i = 0; i < many; ++i) {
        const std::string n = std::to_string(i);
        body +=
            "  a" + n + ": {reads: r, is: b" + n + "}\n  b" + n + ": {reads: r, is: a" + n + "}\n";
    }
    const std::vector<Finding> found = findings_of(
        {small_vocabulary(), small_pack(body + "provisions:\n" + requires_tie_off("p"))});
    CHECK(std::all_of(found.begin(), found.end(),
                      [](const Finding& f) { return f.code == "circle"; }));
    CHECK(found.size() > 5);
    CHECK(found.size() < many);
}

TEST_CASE("slips: very many circles of displacement are told up to a number, too") {
    std::string body = "provisions:\n";
    constexpr int many = 60;
    for (int i = 0; i < many; ++i) {
        const std::string n = std::to_string(i);
        body += requires_tie_off("a" + n, {}, "displaces: [b" + n + "]") +
                requires_tie_off("b" + n, {}, "displaces: [a" + n + "]");
    }
    const std::vector<Finding> found = findings_of({small_vocabulary(), small_pack(body)});
    CHECK(std::all_of(found.begin(), found.end(),
                      [](const Finding& f) { return f.code == "displacement-circle"; }));
    CHECK(found.size() > 5);
    CHECK(found.size() < many);
}

TEST_CASE("adoption: what is adopted may name what the adopter left out") {
    const Shelf shelf = shelf_of(
        {small_vocabulary(),
         small_pack("provisions:\n" + requires_tie_off("a") + requires_tie_off("b") +
                        provision("x", "relaxes: [a], terms: t") +
                        frees_tie_off("y", "gate-open", "displaces: [b]"),
                    "test.lender"),
         small_pack("adopts: {rulepack: test.lender, leaves-out: [a], cite: c, source: read}\n"
                    "provisions:\n" +
                    provision("v", "duty: vest, calls-for: required"))});
    const auto outcome = [&](const char* authority, const char* gate) {
        DecideOptions options;
        options.authorities = {authority};
        return tie_off(decided(shelf, {{"gate-open", gate}}, "2024-06-01", options)).outcome;
    };
    // What is left is not relaxed, for the exception names another.
    CHECK(outcome("test.pack", "no") == Outcome::required);
    CHECK(outcome("test.pack", "yes") == Outcome::not_required);
    CHECK(outcome("test.lender", "yes") == Outcome::required_with_exception);
    CHECK(outcome("test.lender", "no") == Outcome::required);
}

TEST_CASE("days: a provision in force by the day of a fact, and every word for a day") {
    const Shelf shelf = small_shelf(requires_tie_off(
        "a", {}, "in-force: {from: 2010-01-01, until: 2019-12-31, picked-by: made-on}"));
    const auto outcome = [](const Shelf& of, const std::string& made_on) {
        return tie_off(decided(of, {{"made-on", made_on}})).outcome;
    };
    CHECK(outcome(shelf, "2009-12-31") == Outcome::not_addressed);
    CHECK(outcome(shelf, "2010-01-01") == Outcome::required);
    CHECK(outcome(shelf, "2019-12-31") == Outcome::required);
    CHECK(outcome(shelf, "2020-01-01") == Outcome::not_addressed);
    CHECK(outcome(shelf, "does not apply") == Outcome::not_addressed);
    const Shelf on = small_shelf(requires_tie_off("a", "made-on is on 2015-03-01"));
    CHECK(outcome(on, "2015-02-28") == Outcome::not_addressed);
    CHECK(outcome(on, "2015-03-01") == Outcome::required);
    CHECK(outcome(on, "2015-03-02") == Outcome::not_addressed);
}

TEST_CASE("days: a fact that picks an edition alone is not told as unused") {
    const auto unused = [](const std::string& picked_by) {
        std::vector<std::string> names;
        const Shelf shelf = shelf_of(
            {small_vocabulary(),
             small_pack("provisions:\n" + requires_tie_off("a"), "test.pack", "regulation",
                        "{from: 2000-01-01, verified-through: 2030-01-01, picked-by: " + picked_by +
                            "}")});
        for (const Finding& finding : lint_shelf(shelf)) {
            if (finding.code == "unused-fact") {
                names.push_back(finding.message);
            }
        }
        return names;
    };
    const std::string made_on = "the fact \"made-on\" decides nothing here";
    const std::vector<std::string> by_work_date = unused("work-date");
    CHECK(std::count(by_work_date.begin(), by_work_date.end(), made_on) == 1);
    const std::vector<std::string> by_fact = unused("made-on");
    CHECK(by_fact.size() + 1 == by_work_date.size());
    CHECK(std::count(by_fact.begin(), by_fact.end(), made_on) == 0);
}

TEST_CASE("listing: duties, every type of fact, and how an edition is picked") {
    SourceText words = small_vocabulary();
    const std::string weight = "  weight: ";
    words.text.insert(words.text.find(weight),
                      "  slope: {type: ratio, reads: r, ask: a, why: w}\n"
                      "  force: {type: force, unit: lbf, reads: r, ask: a, why: w}\n");
    const Shelf shelf = shelf_of(
        {words, small_pack("provisions:\n" + requires_tie_off("a") +
                               "  - {id: b, cite: c, source: memory, gist: g, duty: tie-off, "
                               "calls-for: required}\n",
                           "test.pack", "regulation",
                           "{from: 2000-01-01, until: 2031-12-31, verified-through: 2030-01-01, "
                           "picked-by: made-on}")});
    const std::vector<DutyInfo> duties = shelf.duties();
    REQUIRE(duties.size() == 2);
    CHECK(duties[0].name == "tie-off");
    CHECK(duties[0].asks == "Must the person be tied off?");
    CHECK(duties[1].name == "vest");
    CHECK(duties[1].reads == "a vest");
    std::map<std::string, std::string> types;
    for (const FactInfo& fact : shelf.facts()) {
        types[fact.name] = fact.type;
    }
    CHECK(types.at("slope") == "ratio");
    CHECK(types.at("force") == "force");
    CHECK(types.at("weight") == "mass");
    CHECK(types.at("persons") == "count");
    CHECK(types.at("made-on") == "date");
    CHECK(types.at("gate-open") == "yes-no");
    CHECK(types.at("mechanism") == "choice");
    const PackInfo pack = shelf.packs().front();
    CHECK(pack.picked_by == "made-on");
    CHECK(pack.last_day == "2031-12-31");
    CHECK(pack.unverified == 1);
    CHECK(pack.provisions == 2);
}

}  // namespace
}  // namespace toprail::test
