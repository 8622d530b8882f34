// Cautions on facts that cannot be true together, and on quantities that have no value.
#include "deciding/cautions.hpp"
#include "support/small_shelf.hpp"
#include "toprail/receipt.hpp"
#include "toprail/redaction.hpp"
#include "toprail/retelling.hpp"
#include "toprail/telling.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace toprail;
using namespace toprail::test;

namespace {

std::vector<std::string> beginning(const Decision& decision, std::string_view with) {
    std::vector<std::string> all = decision.cautions;
    std::erase_if(all, [with](const std::string& each) { return !each.starts_with(with); });
    return all;
}

std::vector<std::string> odds(const Decision& decision) {
    return beginning(decision, at_odds);
}

std::vector<std::string> lacking(const Decision& decision) {
    return beginning(decision, no_value);
}

SourceText words_at_odds() {
    SourceText words = small_vocabulary();
    words.text += R"(  rise: {kind: length, unit: ft, reads: the rise, equals: height - width}
conditions:
  low-down: {reads: low down, is: rise is less than 0 ft}
at-odds:
  roofed-boom:
    says: a boom has no roof
    where: {all-of: [mechanism is boom, roofed]}
  deep-down:
    says: what is low down is not deep
    where: {all-of: [low-down, depth is more than 5 ft]}
)";
    return words;
}

Shelf shelf_at_odds() {
    return shelf_of({words_at_odds(),
                     small_pack("provisions:\n" + requires_tie_off("a", "gate-open"), "t.one"),
                     small_pack("provisions:\n" + requires_tie_off("b", "roofed"), "t.two")});
}

// Steepness has no value at 10 ft, and neither has what is made of it.
std::string with_steepness(const std::string& provisions) {
    return R"(quantities:
  missing: {kind: length, unit: ft, reads: what is missing, equals: 10 ft - height}
  steepness: {kind: ratio, reads: the steepness, equals: height / missing}
  twice: {kind: ratio, reads: twice the steepness, equals: 2 * steepness}
  side: {kind: length, unit: ft, reads: the side, equals: sqrt(missing * 1 ft)}
  over-depth: {kind: ratio, reads: steepness over depth, equals: steepness * depth / 1 ft}
provisions:
)" + provisions;
}

Shelf steep(const std::string& provisions) {
    return shelf_of({small_vocabulary(), small_pack(with_steepness(provisions))});
}

const std::string steepness_lacks =
    "no value: the steepness (steepness = height / missing = 10 ft / 0 ft) divides by zero or "
    "takes the root of a negative number; what compares it counts as not so, which may hide a "
    "duty: ask a qualified person";

}  // namespace

TEST_CASE("at odds: facts that cannot be true together are told with their values") {
    const Shelf shelf = shelf_at_odds();
    const Decision decision = decided(shelf, {{"mechanism", "boom"}, {"roofed", "yes"}});
    CHECK(decision.cautions.front() ==
          "facts at odds: a boom has no roof (mechanism: boom, roofed: yes); find out which is so "
          "before anybody relies on this answer");
    CHECK(odds(decision).size() == 1);
}

TEST_CASE("at odds: what is not known or does not apply is never at odds") {
    const Shelf shelf = shelf_at_odds();
    CHECK(odds(decided(shelf, {{"mechanism", "boom"}})).empty());
    CHECK(odds(decided(shelf, {{"roofed", "yes"}})).empty());
    CHECK(odds(decided(shelf, {{"mechanism", "boom"}, {"roofed", "no"}})).empty());
    CHECK(odds(decided(shelf, {{"mechanism", "boom"}, {"roofed", "does not apply"}})).empty());
    CHECK(odds(decided(shelf, {{"mechanism", "mast"}, {"roofed", "yes"}})).empty());
}

TEST_CASE("at odds: the facts behind conditions and quantities are named, those given alone") {
    const Decision decision =
        decided(shelf_at_odds(), {{"height", "3 ft"}, {"width", "1 yd 1 ft"}, {"depth", "6 ft"}});
    CHECK(odds(decision) ==
          std::vector<std::string>{
              "facts at odds: what is low down is not deep (depth: 6 ft, height: 3 ft, width: 1 yd "
              "1 ft); find out which is so before anybody relies on this answer"});
}

TEST_CASE("at odds: they are told whoever governs, and under whatever authority is named") {
    const Shelf shelf = shelf_at_odds();
    const GivenFacts facts{{"mechanism", "boom"}, {"roofed", "yes"}};
    for (const char* authority : {"t.one", "t.two"}) {
        DecideOptions how;
        how.authorities = {authority};
        CHECK(odds(decided(shelf, facts, "2024-06-01", how)).size() == 1);
    }
    // They change no answer, and do not count as rules that look at a fact.
    const Decision decision = decided(shelf, facts);
    CHECK(tie_off(decision).outcome == Outcome::required);
    const Shelf without = shelf_of(
        {small_vocabulary(), small_pack("provisions:\n" + requires_tie_off("a", "gate-open"))});
    CHECK(beginning(decided(without, {{"roofed", "yes"}}), no_rule_looks).size() == 1);
}

