// Choices, limits, and how the plan fits them.
#include "support/small_shelf.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace toprail;
using namespace toprail::test;

namespace {

using Names = std::vector<std::string>;

std::optional<Fit> fit_of(const Decision& decision, std::string_view name) {
    const auto found = std::find_if(decision.fit.begin(), decision.fit.end(),
                                    [name](const Fit& fit) { return fit.name == name; });
    return found == decision.fit.end() ? std::nullopt : std::optional(*found);
}

Verdict verdict(const Decision& decision, std::string_view name) {
    const auto fit = fit_of(decision, name);
    REQUIRE(fit);
    return fit->verdict;
}

const Bound& strictest(const Decision& decision, std::string_view name, bool at_most = true) {
    const LimitDecision* limit = decision.limit(name);
    REQUIRE(limit != nullptr);
    const auto found =
        std::find_if(limit->bounds.begin(), limit->bounds.end(), [at_most](const Bound& bound) {
            return bound.strictest && bound.at_most == at_most;
        });
    REQUIRE(found != limit->bounds.end());
    return *found;
}

}  // namespace

TEST_CASE("choice: the intersection over all authorities, with who removed what") {
    const Shelf shelf = shelf_of(
        {small_vocabulary(),
         small_pack("provisions:\n" + provision("a", "choice: anchor, admits: [boom, basket]"),
                    "t.one"),
         small_pack("provisions:\n" + provision("b", "choice: anchor, bars: [boom]", "roofed"),
                    "t.two")});
    const Decision both = decided(shelf, {{"roofed", "yes"}, {"anchor", "boom"}});
    const ChoiceDecision* anchor = both.choice("anchor");
    REQUIRE(anchor != nullptr);
    CHECK(anchor->admissible == Names{"basket"});
    CHECK(anchor->barred.at("boom") == Names{"t.two/b"});
    CHECK(anchor->barred.at("structure") == Names{"t.one/a"});
    CHECK(verdict(both, "anchor") == Verdict::not_met);
    CHECK(verdict(decided(shelf, {{"roofed", "yes"}, {"anchor", "basket"}}), "anchor") ==
          Verdict::met);
    const Decision open = decided(shelf, {{"anchor", "boom"}});
    CHECK(open.choice("anchor")->admissible == Names{"basket"});
    CHECK(open.choice("anchor")->open.at("boom") == Names{"t.two/b"});
    CHECK(open.choice("anchor")->settled_by == Names{"roofed"});
    CHECK(verdict(open, "anchor") == Verdict::open);
    CHECK_FALSE(fit_of(decided(shelf, {{"roofed", "yes"}}), "anchor"));
}

TEST_CASE("choice: nothing left is a result of its own") {
    const Shelf shelf = small_shelf(provision("a", "choice: means, bars: [arrest]", "gate-open") +
                                    provision("b", "choice: means, admits: [arrest]", "roofed"));
    const Decision empty = decided(shelf, {{"gate-open", "yes"}, {"roofed", "yes"}});
    CHECK(empty.choice("means")->empty == Perhaps::yes);
    CHECK(empty.choice("means")->admissible.empty());
    CHECK(verdict(empty, "means") == Verdict::not_met);
    CHECK(fit_of(empty, "means")->reason.find("stop and ask") != std::string::npos);
    CHECK(decided(shelf, {{"gate-open", "yes"}}).choice("means")->empty == Perhaps::possibly);
    CHECK(decided(shelf, {{"gate-open", "no"}}).choice("means")->empty == Perhaps::no);
}

TEST_CASE("limit: the strictest wins by exact figure, the others stay") {
    const Shelf shelf = small_shelf(provision("six", "limit: height, at-most: 6 ft") +
                                    provision("metric", "limit: height, at-most: 1.8 m") +
                                    provision("seventy", "limit: height, at-most: 71 in") +
                                    provision("floor", "limit: height, at-least: 2 ft") +
                                    provision("half", "limit: height, at-least: 0.6 m"));
    const Decision decision = decided(shelf, {{"height", "1.8 m"}});
    CHECK(decision.limit("height")->bounds.size() == 5);
    CHECK(strictest(decision, "height").text == "1.8 m");
    CHECK(strictest(decision, "height", false).text == "2 ft");
    CHECK(verdict(decision, "height") == Verdict::met);
    CHECK(verdict(decided(shelf, {{"height", "71 in"}}), "height") == Verdict::not_met);
    CHECK(verdict(decided(shelf, {{"height", "23.9 in"}}), "height") == Verdict::not_met);
    CHECK(verdict(decided(shelf, GivenFacts{}), "height") == Verdict::open);
}

TEST_CASE("limit: 6 ft is met at 6 ft and not a hair above") {
    const Shelf shelf = small_shelf(provision("six", "limit: height, at-most: 6 ft"));
    for (const char* six : {"6 ft", "72 in", "1828.8 mm"}) {
        CAPTURE(six);
        CHECK(verdict(decided(shelf, {{"height", six}}), "height") == Verdict::met);
    }
    CHECK(verdict(decided(shelf, {{"height", "1828.8001 mm"}}), "height") == Verdict::not_met);
}

