// What is told of each provision that was considered.
#include "support/small_shelf.hpp"

#include <doctest/doctest.h>

using namespace toprail;
using namespace toprail::test;

namespace {

Step step_of(const Decision& decision, std::string_view provision) {
    for (const Step& step : decision.trail) {
        if (step.provision == provision) {
            return step;
        }
    }
    throw std::runtime_error("not considered: " + std::string(provision));
}

// "in force from ...: false"
std::string only_reason(const Step& step) {
    REQUIRE(step.because.size() == 1);
    return step.because[0].says + ": " + std::string(step.because[0].truth);
}

}  // namespace

TEST_CASE("trail: a provision is told with all that its author wrote of it") {
    const Decision decision = decided(
        small_shelf("  - id: asks\n    cite: Rule 1\n    also-cite: [Rule 2, Note 3]\n"
                    "    source: secondary\n    source-note: a handbook\n    gist: Tie off.\n"
                    "    standing: guidance\n    remarks-on: tie-off\n"
                    "    in-force: {from: 2017-01-17, until: 2030-12-31}\n"),
        GivenFacts{});
    const Step step = step_of(decision, "test.pack/asks");
    CHECK(step.authority == "test.pack");
    CHECK(step.status == Status::stands);
    CHECK(step.cite == "Rule 1");
    CHECK(step.also_cite == std::vector<std::string>{"Rule 2", "Note 3"});
    CHECK(step.source == "secondary");
    CHECK(step.source_note == "a handbook");
    CHECK(step.gist == "Tie off.");
    CHECK(step.standing == "guidance");
    CHECK(step.in_force == "in force from 2017-01-17 until 2030-12-31");
    CHECK(step.because.empty());
}

TEST_CASE("trail: what each kind of provision comes to is told in words") {
    const Decision decision = decided(
        small_shelf(requires_tie_off("a") + frees_tie_off("b", "gate-open") +
                    provision("c", "relaxes: [a], terms: Keep low.") +
                    provision("d", "choice: anchor, admits: [structure, basket]") +
                    provision("e", "choice: means, bars: [restraint, arrest]", "gate-open") +
                    provision("f", "limit: height, at-most: 6 ft") +
                    provision("g", "limit: height, at-least: width") +
                    provision("h", "remarks-on: tie-off") + provision("i", "governs: test.pack")),
        {{"width", "2 ft"}});
    const auto effect = [&](const std::string& id) {
        return step_of(decision, "test.pack/" + id).effect;
    };
    CHECK(effect("a") == "tie-off: required");
    CHECK(effect("b") == "tie-off: not required");
    CHECK(effect("c") == "relaxes a");
    CHECK(effect("d") == "anchor: admits basket, structure");
    CHECK(effect("e") == "means: bars arrest, restraint");
    CHECK(effect("f") == "height: at most 6 ft");
    CHECK(effect("g") == "height: at least width (2 ft)");
    CHECK(effect("h") == "remarks on tie-off");
    CHECK(effect("i") == "test.pack governs");
}

TEST_CASE("trail: a provision out of force falls for its dates, whatever its condition says") {
    const Shelf shelf = small_shelf(
        requires_tie_off("day", "gate-open", "in-force: {from: 2020-01-01}") +
        requires_tie_off("made", "gate-open", "in-force: {until: 2019-12-31, picked-by: made-on}"));
    const Decision early = decided(shelf, {{"gate-open", "yes"}}, "2019-06-01");
    CHECK(step_of(early, "test.pack/day").status == Status::falls);
    CHECK(only_reason(step_of(early, "test.pack/day")) ==
          "in force from 2020-01-01 (work-date: 2019-06-01): false");
    CHECK(step_of(early, "test.pack/day").because[0].facts.empty());
    const Step open = step_of(early, "test.pack/made");
    CHECK(open.status == Status::open);
    REQUIRE(open.because.size() == 2);
    CHECK(open.because[0].says == "in force until 2019-12-31 (made-on: not known)");
    CHECK(open.because[0].truth == "unknown");
    CHECK(open.because[0].facts == std::vector<std::string>{"made-on"});
    CHECK(open.because[1].says == "the gate is open (gate-open: yes)");
    const Decision late = decided(shelf, {{"gate-open", "yes"}, {"made-on", "2020-01-01"}});
    CHECK(only_reason(step_of(late, "test.pack/day")) == "the gate is open (gate-open: yes): true");
    CHECK(only_reason(step_of(late, "test.pack/made")) ==
          "in force until 2019-12-31 (made-on: 2020-01-01): false");
}

TEST_CASE("trail: a provision of an edition that does not count says which would") {
    const Shelf shelf = shelf_of(
        {small_vocabulary(),
         small_pack("provisions:\n" + requires_tie_off("a"), "t.one", "regulation",
                    "{from: 2000-01-01, verified-through: 2030-01-01, picked-by: made-on}")});
    const Step open = step_of(decided(shelf, GivenFacts{}), "t.one/a");
    CHECK(open.status == Status::open);
    CHECK(only_reason(open) == "the edition from 2000-01-01 counts (made-on: not known): unknown");
    const Step absent = step_of(decided(shelf, {{"made-on", "does not apply"}}), "t.one/a");
    CHECK(only_reason(absent) ==
          "the edition from 2000-01-01 counts (made-on: does not apply): false");
}
