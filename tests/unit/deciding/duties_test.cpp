// Duties: exceptions, displacement, contests, several authorities, the plan.
#include "support/governed.hpp"
#include "support/small_shelf.hpp"
#include "toprail/telling.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace toprail;
using namespace toprail::test;

namespace {

std::string relaxes(const std::string& id, const std::string& relaxed,
                    const std::string& where = {}, const std::string& met_by = {}) {
    return provision(id, "relaxes: [" + relaxed + "], terms: Keep low.", where,
                     met_by.empty() ? "" : "terms-met-by: " + met_by);
}

const Fit& fit_of(const Decision& decision, std::string_view name) {
    for (const Fit& fit : decision.fit) {
        if (fit.name == name) {
            return fit;
        }
    }
    throw std::runtime_error("no fit of " + std::string(name));
}

const std::vector<std::string>& displacing(const Decision& decision, std::string_view provision) {
    for (const Step& step : decision.trail) {
        if (step.provision == provision) {
            return step.displaced_by;
        }
    }
    throw std::runtime_error("not considered: " + std::string(provision));
}

}  // namespace

TEST_CASE("duty: required beats not required and is contested") {
    const Shelf shelf =
        small_shelf(requires_tie_off("asks") + frees_tie_off("frees", "mechanism is scissor"));
    const Decision both = decided(shelf, {{"mechanism", "scissor"}});
    CHECK(tie_off(both).outcome == Outcome::required);
    CHECK(tie_off(both).contested == Perhaps::yes);
    CHECK(tie_off(decided(shelf, {{"mechanism", "boom"}})).contested == Perhaps::no);
    CHECK(tie_off(decided(shelf, GivenFacts{})).contested == Perhaps::possibly);
}

TEST_CASE("duty: no contest between two authorities, the stricter holds") {
    const Shelf shelf =
        shelf_of({small_vocabulary(), small_pack("provisions:\n" + requires_tie_off("a"), "t.one"),
                  small_pack("provisions:\n" + frees_tie_off("a"), "t.two")});
    const Decision decision = decided(shelf, GivenFacts{});
    CHECK(tie_off(decision).outcome == Outcome::required);
    CHECK(tie_off(decision).contested == Perhaps::no);
    CHECK(tie_off(decision).provisions == std::vector<std::string>{"t.one/a"});
    DecideOptions only;
    only.authorities = {"t.two"};
    CHECK(tie_off(decided(shelf, GivenFacts{}, "2024-06-01", only)).outcome ==
          Outcome::not_required);
}

TEST_CASE("duty: what it rests on is told in order of the names") {
    const Shelf shelf = small_shelf(requires_tie_off("m", "roofed") + relaxes("b", "m, k") +
                                    relaxes("z", "m, k") + requires_tie_off("k"));
    CHECK(tie_off(decided(shelf, {{"roofed", "yes"}})).provisions ==
          std::vector<std::string>{"test.pack/b", "test.pack/k", "test.pack/m", "test.pack/z"});
}

TEST_CASE("duty: required whichever way an open fact turns rests on the open provisions") {
    const Shelf shelf = small_shelf(requires_tie_off("inside", "roofed") +
                                    requires_tie_off("outside", "not roofed") +
                                    frees_tie_off("frees", "gate-open"));
    const Decision decision = decided(shelf, GivenFacts{});
    CHECK(tie_off(decision).outcome == Outcome::required);
    CHECK(tie_off(decision).provisions ==
          std::vector<std::string>{"test.pack/inside", "test.pack/outside"});
    CHECK(tell_text(decision, "case").find("whichever way the facts that are not known turn out") !=
          std::string::npos);
    // Where one stands for certain it is the ground, and the open ones add nothing.
    const Shelf sure =
        small_shelf(requires_tie_off("inside", "roofed") + requires_tie_off("always"));
    CHECK(tie_off(decided(sure, GivenFacts{})).provisions ==
          std::vector<std::string>{"test.pack/always"});
}

