// Names, adoption and editions: what a shelf holds once its texts are read.
#include "shelf/shelf_data.hpp"
#include "support/linted.hpp"
#include "support/small_shelf.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace toprail;
using namespace toprail::test;

namespace {

std::vector<std::string> keys(const Shelf& shelf) {
    const Model& model = shelf.data().model;
    std::vector<std::string> all;
    for (std::size_t i = 0; i < model.provisions.size(); ++i) {
        all.push_back(model.key(ProvisionId(i)));
    }
    return all;
}

std::string edition(const std::string& days, const std::string& picked_by = "work-date") {
    return "{" + days + ", verified-through: 2030-01-01, picked-by: " + picked_by + "}";
}

std::vector<std::string> codes(const std::vector<Finding>& findings) {
    std::vector<std::string> all;
    for (const Finding& finding : findings) {
        all.emplace_back(finding.code);
    }
    return all;
}

}  // namespace

TEST_CASE("resolve: provisions are ordered by authority, edition and id, whatever the files") {
    const std::string ab = "provisions:\n" + requires_tie_off("b") + requires_tie_off("a");
    const std::string ba = "provisions:\n" + requires_tie_off("a") + requires_tie_off("b");
    const std::string early = edition("from: 2000-01-01");
    const std::string late = edition("from: 2010-01-01");
    const Shelf one =
        shelf_of({small_vocabulary(),
                  small_pack(ab, "z.rules"),
                  small_pack(ab, "a.rules", "regulation", late),
                  {"early.yaml", small_pack(ab, "a.rules", "regulation", early).text}});
    const Shelf other =
        shelf_of({{"early.yaml", small_pack(ba, "a.rules", "regulation", early).text},
                  small_pack(ba, "a.rules", "regulation", late),
                  small_vocabulary(),
                  small_pack(ba, "z.rules")});
    const std::vector<std::string> expected{"a.rules/a@2000-01-01",
                                            "a.rules/b@2000-01-01",
                                            "a.rules/a@2010-01-01",
                                            "a.rules/b@2010-01-01",
                                            "z.rules/a",
                                            "z.rules/b"};
    CHECK(keys(one) == expected);
    CHECK(keys(other) == expected);
}

TEST_CASE("editions: one ends the day before the next begins") {
    const Shelf shelf =
        shelf_of({small_vocabulary(),
                  {"a.yaml", small_pack("provisions:\n" + requires_tie_off("old"), "t.rules",
                                        "regulation", edition("from: 2000-01-01"))
                                 .text},
                  {"b.yaml", small_pack("provisions:\n" + frees_tie_off("new"), "t.rules",
                                        "regulation", edition("from: 2017-01-17"))
                                 .text}});
    const std::vector<PackInfo> packs = shelf.packs();
    REQUIRE(packs.size() == 2);
    CHECK(packs[0].last_day == "2017-01-16");
    CHECK(packs[1].last_day.empty());
    CHECK(tie_off(decided(shelf, GivenFacts{}, "2017-01-16")).outcome == Outcome::required);
    CHECK(tie_off(decided(shelf, GivenFacts{}, "2017-01-17")).outcome == Outcome::not_required);
}

TEST_CASE("editions: two that begin on one day are told as such, and as nothing else") {
    const LoadedShelf loaded =
        load_shelf({small_vocabulary(),
                    {"a.yaml", small_pack("provisions:\n" + requires_tie_off("rule")).text},
                    {"b.yaml", small_pack("provisions:\n" + requires_tie_off("rule")).text}});
    REQUIRE(codes(loaded.findings) == std::vector<std::string>{"edition-overlap"});
    CHECK(loaded.findings.front().help.starts_with("two files hold the same edition"));
}

TEST_CASE("editions: a pack that would govern by its own word is named where it has none") {
    const std::string itself = provision("counts", "governs: t.policy", "roofed");
    const Shelf shelf = shelf_of(
        {small_vocabulary(),
         small_pack("provisions:\n" + provision("law", "governs: t.law") + frees_tie_off("frees"),
                    "t.law"),
         small_pack("provisions:\n" + itself + requires_tie_off("asks"), "t.policy", "maker",
                    edition("from: 2024-07-01"))});
    const auto named = [&shelf](const GivenFacts& facts, const char* on) {
        const std::vector<std::string> cautions = decided(shelf, facts, on).cautions;
        return std::count(cautions.begin(), cautions.end(),
                          "not in force: no edition of t.policy counts on 2024-06-01: it begins on "
                          "2024-07-01, and nothing was weighed under it");
    };
    CHECK(named({{"roofed", "yes"}}, "2024-06-01") == 1);
    CHECK(named({}, "2024-06-01") == 1);
    CHECK(named({{"roofed", "no"}}, "2024-06-01") == 0);
    CHECK(named({{"roofed", "yes"}}, "2024-07-01") == 0);
}