TEST_CASE("at odds: the order of their names, and names taken twice") {
    const Decision decision = decided(shelf_at_odds(), {{"height", "3 ft"},
                                                        {"width", "4 ft"},
                                                        {"depth", "6 ft"},
                                                        {"mechanism", "boom"},
                                                        {"roofed", "yes"}});
    REQUIRE(odds(decision).size() == 2);
    CHECK(odds(decision)[0].find("low down") != std::string::npos);
    SourceText more{"more.yaml", "vocabulary: more\ntitle: t\nat-odds:\n  roofed-boom: {says: s, "
                                 "where: roofed}\n  Odd: {where: roofed}\n  none: {says: s}\n"};
    const LoadedShelf twice =
        load_shelf({words_at_odds(), more, small_pack("provisions:\n" + requires_tie_off("a"))});
    std::vector<std::string> codes;
    for (const Finding& finding : twice.findings) {
        codes.push_back(std::string(finding.code) + " " + std::to_string(finding.place.line));
    }
    CHECK(codes ==
          std::vector<std::string>{"name-taken 4", "bad-name 5", "missing-key 5", "missing-key 6"});
}

TEST_CASE("at odds: a condition used for them alone is used, and one never true is told") {
    std::vector<Finding> found = lint_shelf(shelf_at_odds());
    std::erase_if(found, [](const Finding& each) { return each.code != "unused-condition"; });
    CHECK_MESSAGE(found.empty(), told(found));
    SourceText words = small_vocabulary();
    words.text += "at-odds:\n  never: {says: s, where: {all-of: [roofed, not roofed]}}\n";
    found = lint_shelf(
        shelf_of({words, small_pack("provisions:\n" + requires_tie_off("a", "reach is more than "
                                                                            "3 ft"))}));
    CHECK(std::count_if(found.begin(), found.end(), [](const Finding& each) {
              return each.code == "never-true" && each.place.file == "vocabulary.yaml";
          }) == 1);
}

TEST_CASE(
    "at odds: a receipt that loses any fact loses the caution, and does not show which pair") {
    const ReceiptMaker maker(shelf_at_odds());
    ReceiptOptions options;
    options.seed = Seed{1};
    const MadeReceipt made =
        maker.make(facts_of({{"mechanism", "boom"}, {"roofed", "yes"}, {"gate-open", "yes"}}),
                   day("2024-06-01"), {}, "c", options);
    REQUIRE(made.text.find("a boom has no roof") != std::string::npos);
    for (const char* fact : {"gate-open", "roofed"}) {
        const std::string left = redact(made.text, {fact}).text.value();
        CHECK(left.find("a boom has no roof") == std::string::npos);
        CHECK(left.find("\"on\":[\"gate-open\",\"mechanism\",\"roofed\"]") != std::string::npos);
        const Decision told = retell(*read_receipt(left).receipt);
        CHECK(told.cautions.front() == "removed from this receipt: " + std::string(fact) +
                                           "; what was told with it is missing here, 1 of its "
                                           "cautions among it");
    }
}

TEST_CASE("no value: a duty that hinges on a quantity that divides by zero is no silent answer") {
    const Shelf shelf = steep(requires_tie_off("a", "steepness is more than 2"));
    const Decision none = decided(shelf, {{"height", "10 ft"}});
    CHECK(tie_off(none).outcome == Outcome::not_addressed);
    CHECK(lacking(none) == std::vector<std::string>{steepness_lacks});
    CHECK(none.trail.front().because.front().says ==
          "the steepness is more than 2 (steepness has no value)");
    CHECK(lacking(decided(shelf, {{"height", "9 ft"}})).empty());
    CHECK(lacking(decided(shelf, GivenFacts{})).empty());
}

TEST_CASE("no value: what lacks a value because another does leads to that one") {
    const Shelf shelf = steep(requires_tie_off("a", "twice is at most 2"));
    CHECK(lacking(decided(shelf, {{"height", "10 ft"}})) ==
          std::vector<std::string>{steepness_lacks});
}

TEST_CASE("no value: a root of a negative number counts likewise") {
    const Shelf shelf = steep(requires_tie_off("a", "side is less than 2 ft"));
    const Decision decision = decided(shelf, {{"height", "14 ft"}});
    CHECK(lacking(decision).size() == 1);
    CHECK(lacking(decision).front().starts_with("no value: the side (side = sqrt(missing * 1 ft) = "
                                                "sqrt(-4 ft * 1 ft)) divides"));
    CHECK(lacking(decided(shelf, {{"height", "10 ft"}})).empty());
}

TEST_CASE("no value: a fact that does not apply is no such thing") {
    const Shelf shelf = steep(requires_tie_off("a", "over-depth is more than 2"));
    CHECK(lacking(decided(shelf, {{"height", "10 ft"}, {"depth", "does not apply"}})).empty());
    CHECK(lacking(decided(shelf, {{"height", "10 ft"}, {"depth", "3 ft"}})).size() == 1);
}