TEST_CASE("caution: a yes that no rule looks at") {
    const Shelf shelf = small_shelf(requires_tie_off("asks", "roofed"));
    const auto told = [&shelf](const GivenFacts& facts) {
        const std::vector<std::string> cautions = decided(shelf, facts).cautions;
        return std::any_of(cautions.begin(), cautions.end(), [](const std::string& each) {
            return each.starts_with("no rule on the shelf looks at what was answered with yes: "
                                    "gate-open;");
        });
    };
    CHECK(told({{"gate-open", "yes"}}));
    CHECK_FALSE(told({{"gate-open", "no"}}));
    CHECK_FALSE(told({{"roofed", "yes"}}));
}

TEST_CASE("trail: a provision that only waits to be displaced says by which") {
    const Shelf shelf = small_shelf(
        requires_tie_off("asks", "mechanism is boom") +
        provision("other", "duty: tie-off, calls-for: required", "roofed", "displaces: [asks]"));
    const Decision decision = decided(shelf, {{"mechanism", "boom"}});
    const auto asks =
        std::find_if(decision.trail.begin(), decision.trail.end(),
                     [](const Step& step) { return step.provision == "test.pack/asks"; });
    REQUIRE(asks != decision.trail.end());
    CHECK(asks->status == Status::open);
    CHECK(asks->displaced_by == std::vector<std::string>{"test.pack/other"});
    CHECK(tell_text(decision, "case", {}, Length::everything)
              .find("its conditions are met, but it may be displaced by test.pack/other") !=
          std::string::npos);
}

TEST_CASE("duty: nothing standing is not addressed, which is not leave") {
    const Shelf shelf = small_shelf(requires_tie_off("asks", "mechanism is boom"));
    const Decision decision = decided(shelf, {{"mechanism", "mast"}});
    CHECK(tie_off(decision).outcome == Outcome::not_addressed);
    CHECK_FALSE(decision.undetermined());
    CHECK(decision.duty("vest") == nullptr);
}

TEST_CASE("duty: the first one is told even where nothing speaks of it") {
    const Shelf shelf = shelf_of(
        {small_vocabulary(),
         small_pack("provisions:\n" + provision("vests", "duty: vest, calls-for: required"),
                    "t.vest"),
         small_pack("provisions:\n" + requires_tie_off("ties"), "t.tie")});
    DecideOptions only;
    only.authorities = {"t.vest"};
    const Decision silent = decided(shelf, GivenFacts{}, "2024-06-01", only);
    REQUIRE(silent.duty("tie-off") != nullptr);
    CHECK(tie_off(silent).outcome == Outcome::not_addressed);
    CHECK(tie_off(silent).possible == std::vector<Outcome>{Outcome::not_addressed});
    CHECK_FALSE(tie_off(silent).spoken_of);
    const std::string text = tell_text(silent, "case");
    CHECK(text.find("NOT ADDRESSED") != std::string::npos);
    CHECK(text.find("no provision that may govern this case speaks of it") != std::string::npos);
    CHECK(tell_html(silent, "case").find("No provision that may govern") != std::string::npos);
    std::string json;
    append_json(json, silent, "case");
    CHECK(json.find(R"("tie-off":{"outcome":"not addressed")") != std::string::npos);
    CHECK(json.find(R"("spoken-of":false)") != std::string::npos);
    // Others that nothing speaks of are left out, and one that is spoken of is told as ever.
    only.authorities = {"t.tie"};
    const Decision spoken = decided(shelf, GivenFacts{}, "2024-06-01", only);
    CHECK(spoken.duty("vest") == nullptr);
    CHECK(tie_off(spoken).spoken_of);
}

TEST_CASE("exception: relaxes what it names, on its terms") {
    const Shelf shelf =
        small_shelf(requires_tie_off("asks") + relaxes("relief", "asks", "roofed", "gate-open"));
    const Decision relieved =
        decided(shelf, {{"roofed", "yes"}, {"tied-off", "no"}, {"gate-open", "yes"}});
    CHECK(tie_off(relieved).outcome == Outcome::required_with_exception);
    CHECK(tie_off(relieved).terms.at("test.pack/relief") == "Keep low.");
    CHECK(fit_of(relieved, "tie-off").verdict == Verdict::met);
    const Decision broken =
        decided(shelf, {{"roofed", "yes"}, {"tied-off", "no"}, {"gate-open", "no"}});
    CHECK(fit_of(broken, "tie-off").verdict == Verdict::not_met);
    const Decision unseen = decided(shelf, {{"roofed", "yes"}, {"tied-off", "no"}});
    CHECK(fit_of(unseen, "tie-off").verdict == Verdict::open);
    const Decision plain = decided(shelf, {{"roofed", "no"}, {"tied-off", "no"}});
    CHECK(tie_off(plain).outcome == Outcome::required);
    CHECK(fit_of(plain, "tie-off").verdict == Verdict::not_met);
    CHECK(tie_off(decided(shelf, GivenFacts{})).possible ==
          std::vector<Outcome>{Outcome::required, Outcome::required_with_exception});
}