TEST_CASE("limit: a quantity may bound another, told with its figure") {
    const Shelf shelf = small_shelf(provision("w", "limit: height, at-most: width"));
    const Decision decision = decided(shelf, {{"height", "5 ft"}, {"width", "4 ft"}});
    CHECK(strictest(decision, "height").text == "width (4 ft)");
    CHECK(verdict(decision, "height") == Verdict::not_met);
    CHECK(verdict(decided(shelf, {{"height", "4 ft"}, {"width", "48 in"}}), "height") ==
          Verdict::met);
    CHECK(verdict(decided(shelf, {{"height", "4 ft"}}), "height") == Verdict::open);
}

TEST_CASE("limit: a quantity is held by its exact value, a root included") {
    const std::string body =
        "quantities:\n"
        "  slant: {kind: length, unit: ft, reads: slant, equals: sqrt(height * height + width * "
        "width)}\n"
        "provisions:\n" +
        provision("five", "limit: slant, at-most: 5 ft");
    const Shelf shelf = shelf_of({small_vocabulary(), small_pack(body)});
    CHECK(verdict(decided(shelf, {{"height", "3 ft"}, {"width", "4 ft"}}), "slant") ==
          Verdict::met);
    CHECK(verdict(decided(shelf, {{"height", "3 ft"}, {"width", "4.0001 ft"}}), "slant") ==
          Verdict::not_met);
    CHECK(verdict(decided(shelf, {{"height", "3 ft"}, {"width", "3 ft"}}), "slant") ==
          Verdict::met);
}

TEST_CASE("limit: a fact that does not apply is held to nothing") {
    const Shelf shelf = small_shelf(provision("d", "limit: depth, at-most: 6 ft"));
    CHECK_FALSE(fit_of(decided(shelf, {{"depth", "does not apply"}}), "depth"));
    CHECK(fit_of(decided(shelf, {{"depth", "7 ft"}}), "depth")->verdict == Verdict::not_met);
}

TEST_CASE("fit: a duty is met, not met, or open, and why is told") {
    const Shelf shelf = small_shelf(
        requires_tie_off("a", "mechanism is boom") +
        provision("b", "relaxes: [a], terms: Keep low.", "roofed", "terms-met-by: gate-open"));
    const auto told = [&](const Facts& more) {
        Facts facts = more;
        if (facts.find("roofed") == nullptr) {
            facts.set("roofed", "no");
        }
        const Fit fit = decided(shelf, facts).fit.at(0);
        CHECK(fit.about == "duty");
        CHECK(fit.name == "tie-off");
        return std::string(word(fit.verdict)) + ": " + fit.reason;
    };
    CHECK(told(facts_of({{"mechanism", "boom"}, {"tied-off", "yes"}})) ==
          "met: required, and the plan shows it");
    CHECK(told(facts_of({{"mechanism", "boom"}, {"tied-off", "no"}})) ==
          "not met: required, and the plan does not do it");
    CHECK(told(facts_of({{"mechanism", "boom"}})) ==
          "open: required, and the plan does not say whether it is done");
    CHECK(told(facts_of({{"mechanism", "mast"}, {"tied-off", "no"}})) == "met: not addressed");
    CHECK(told(facts_of({{"tied-off", "yes"}})) == "met: undetermined, and the plan shows it");
    CHECK(told(facts_of({{"tied-off", "no"}})) == "open: undetermined; act as if required");
    const auto under_a_roof = [&](std::string_view gate_open) {
        return told(facts_of({{"mechanism", "boom"},
                              {"tied-off", "no"},
                              {"roofed", "yes"},
                              {"gate-open", gate_open}}));
    };
    CHECK(under_a_roof("yes") == "met: not done, but the terms of the exception are met");
    CHECK(under_a_roof("no") == "not met: not done, and the terms of the exception are not met");
    CHECK(under_a_roof("not known") == "open: not done: only the exception covers it, and its "
                                       "terms are not shown to be met");
}