TEST_CASE("no value: where nothing hinges on it, nothing is said") {
    const Shelf both = steep(requires_tie_off("a", "{all-of: [gate-open, steepness is more than "
                                                   "2]}"));
    CHECK(lacking(decided(both, {{"height", "10 ft"}, {"gate-open", "no"}})).empty());
    CHECK(lacking(decided(both, {{"height", "10 ft"}, {"gate-open", "yes"}})).size() == 1);
    CHECK(lacking(decided(both, {{"height", "10 ft"}})).size() == 1);
    const Shelf either = steep(requires_tie_off("a", "{any-of: [gate-open, steepness is more than "
                                                     "2]}"));
    CHECK(lacking(decided(either, {{"height", "10 ft"}, {"gate-open", "yes"}})).empty());
    CHECK(lacking(decided(either, {{"height", "10 ft"}, {"gate-open", "no"}})).size() == 1);
    // Nor for an authority that does not govern.
    const Shelf apart = shelf_of(
        {small_vocabulary(),
         small_pack(with_steepness(requires_tie_off("a", "steepness is more than 2")), "t.one"),
         small_pack("provisions:\n" + requires_tie_off("b", "gate-open"), "t.two")});
    DecideOptions how;
    how.authorities = {"t.two"};
    CHECK(lacking(decided(apart, {{"height", "10 ft"}}, "2024-06-01", how)).empty());
}

TEST_CASE("no value: a limit on it is open, never met, and a bound by it is not met") {
    const Shelf on_it = steep(provision("a", "limit: side, at-most: 3 ft"));
    const Decision decision = decided(on_it, {{"height", "14 ft"}});
    CHECK(lacking(decision).size() == 1);
    CHECK(decision.limit("side")->value == "no value");
    REQUIRE(decision.fit.size() >= 1);
    const Fit& fit = decision.fit.back();
    CHECK(fit.name == "side");
    CHECK(fit.verdict == Verdict::open);
    CHECK(fit.reason == "it has no value that could be held against its bounds");
    CHECK(fit.provisions == std::vector<std::string>{"test.pack/a"});

    const Shelf by_it = steep(provision("a", "limit: width, at-most: side"));
    const Decision bounded = decided(by_it, {{"height", "14 ft"}, {"width", "3 ft"}});
    CHECK(lacking(bounded).size() == 1);
    CHECK(bounded.fit.back().verdict == Verdict::not_met);
    CHECK(bounded.fit.back().reason == "3 ft against at most side (no value)");
}

TEST_CASE("doubts: no more than can be read are told, and the rest is counted") {
    SourceText words = small_vocabulary();
    words.text += "at-odds:\n";
    std::string quantities = "quantities:\n";
    std::string where = "{any-of: [";
    for (int i = 100; i < 170; ++i) {
        const std::string number = std::to_string(i);
        words.text += "  odd-" + number + ": {says: odd " + number + ", where: roofed}\n";
        quantities += "  q-" + number + ": {kind: ratio, reads: q, equals: width / height}\n";
        where += (i == 100 ? "q-" : ", q-") + number + " is more than " + number;
    }
    const Shelf shelf = shelf_of(
        {words, small_pack(quantities + "provisions:\n" + requires_tie_off("a", where + "]}"))});
    const Decision decision =
        decided(shelf, {{"roofed", "yes"}, {"height", "0 ft"}, {"width", "3 ft"}});
    REQUIRE(odds(decision).size() == 51);
    CHECK(odds(decision)[49].starts_with("facts at odds: odd 149 ("));
    CHECK(odds(decision)[50] == "facts at odds: 20 more, which are not told");
    REQUIRE(lacking(decision).size() == 51);
    CHECK(lacking(decision)[49].find("(q-149 = ") != std::string::npos);
    CHECK(lacking(decision)[50] == "no value: 20 more, which are not told");
}

TEST_CASE(
    "doubts: they are told before the answer, in text and on a page, and among the cautions") {
    const Decision decision =
        decided(shelf_at_odds(), {{"mechanism", "boom"}, {"roofed", "yes"}, {"gate-open", "yes"}});
    for (const Length length : {Length::answer, Length::everything}) {
        const std::string text = tell_text(decision, "lift", {}, length);
        const std::size_t first = text.find("stop and ask          facts at odds: a boom has no");
        REQUIRE(first != std::string::npos);
        CHECK(first < text.find("REQUIRED"));
        CHECK(text.find("caution               facts at odds: a boom has no") > first);
        const std::string page = tell_html(decision, "lift", {}, length);
        const std::size_t strong =
            page.find("<strong>Stop and ask:</strong> facts at odds: a boom");
        REQUIRE(strong != std::string::npos);
        CHECK(strong < page.find("Must the person"));
        CHECK(page.find("<li>facts at odds: a boom has no roof") != std::string::npos);
    }
    const Decision sound = decided(shelf_at_odds(), {{"mechanism", "boom"}, {"roofed", "no"}});
    CHECK(tell_text(sound, "lift").find("stop and ask") == std::string::npos);
    CHECK(tell_html(sound, "lift").find("Stop and ask") == std::string::npos);
}