TEST_CASE("exception: one that may come to cover the duty keeps the plan open") {
    const Shelf shelf =
        small_shelf(requires_tie_off("asks") + relaxes("low", "asks", "", "gate-open") +
                    relaxes("roof", "asks", "roofed", "means is restraint"));
    const auto with_roof = [&](std::string_view roofed) {
        const Decision decision = decided(
            shelf,
            {{"tied-off", "no"}, {"gate-open", "yes"}, {"means", "arrest"}, {"roofed", roofed}});
        return fit_of(decision, "tie-off").verdict;
    };
    CHECK(with_roof("no") == Verdict::met);
    CHECK(with_roof("yes") == Verdict::not_met);
    CHECK(with_roof("not known") == Verdict::open);
}

TEST_CASE("exception: one of a demand that falls asks nothing of the plan") {
    const Shelf shelf = small_shelf(
        requires_tie_off("asks") + requires_tie_off("asks-too", "mechanism is boom") +
        relaxes("low", "asks", "", "gate-open") + relaxes("roof", "asks-too", "", "roofed"));
    const auto on_a = [&](std::string_view mechanism) {
        const Decision decision = decided(
            shelf,
            {{"tied-off", "no"}, {"gate-open", "yes"}, {"roofed", "no"}, {"mechanism", mechanism}});
        return fit_of(decision, "tie-off").verdict;
    };
    CHECK(on_a("mast") == Verdict::met);
    CHECK(on_a("boom") == Verdict::not_met);
    CHECK(on_a("not known") == Verdict::open);
}

TEST_CASE("plan: fits a duty that asks nothing, whichever way it turns out") {
    const Shelf shelf = small_shelf(frees_tie_off("frees", "roofed"));
    const Decision decision = decided(shelf, {{"tied-off", "no"}});
    CHECK(tie_off(decision).outcome == Outcome::undetermined);
    CHECK(fit_of(decision, "tie-off").verdict == Verdict::met);
    CHECK(fit_of(decision, "tie-off").reason == "not required or not addressed");
}

TEST_CASE("exception: of one provision leaves another that requires") {
    const Shelf shelf =
        small_shelf(requires_tie_off("asks") + requires_tie_off("asks-too", "mechanism is boom") +
                    relaxes("relief", "asks"));
    CHECK(tie_off(decided(shelf, {{"mechanism", "boom"}})).outcome == Outcome::required);
    CHECK(tie_off(decided(shelf, {{"mechanism", "mast"}})).outcome ==
          Outcome::required_with_exception);
}

TEST_CASE("exception: counts only if every authority that requires recognises one") {
    const Shelf shelf =
        shelf_of({small_vocabulary(),
                  small_pack("provisions:\n" + requires_tie_off("a") + relaxes("b", "a"), "t.one"),
                  small_pack("provisions:\n" + requires_tie_off("a") + relaxes("b", "a", "roofed"),
                             "t.two")});
    CHECK(tie_off(decided(shelf, {{"roofed", "no"}})).outcome == Outcome::required);
    CHECK(tie_off(decided(shelf, {{"roofed", "yes"}})).outcome == Outcome::required_with_exception);
}