TEST_CASE("adoption: the newest edition counts on all days, and a day before it brings a caution") {
    const std::string adopting = "adopts: {rulepack: t.base, cite: Taken 1, source: read}\n";
    const auto base = [](const std::string& provisions, const char* from) {
        return small_pack("provisions:\n" + provisions, "t.base", "regulation",
                          edition(std::string("from: ") + from));
    };
    SourceText older = base(requires_tie_off("old"), "2000-01-01");
    SourceText newer = base(frees_tie_off("new"), "2024-07-01");
    older.name = "older.yaml";
    newer.name = "newer.yaml";
    const Shelf shelf = shelf_of(
        {small_vocabulary(), older, newer,
         small_pack(adopting + "provisions:\n" + provision("note", "remarks-on: tie-off"))});
    DecideOptions only;
    only.authorities = {"test.pack"};
    const auto cautioned = [&](const char* on) {
        const std::vector<std::string> cautions = decided(shelf, GivenFacts{}, on, only).cautions;
        return std::any_of(cautions.begin(), cautions.end(), [](const std::string& each) {
            return each.starts_with("adopted text begins later: test.pack takes over the newest "
                                    "edition of t.base, which begins on 2024-07-01;");
        });
    };
    CHECK(cautioned("2024-06-30"));
    CHECK_FALSE(cautioned("2024-07-01"));
    CHECK(linted(shelf, "adopts-newest").size() == 1);
}

TEST_CASE("editions: before the first one is an error, never the nearest") {
    const Shelf shelf = small_shelf(requires_tie_off("rule"));
    const Answer answer = shelf.decide({}, day("1999-12-31"));
    CHECK_FALSE(answer.decision);
    REQUIRE(codes(answer.findings) == std::vector<std::string>{"before-first-edition"});
    CHECK(answer.findings.front().message.find("test.pack") != std::string::npos);
    CHECK(shelf.decide({}, day("2000-01-01")).decision);
}

TEST_CASE("editions: a date fact may pick them") {
    const Shelf shelf =
        shelf_of({small_vocabulary(),
                  {"a.yaml", small_pack("provisions:\n" + requires_tie_off("old"), "t.rules",
                                        "regulation", edition("from: 2000-01-01", "made-on"))
                                 .text},
                  {"b.yaml", small_pack("provisions:\n" + frees_tie_off("new"), "t.rules",
                                        "regulation", edition("from: 2010-01-01", "made-on"))
                                 .text}});
    CHECK(tie_off(decided(shelf, {{"made-on", "2009-12-31"}})).outcome == Outcome::required);
    CHECK(tie_off(decided(shelf, {{"made-on", "2010-01-01"}})).outcome == Outcome::not_required);
    const Decision open = decided(shelf, GivenFacts{});
    CHECK(tie_off(open).outcome == Outcome::undetermined);
    CHECK(tie_off(open).settled_by == std::vector<std::string>{"made-on"});
    const Answer early = shelf.decide(facts_of({{"made-on", "1999-12-31"}}), day("2024-06-01"));
    CHECK_FALSE(early.decision);
    CHECK(codes(early.findings) == std::vector<std::string>{"before-first-edition"});
}

TEST_CASE("in force: from the first day through the last") {
    const Shelf shelf = small_shelf(
        requires_tie_off("rule", "", "in-force: {from: 2010-01-01, until: 2010-12-31}"));
    const auto outcome = [&](const char* on) {
        return tie_off(decided(shelf, GivenFacts{}, on)).outcome;
    };
    CHECK(outcome("2009-12-31") == Outcome::not_addressed);
    CHECK(outcome("2010-01-01") == Outcome::required);
    CHECK(outcome("2010-12-31") == Outcome::required);
    CHECK(outcome("2011-01-01") == Outcome::not_addressed);
}

TEST_CASE("adoption: what is taken over, left out, narrowed and added") {
    const Shelf shelf = shelf_of(
        {small_vocabulary(),
         small_pack("conditions:\n  tall: {reads: tall, is: height is more than 10 ft}\n"
                    "provisions:\n" +
                        requires_tie_off("tall-rule", "tall") +
                        requires_tie_off("mast-rule", "mechanism is mast"),
                    "fed.rules"),
         small_pack("adopts: {rulepack: fed.rules, leaves-out: [mast-rule], where: roofed, "
                    "cite: State 1, source: read}\nprovisions:\n" +
                        requires_tie_off("own-rule", "gate-open"),
                    "state.rules")});
    DecideOptions state;
    state.authorities = {"state.rules"};
    const auto outcome = [&](GivenFacts facts) {
        return tie_off(decided(shelf, facts, "2024-06-01", state)).outcome;
    };
    CHECK(outcome({{"height", "11 ft"}, {"roofed", "yes"}, {"gate-open", "no"}}) ==
          Outcome::required);
    CHECK(outcome({{"height", "11 ft"}, {"roofed", "no"}, {"gate-open", "no"}}) ==
          Outcome::not_addressed);
    CHECK(outcome({{"height", "1 ft"}, {"roofed", "yes"}, {"gate-open", "yes"}}) ==
          Outcome::required);
    CHECK(outcome({{"mechanism", "mast"}, {"height", "1 ft"}, {"gate-open", "no"}}) ==
          Outcome::not_addressed);
    const Decision decision = decided(
        shelf, {{"height", "11 ft"}, {"roofed", "yes"}, {"gate-open", "no"}}, "2024-06-01", state);
    CHECK(tie_off(decision).provisions == std::vector<std::string>{"state.rules/tall-rule"});
    const auto adopted =
        std::find_if(decision.trail.begin(), decision.trail.end(),
                     [](const Step& step) { return step.provision == "state.rules/tall-rule"; });
    REQUIRE(adopted != decision.trail.end());
    CHECK(adopted->cite == "Rule tall-rule");
    CHECK(adopted->adopted_by.find("State 1") != std::string::npos);
}