TEST_CASE("limit: when an open one holds is told in words, of neighbouring counts too") {
    const auto when = [](const std::string& where, GivenFacts facts) {
        const Decision decision =
            decided(small_shelf(provision("cap", "limit: height, at-most: 6 ft", where)), facts);
        const Bound& bound = decision.limit("height")->bounds.at(0);
        CHECK(bound.status == Status::open);
        return bound.when;
    };
    CHECK(when("{all-of: [persons is at least 2, persons is less than 3]}", {}) ==
          "persons is exactly 2");
    CHECK(when("persons is at least 2", {}) == "persons is at least 2");
    CHECK(when("persons is more than 2", {}) == "persons is more than 2");
    CHECK(when("persons is less than 2", {}) == "persons is less than 2");
    CHECK(when("persons is at most 2", {}) == "persons is at most 2");
    CHECK(when("persons is exactly 0", {}) == "persons is exactly 0");
    CHECK(when("{all-of: [width is more than 2 ft, width is at most 9 ft]}", {}) ==
          "width is more than 2 ft and at most 9 ft");
    CHECK(when("{any-of: [width is less than 2 ft, width is exactly 9 ft]}", {}) ==
          "width is less than 2 ft or width is exactly 9 ft");
    CHECK(when("depth is at least 0 ft", {}) == "depth is any figure");
    CHECK(when("{none-of: [depth is at least 0 ft]}", {}) == "depth does not apply");
    CHECK(when("made-on is on or after 2000-01-01", {}) == "made-on is on or after 2000-01-01");
    CHECK(when("made-on is before 2000-01-01", {}) == "made-on is on or before 1999-12-31");
    CHECK(when("{all-of: [made-on is after 2000-01-01, made-on is before 2001-01-01]}", {}) ==
          "made-on is from 2000-01-02 to 2000-12-31");
    CHECK(when("guardrail is one of [complete, removed]", {}) ==
          "guardrail is one of [complete, removed]");
    CHECK(when("mechanism is not boom", {}) == "mechanism is one of [scissor, mast]");
    CHECK(when("{none-of: [guardrail is complete]}", {}) ==
          "guardrail is removed or guardrail does not apply");
    CHECK(when("{all-of: [not roofed, gate-open]}", {{"roofed", "no"}}) == "gate-open is yes");
}

TEST_CASE("limit: the plan beyond an open bound is open, beyond a standing one not met") {
    const Shelf shelf = small_shelf(provision("cap", "limit: height, at-most: 6 ft", "gate-open") +
                                    provision("wide", "limit: height, at-most: 20 ft"));
    const auto fit = [&](const char* height) {
        const Decision decision = decided(shelf, {{"height", height}});
        REQUIRE(decision.fit.size() == 1);
        return decision.fit[0];
    };
    CHECK(fit("6 ft").verdict == Verdict::met);
    CHECK(fit("8 ft").verdict == Verdict::open);
    CHECK(fit("8 ft").reason == "8 ft against at most 6 ft, if gate-open is yes");
    CHECK(fit("8 ft").provisions == std::vector<std::string>{"test.pack/cap"});
    CHECK(fit("21 ft").verdict == Verdict::not_met);
    CHECK(fit("21 ft").reason == "21 ft against at most 20 ft");
    CHECK(fit("21 ft").provisions == std::vector<std::string>{"test.pack/wide"});
    const Fit open = decided(shelf, GivenFacts{}).fit.at(0);
    CHECK(open.verdict == Verdict::open);
    CHECK(open.provisions == std::vector<std::string>{"test.pack/cap", "test.pack/wide"});
}

TEST_CASE("fit: a choice is admissible, barred, may be, or has nothing left") {
    const Shelf shelf =
        small_shelf(provision("a", "choice: anchor, bars: [boom]") +
                    provision("b", "choice: anchor, bars: [basket]", "gate-open") +
                    provision("c", "choice: anchor, bars: [structure, basket]", "roofed"));
    const auto told = [&](std::string_view anchor, std::string_view gate, std::string_view roof) {
        const Decision decision =
            decided(shelf, {{"anchor", anchor}, {"gate-open", gate}, {"roofed", roof}});
        REQUIRE(decision.fit.size() == 1);
        const Fit& fit = decision.fit[0];
        CHECK(fit.about == "choice");
        CHECK(fit.name == "anchor");
        std::string text = std::string(word(fit.verdict)) + ": " + fit.reason;
        for (const std::string& provision : fit.provisions) {
            text += " " + provision;
        }
        return text;
    };
    CHECK(told("basket", "no", "no") == "met: basket is admissible");
    CHECK(told("boom", "no", "no") ==
          "not met: boom is barred; admissible: basket, structure test.pack/a");
    CHECK(told("basket", "not known", "no") ==
          "open: basket may still be barred; settle gate-open test.pack/b");
    CHECK(told("basket", "yes", "no") == "not met: basket is barred; admissible: structure "
                                         "test.pack/b");
    const Decision none = decided(shelf, {{"roofed", "yes"}, {"gate-open", "no"}});
    REQUIRE(none.fit.size() == 1);
    CHECK(none.fit[0].verdict == Verdict::not_met);
    CHECK(none.fit[0].reason ==
          "no " + none.choice("anchor")->reads + " satisfies every authority: stop and ask");
    CHECK(none.fit[0].provisions == std::vector<std::string>{"test.pack/a", "test.pack/c"});
    CHECK(decided(shelf, {{"roofed", "no"}, {"gate-open", "no"}}).fit.empty());
}

TEST_CASE("choice: one value may stand without brackets") {
    const Decision decision = decided(small_shelf(provision("a", "choice: means, bars: arrest") +
                                                  provision("b", "choice: anchor, admits: basket")),
                                      GivenFacts{});
    CHECK(decision.choice("means")->admissible == std::vector<std::string>{"restraint"});
    CHECK(decision.choice("anchor")->admissible == std::vector<std::string>{"basket"});
}