TEST_CASE("displacement: a chain goes by whoever is left standing") {
    const Shelf shelf = small_shelf(requires_tie_off("low") +
                                    frees_tie_off("middle", "roofed", "displaces: [low]") +
                                    requires_tie_off("high", "gate-open", "displaces: [middle]"));
    const Decision low = decided(shelf, {{"roofed", "no"}, {"gate-open", "no"}});
    CHECK(tie_off(low).outcome == Outcome::required);
    CHECK(status_of(low, "test.pack/low") == Status::stands);
    CHECK(status_of(low, "test.pack/middle") == Status::falls);
    const Decision middle = decided(shelf, {{"roofed", "yes"}, {"gate-open", "no"}});
    CHECK(tie_off(middle).outcome == Outcome::not_required);
    CHECK(status_of(middle, "test.pack/low") == Status::displaced);
    CHECK(displacing(middle, "test.pack/low") == std::vector<std::string>{"test.pack/middle"});
    CHECK(displacing(middle, "test.pack/middle").empty());
    CHECK(tie_off(middle).contested == Perhaps::no);
    const Decision high = decided(shelf, {{"roofed", "yes"}, {"gate-open", "yes"}});
    CHECK(tie_off(high).outcome == Outcome::required);
    CHECK(status_of(high, "test.pack/middle") == Status::displaced);
    CHECK(status_of(high, "test.pack/low") == Status::stands);
}

TEST_CASE("displacement: a displaced provision bars, limits and relaxes nothing") {
    const Shelf shelf = small_shelf(
        requires_tie_off("asks") + relaxes("relief", "asks") +
        provision("bar", "choice: means, bars: [arrest]") +
        provision("cap", "limit: height, at-most: 6 ft") +
        provision("over", "remarks-on: tie-off", "roofed", "displaces: [relief, bar, cap]"));
    const Decision under = decided(shelf, {{"roofed", "no"}});
    CHECK(tie_off(under).outcome == Outcome::required_with_exception);
    CHECK(under.choice("means")->admissible == std::vector<std::string>{"restraint"});
    REQUIRE(under.limit("height") != nullptr);
    const Decision over = decided(shelf, {{"roofed", "yes"}});
    CHECK(tie_off(over).outcome == Outcome::required);
    CHECK(over.choice("means")->admissible == std::vector<std::string>{"restraint", "arrest"});
    CHECK(over.limit("height") == nullptr);
}

TEST_CASE("displacement: across authorities, and only by one that governs") {
    const Shelf shelf = shelf_of(
        {small_vocabulary(), small_pack("provisions:\n" + requires_tie_off("a"), "t.one"),
         small_pack("provisions:\n" + frees_tie_off("b", "", "displaces: [t.one/a]"), "t.two")});
    DecideOptions both;
    both.authorities = {"t.one", "t.two"};
    CHECK(tie_off(decided(shelf, GivenFacts{}, "2024-06-01", both)).outcome ==
          Outcome::not_required);
    DecideOptions one;
    one.authorities = {"t.one"};
    CHECK(tie_off(decided(shelf, GivenFacts{}, "2024-06-01", one)).outcome == Outcome::required);
}

TEST_CASE("displacement: of a provision whose authority may yet govern") {
    const auto governed_if_roofed = [](const std::string& displacing_if) {
        return shelf_of(
            {small_vocabulary(), small_pack("provisions:\n" + requires_tie_off("a"), "t.one"),
             small_pack("provisions:\n" + frees_tie_off("b", displacing_if, "displaces: [t.one/a]"),
                        "t.two"),
             small_pack("provisions:\n" + provision("one", "governs: t.one", "roofed") +
                            provision("two", "governs: t.two"),
                        "t.governing", "guidance")});
    };
    const Decision always = decided(governed_if_roofed(""), GivenFacts{});
    CHECK(status_of(always, "t.one/a") == Status::displaced);
    CHECK(tie_off(always).outcome == Outcome::not_required);
    const Decision otherwise = decided(governed_if_roofed("not roofed"), GivenFacts{});
    CHECK(status_of(otherwise, "t.one/a") == Status::open);
}

TEST_CASE("plan: broken terms count where one demand or another is covered in any case") {
    const Shelf shelf = small_shelf(
        requires_tie_off("inside", "roofed") + requires_tie_off("outside", "not roofed") +
        provision("either", "relaxes: [inside, outside], terms: tied, terms-met-by: tied-off"));
    const Decision decision = decided(shelf, {{"tied-off", "no"}});
    CHECK(tie_off(decision).outcome == Outcome::required_with_exception);
    REQUIRE(decision.fit.size() == 1);
    CHECK(decision.fit[0].verdict == Verdict::not_met);
}