TEST_CASE(
    "adoption: of two packs, the one's displacement reaches the adopted copy of the other's") {
    const Shelf shelf = shelf_of(
        {small_vocabulary(), small_pack("provisions:\n" + requires_tie_off("asks"), "fed.one"),
         small_pack("provisions:\n" + frees_tie_off("frees", "", "displaces: [fed.one/asks]"),
                    "fed.two"),
         small_pack("adopts: [{rulepack: fed.one, cite: State 1, source: read}, "
                    "{rulepack: fed.two, cite: State 2, source: read}]\nprovisions:\n" +
                        requires_tie_off("own-rule", "gate-open"),
                    "state.rules")});
    DecideOptions state;
    state.authorities = {"state.rules"};
    const Decision decision = decided(shelf, {{"gate-open", "no"}}, "2024-06-01", state);
    CHECK(status_of(decision, "state.rules/asks") == Status::displaced);
    CHECK(tie_off(decision).outcome == Outcome::not_required);
}

TEST_CASE("adoption: what a pack named beside its own copy stays what it named") {
    const Shelf shelf = shelf_of(
        {small_vocabulary(), small_pack("provisions:\n" + requires_tie_off("asks"), "fed.one"),
         small_pack("adopts: {rulepack: fed.one, cite: State 1, source: read}\nprovisions:\n" +
                        requires_tie_off("own-rule", "", "displaces: [fed.one/asks]"),
                    "state.rules"),
         small_pack("adopts: {rulepack: state.rules, cite: County 1, source: read}\n"
                    "provisions:\n" +
                        requires_tie_off("county-rule", "gate-open"),
                    "county.rules")});
    for (const std::string authority : {"state.rules", "county.rules"}) {
        DecideOptions options;
        options.authorities = {authority};
        const Decision decision = decided(shelf, {{"gate-open", "no"}}, "2024-06-01", options);
        CHECK(status_of(decision, authority + "/asks") == Status::stands);
    }
}

TEST_CASE("scope: a pack's names are its own") {
    const std::string with_tall = "conditions:\n  tall: {reads: tall, is: height is more than ";
    const Shelf shelf = shelf_of(
        {small_vocabulary(),
         small_pack(with_tall + "10 ft}\nprovisions:\n" + requires_tie_off("a", "tall"), "t.ten"),
         small_pack(with_tall + "6 ft}\nprovisions:\n" + requires_tie_off("a", "tall"), "t.six")});
    const auto outcome = [&](const char* authority) {
        DecideOptions options;
        options.authorities = {authority};
        return tie_off(decided(shelf, {{"height", "8 ft"}}, "2024-06-01", options)).outcome;
    };
    CHECK(outcome("t.ten") == Outcome::not_addressed);
    CHECK(outcome("t.six") == Outcome::required);
    const LoadedShelf loaded = load_shelf(
        {small_vocabulary(),
         small_pack(with_tall + "10 ft}\nprovisions:\n" + requires_tie_off("a", "tall"), "t.ten"),
         small_pack("provisions:\n" + requires_tie_off("a", "tall"), "t.other")});
    CHECK_FALSE(loaded.shelf);
    CHECK(codes(loaded.findings) == std::vector<std::string>{"unknown-name"});
}

TEST_CASE("shelf: what a host can list") {
    const Shelf shelf = small_shelf(requires_tie_off("rule"));
    const std::vector<FactInfo> facts = shelf.facts();
    const auto find = [&](const char* name) {
        const auto found = std::find_if(facts.begin(), facts.end(),
                                        [name](const FactInfo& f) { return f.name == name; });
        REQUIRE(found != facts.end());
        return *found;
    };
    CHECK(find("height").type == "length");
    CHECK(find("height").unit == "ft");
    CHECK(find("mechanism").values == std::vector<std::string>{"boom", "scissor", "mast"});
    CHECK(find("means").plan);
    CHECK(find("tied-off").plan);
    CHECK_FALSE(find("height").plan);
    CHECK(find("depth").may_not_apply);
    CHECK(find("height").ask == "How high?");
    const std::vector<PackInfo> packs = shelf.packs();
    REQUIRE(packs.size() == 1);
    CHECK(packs.front().authority == "test.pack");
    CHECK(packs.front().provisions == 1);
    CHECK(packs.front().from == "2000-01-01");
}
