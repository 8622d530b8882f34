// When the work allowed for exact answers runs out, the answer is wider, never wrong, and says so.
#include "support/small_shelf.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace toprail;
using namespace toprail::test;

namespace {

// True whatever the facts are, but only a search over them shows it.
const char* const always_true =
    "{any-of: [{all-of: [gate-open, roofed]}, {all-of: [gate-open, not roofed]}, "
    "{all-of: [not gate-open, mechanism is boom]}, "
    "{all-of: [not gate-open, mechanism is not boom]}]}";

DecideOptions budget(std::size_t nodes) {
    DecideOptions options;
    options.budget = nodes;
    return options;
}

}  // namespace

TEST_CASE("budget: enough of it gives the exact answer") {
    const Shelf shelf = small_shelf(requires_tie_off("rule", always_true));
    const DutyDecision duty = tie_off(decided(shelf, GivenFacts{}));
    CHECK(duty.outcome == Outcome::required);
    CHECK(duty.exact);
    CHECK(duty.settled_by.empty());
}

TEST_CASE("budget: none of it gives a wider answer that contains the exact one") {
    const Shelf shelf = small_shelf(requires_tie_off("rule", always_true));
    const DutyDecision duty = tie_off(decided(shelf, GivenFacts{}, "2024-06-01", budget(1)));
    CHECK(duty.outcome == Outcome::undetermined);
    CHECK_FALSE(duty.exact);
    CHECK(duty.act_as_if == Outcome::required);
    CHECK(std::count(duty.possible.begin(), duty.possible.end(), Outcome::required) == 1);
    CHECK(duty.settled_by == std::vector<std::string>{"gate-open", "mechanism", "roofed"});
    CHECK_FALSE(duty.ask_next.empty());
}

TEST_CASE("budget: with all facts given none is needed") {
    const Shelf shelf = small_shelf(requires_tie_off("rule", always_true));
    const DutyDecision duty =
        tie_off(decided(shelf, {{"gate-open", "yes"}, {"roofed", "no"}, {"mechanism", "mast"}},
                        "2024-06-01", budget(1)));
    CHECK(duty.outcome == Outcome::required);
    CHECK(duty.exact);
}

TEST_CASE("budget: without any a choice names what it may hang on, and that it may be less") {
    const Shelf shelf = small_shelf(provision("bar", "choice: means, bars: [arrest]", always_true));
    const Decision rough = decided(shelf, GivenFacts{}, "2024-06-01", budget(1));
    const ChoiceDecision& choice = *rough.choice("means");
    CHECK(choice.open.contains("arrest"));
    CHECK(choice.settled_by == std::vector<std::string>{"gate-open", "mechanism", "roofed"});
    CHECK_FALSE(choice.exact);
    const Decision exact = decided(shelf, GivenFacts{});
    CHECK(exact.choice("means")->barred.contains("arrest"));
    CHECK(exact.choice("means")->settled_by.empty());
    CHECK(exact.choice("means")->exact);
}

TEST_CASE("budget: a formula with a part that does not apply is settled without any") {
    const Shelf shelf = shelf_of(
        {small_vocabulary(),
         small_pack("quantities:\n"
                    "  far: {kind: length, unit: ft, reads: far, equals: \"min(height + depth, "
                    "sqrt(width * depth))\"}\n"
                    "provisions:\n" +
                    requires_tie_off("rule", "far is at least 1 ft") +
                    provision("cap", "limit: far, at-most: 6 ft"))});
    const Decision decision =
        decided(shelf, {{"depth", "does not apply"}}, "2024-06-01", budget(1));
    CHECK(tie_off(decision).outcome == Outcome::not_addressed);
    CHECK(tie_off(decision).exact);
    // It is held to no limit either.
    const auto of_limits = [](const Fit& fit) { return fit.about == "limit"; };
    CHECK(std::none_of(decision.fit.begin(), decision.fit.end(), of_limits));
}

TEST_CASE("budget: at every size the outcomes named contain the exact ones") {
    const Shelf& shelf = shipped_shelf();
    DecideOptions options;
    options.authorities = {"us.federal.construction"};
    const Facts facts = facts_of({{"mounting", "self-propelled"}, {"platform-height", "14 ft"}});
    options.budget = 5'000'000;
    const Decision exact = decided(shelf, facts, "2024-06-01", options);
    bool some_wider = false;
    for (const std::size_t nodes : {1U, 10U, 100U, 1000U, 5000U, 20000U}) {
        options.budget = nodes;
        const Decision rough = decided(shelf, facts, "2024-06-01", options);
        REQUIRE(rough.duties.size() == exact.duties.size());
        for (std::size_t i = 0; i < exact.duties.size(); ++i) {
            const DutyDecision& wide = rough.duties[i];
            const DutyDecision& narrow = exact.duties[i];
            CAPTURE(narrow.duty);
            CAPTURE(nodes);
            CHECK(std::includes(wide.possible.begin(), wide.possible.end(), narrow.possible.begin(),
                                narrow.possible.end()));
            CHECK(std::includes(wide.settled_by.begin(), wide.settled_by.end(),
                                narrow.settled_by.begin(), narrow.settled_by.end()));
            CHECK(wide.act_as_if <= narrow.act_as_if);
            const bool same =
                wide.possible == narrow.possible && wide.settled_by == narrow.settled_by;
            CHECK((same || !wide.exact));
            some_wider = some_wider || !same;
        }
    }
    CHECK(some_wider);
}

TEST_CASE("budget: a comparison on two unknown facts is free, and labelled") {
    const Shelf shelf = small_shelf(requires_tie_off("rule", "height is more than width"));
    const DutyDecision duty = tie_off(decided(shelf, GivenFacts{}));
    CHECK(duty.outcome == Outcome::undetermined);
    CHECK_FALSE(duty.exact);
    CHECK(duty.settled_by == std::vector<std::string>{"height", "width"});
    const DutyDecision half = tie_off(decided(shelf, {{"width", "4 ft"}}));
    CHECK(half.exact);
    CHECK(half.settled_by == std::vector<std::string>{"height"});
}