TEST_CASE("plan: of two exceptions whose terms exclude each other one is broken in any case") {
    const Shelf shelf =
        small_shelf(requires_tie_off("asks") + relaxes("open-air", "asks", "", "not roofed") +
                    relaxes("under-roof", "asks", "", "roofed"));
    const Decision decision = decided(shelf, {{"tied-off", "no"}});
    CHECK(tie_off(decision).outcome == Outcome::required_with_exception);
    CHECK(fit_of(decision, "tie-off").verdict == Verdict::not_met);
}

TEST_CASE("plan: an exception without a way to show its terms leaves the plan open") {
    const Shelf shelf =
        small_shelf(requires_tie_off("asks") + relaxes("shown", "asks", "", "roofed") +
                    relaxes("unshown", "asks", "means is arrest"));
    const auto verdict = [&shelf](const GivenFacts& facts) {
        return fit_of(decided(shelf, facts), "tie-off").verdict;
    };
    CHECK(verdict({{"tied-off", "no"}, {"roofed", "yes"}, {"means", "restraint"}}) == Verdict::met);
    CHECK(verdict({{"tied-off", "no"}, {"roofed", "yes"}, {"means", "arrest"}}) == Verdict::open);
    CHECK(verdict({{"tied-off", "no"}, {"roofed", "yes"}}) == Verdict::open);
    CHECK(verdict({{"tied-off", "no"}, {"roofed", "no"}}) == Verdict::not_met);
}

TEST_CASE("plan: a duty that turns on the plan alone is told by cases") {
    const Shelf shelf = small_shelf(requires_tie_off("asks", "means is arrest") +
                                    frees_tie_off("frees", "means is restraint"));
    const Decision open = decided(shelf, GivenFacts{});
    const DutyDecision& duty = tie_off(open);
    CHECK(duty.outcome == Outcome::undetermined);
    CHECK(duty.waits_for_plan);
    CHECK_FALSE(open.undetermined());
    REQUIRE(duty.conditional.size() == 2);
    CHECK(duty.conditional[0].when == "means is arrest");
    CHECK(duty.conditional[0].then == "required");
    CHECK(duty.conditional[1].when == "means is restraint");
    CHECK(duty.conditional[1].then == "not required");
    CHECK(tie_off(decided(shelf, {{"means", "arrest"}})).outcome == Outcome::required);
}

TEST_CASE("plan: an open plan makes no unrelated duty undetermined") {
    const Shelf shelf =
        small_shelf(requires_tie_off("asks") +
                    provision("cap", "limit: height, at-most: 6 ft", "means is arrest") +
                    provision("vest", "duty: vest, calls-for: required", "anchor is boom"));
    const Decision decision = decided(shelf, GivenFacts{});
    CHECK(tie_off(decision).outcome == Outcome::required);
    CHECK(decision.duty("vest")->waits_for_plan);
    const LimitDecision* limit = decision.limit("height");
    REQUIRE(limit != nullptr);
    REQUIRE(limit->bounds.size() == 1);
    CHECK(limit->bounds[0].status == Status::open);
    CHECK(limit->bounds[0].when == "means is arrest");
}

TEST_CASE("governing: the rulepack decides who does, unless the host names them") {
    const Shelf shelf = test::shelf_with_governing_pack();
    CHECK(tie_off(decided(shelf, {{"roofed", "no"}})).outcome == Outcome::not_required);
    CHECK(tie_off(decided(shelf, {{"roofed", "yes"}})).outcome == Outcome::required);
    const Decision open = decided(shelf, GivenFacts{});
    CHECK(tie_off(open).outcome == Outcome::undetermined);
    CHECK(tie_off(open).settled_by == std::vector<std::string>{"roofed"});
    DecideOptions named;
    named.authorities = {"t.one"};
    CHECK(tie_off(decided(shelf, {{"roofed", "no"}}, "2024-06-01", named)).outcome ==
          Outcome::required);
    named.authorities = {"t.nobody"};
    const Answer wrong = shelf.decide({}, day("2024-06-01"), named);
    CHECK_FALSE(wrong.decision);
    REQUIRE(wrong.findings.size() == 1);
    CHECK(wrong.findings.front().code == "unknown-authority");
}
