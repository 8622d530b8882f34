// What the proofs over one shelf say: each question, restricted to a duty, a day or given facts,
// and of what is adopted; and cases that no figure can tell.
#include "support/small_shelf.hpp"
#include "toprail/proving.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <atomic>

namespace toprail::test {
namespace {

using Words = std::vector<std::string>;

std::vector<Proof> of_question(const Report& report, std::string_view question) {
    std::vector<Proof> found;
    std::copy_if(report.proofs.begin(), report.proofs.end(), std::back_inserter(found),
                 [&](const Proof& proof) { return proof.question == question; });
    return found;
}

Proof only_of(const Report& report, std::string_view question) {
    const std::vector<Proof> found = of_question(report, question);
    REQUIRE(found.size() == 1);
    return found.front();
}

TEST_CASE("questions: a provision that stands and never decides names what covers it") {
    const Report report =
        prove(small_shelf(requires_tie_off("wide", "height is more than 6 ft") +
                          requires_tie_off("narrow", "height is more than 9 ft") +
                          provision("spares", "relaxes: [narrow], terms: t", "gate-open")));
    const Proof decides = only_of(report, "decides");
    CHECK(decides.settled == Settled::proved);
    CHECK(decides.about == Words{"test.pack/narrow", "test.pack/wide"});
    CHECK(decides.says == "test.pack/narrow never decides: taking it out changes no answer of "
                          "test.pack; whenever it stands, so does test.pack/wide");
    const Proof applies = only_of(report, "exception-applies");
    CHECK(applies.about == Words{"test.pack/spares"});
    CHECK(applies.says == "test.pack/spares never applies: taking it out changes no answer of "
                          "test.pack");
}

TEST_CASE("questions: what never decides may be covered by no single provision") {
    const Report report = prove(small_shelf(requires_tie_off("open", "gate-open") +
                                            requires_tie_off("shut", "not gate-open") +
                                            frees_tie_off("never", "roofed")));
    // Requiring beats freeing in every case.
    const std::vector<Proof> decides = of_question(report, "decides");
    REQUIRE(decides.size() == 1);
    CHECK(decides[0].about == Words{"test.pack/never"});
    CHECK(decides[0].says ==
          "test.pack/never never decides: taking it out changes no answer of test.pack");
}

TEST_CASE("questions: a provision that is always displaced, and a displacement that is idle") {
    const Report report = prove(
        small_shelf(requires_tie_off("under", "height is more than 9 ft") +
                    frees_tie_off("over", "height is more than 6 ft", "displaces: [under, told]") +
                    provision("told", "remarks-on: tie-off") +
                    provision("bound", "limit: width, at-most: 6 ft", {}, "displaces: [same]") +
                    provision("same", "limit: width, at-most: 6 ft")));
    const std::vector<Proof> stand = of_question(report, "can-stand");
    REQUIRE(stand.size() == 2);
    CHECK(stand[0].says == "test.pack/same is displaced whenever it stands");
    CHECK(stand[1].says == "test.pack/under is displaced whenever it stands");
    const Proof idle = only_of(report, "displacement-matters");
    CHECK(idle.about == Words{"test.pack/bound", "test.pack/same"});
    CHECK(idle.says == "that test.pack/bound displaces test.pack/same never changes an answer");
    // Of the remark nothing is asked: it decides nothing anyway.
    CHECK(report.tallies.at("displacement-matters").asked == 2);
}

TEST_CASE("questions: a displacement reaches another authority") {
    const Shelf shelf =
        shelf_of({small_vocabulary(),
                  small_pack("provisions:\n" + requires_tie_off("far", "height is more than 9 ft"),
                             "test.far"),
                  small_pack("provisions:\n" + frees_tie_off("near", "height is less than 6 ft",
                                                             "displaces: [test.far/far]"),
                             "test.near")});
    const Proof idle = only_of(prove(shelf), "displacement-matters");
    CHECK(idle.authority == "test.near");
    CHECK(idle.about == Words{"test.near/near", "test.far/far"});
}

TEST_CASE("questions: of one duty alone nothing else is asked") {
    const Shelf shelf =
        small_shelf(requires_tie_off("a", "gate-open") + frees_tie_off("b", "roofed") +
                    provision("v", "duty: vest, calls-for: required") +
                    provision("w", "duty: vest, calls-for: not required") +
                    provision("m", "choice: means, bars: [arrest, restraint]"));
    ProveOptions options;
    CHECK(of_question(prove(shelf, options), "some-value-left").size() == 1);
    CHECK(of_question(prove(shelf, options), "not-contested").size() == 2);
    options.duty = "tie-off";
    const Report report = prove(shelf, options);
    CHECK(report.tallies.at("can-stand").asked == 2);
    CHECK(report.tallies.at("some-value-left").asked == 0);
    CHECK(only_of(report, "not-contested").about.front() == "tie-off");
    CHECK(only_of(report, "spoken-of").about == Words{"tie-off"});
    options.duty = "vest";
    CHECK(of_question(prove(shelf, options), "spoken-of").empty());
}

TEST_CASE("questions: on a day before the first edition there is no case to ask about") {
    ProveOptions options;
    options.on = day("1990-01-01");
    const Report report =
        prove(small_shelf(requires_tie_off("a", "height is more than 500 ft")), options);
    CHECK(report.proofs.empty());
    for (const auto& [question, tally] : report.tallies) {
        CHECK(tally.asked == 0);
    }
}

TEST_CASE("questions: given facts of every type hold in all cases") {
    const auto can_stand = [](const std::string& where, GivenFacts given) {
        ProveOptions options;
        options.given = facts_of(given);
        return prove(small_shelf(requires_tie_off("a", where)), options)
                   .tallies.at("can-stand")
                   .in_order == 1;
    };
    CHECK(can_stand("height is more than 6 ft", {{"height", "7 ft"}}));
    CHECK_FALSE(can_stand("height is more than 6 ft", {{"height", "72 in"}}));
    CHECK(can_stand("persons is at least 2", {{"persons", "2"}}));
    CHECK_FALSE(can_stand("persons is more than 2", {{"persons", "2"}}));
    CHECK(can_stand("made-on is before 2010-01-01", {{"made-on", "2009-12-31"}}));
    CHECK_FALSE(can_stand("made-on is before 2010-01-01", {{"made-on", "2010-01-01"}}));
    CHECK_FALSE(can_stand("made-on is before 2010-01-01", {{"made-on", "does not apply"}}));
    CHECK(can_stand("not roofed", {{"roofed", "does not apply"}}));
    CHECK_FALSE(can_stand("roofed is no", {{"roofed", "does not apply"}}));
    CHECK(can_stand("gate-open", {{"gate-open", "yes"}}));
    CHECK_FALSE(can_stand("gate-open", {{"gate-open", "no"}}));
    CHECK_FALSE(can_stand("mechanism is boom", {{"mechanism", "mast"}}));
}

TEST_CASE("questions: formulas of every operation, in pieces") {
    const auto can_stand = [](const std::string& equals, const std::string& where) {
        const Shelf shelf =
            shelf_of({small_vocabulary(),
                      small_pack("quantities:\n  span: {kind: length, unit: ft, reads: r, " +
                                 equals + "}\nprovisions:\n" + requires_tie_off("a", where))});
        return prove(shelf).tallies.at("can-stand").in_order == 1;
    };
    const std::string least = "equals: \"min(height, width)\"";
    CHECK(can_stand(least, "span is exactly 40 ft"));
    CHECK_FALSE(can_stand(least, "span is more than 40 ft"));
    const std::string most = "equals: \"max(height, width)\"";
    CHECK(can_stand(most, "span is exactly 1 ft"));
    CHECK_FALSE(can_stand(most, "span is less than 1 ft"));
    CHECK_FALSE(can_stand("equals: height - width", "span is more than 499 ft"));
    CHECK(can_stand("equals: height - width", "span is exactly 499 ft"));
    const std::string pieces =
        "pieces: [{where: gate-open, equals: 2 ft}, {where: roofed, equals: 3 ft}]";
    CHECK(can_stand(pieces, "span is exactly 2 ft"));
    CHECK(can_stand(pieces, "{all-of: [span is exactly 3 ft, not gate-open]}"));
    CHECK_FALSE(can_stand(pieces, "{all-of: [span is exactly 3 ft, gate-open]}"));
    CHECK_FALSE(can_stand(pieces, "{all-of: [span is at least 0 ft, not gate-open, not roofed]}"));
    const std::string last = "pieces: [{where: gate-open, equals: 2 ft}, {equals: 4 ft}]";
    CHECK_FALSE(can_stand(last, "{all-of: [not gate-open, span is less than 4 ft]}"));
    CHECK(can_stand(last, "{all-of: [not gate-open, span is exactly 4 ft]}"));
}

TEST_CASE("questions: what an adopter took over is told with the lender, by the same provisions") {
    const std::string contest = requires_tie_off("a", "gate-open") + frees_tie_off("b", "roofed");
    const Shelf shelf = shelf_of(
        {small_vocabulary(), small_pack("provisions:\n" + contest, "test.first"),
         small_pack("adopts: {rulepack: test.first, cite: c, source: read}\nprovisions:\n" +
                        provision("v", "duty: vest, calls-for: required"),
                    "test.second"),
         small_pack("provisions:\n" + contest, "test.third")});
    const std::vector<Proof> contested = of_question(prove(shelf), "not-contested");
    REQUIRE(contested.size() == 2);
    CHECK(contested[0].authority == "test.first");
    CHECK(contested[0].also == Words{"test.second"});
    // Written anew it is another contest.
    CHECK(contested[1].authority == "test.third");
    CHECK(contested[1].also.empty());
}

TEST_CASE("questions: one authority against another stops when the host says so") {
    const Shelf shelf = shelf_of({small_vocabulary(),
                                  small_pack("provisions:\n" + requires_tie_off("a", "gate-open") +
                                                 provision("w", "limit: width, at-most: 6 ft"),
                                             "test.one"),
                                  small_pack("provisions:\n" + requires_tie_off("a", "gate-open") +
                                                 provision("w", "limit: width, at-most: 9 ft"),
                                             "test.two")});
    const Comparison whole = at_least_as_strict(shelf, "test.two", "test.one");
    REQUIRE(whole.regions.size() == 1);
    CHECK(whole.regions.front().subject == "width, upper limit");
    CHECK(whole.regions.front().asks == Asks::less);
    CHECK(whole.settled == Settled::refuted);
    CHECK(at_least_as_strict(shelf, "test.one", "test.two").settled == Settled::proved);
    ProveOptions options;
    options.duty = "tie-off";
    CHECK(at_least_as_strict(shelf, "test.two", "test.one", options).settled == Settled::proved);
    const std::atomic<bool> stop{true};
    ProveOptions stopped;
    stopped.stop = &stop;
    std::vector<std::string> about;
    stopped.progress = [&](std::size_t, std::size_t total, std::string_view name) {
        CHECK(total == 2);
        about.emplace_back(name);
    };
    const Comparison none = at_least_as_strict(shelf, "test.two", "test.one", stopped);
    CHECK(none.interrupted);
    CHECK(none.settled == Settled::not_settled);
    // Of the duty both say the same, which takes no question to the solver.
    CHECK(about == Words{"tie-off", "width, upper limit"});
    CHECK(none.not_decided == Words{"width, upper limit"});
}

TEST_CASE("questions: a name that is none is refused, and a vocabulary needs no duties") {
    const Shelf shelf = small_shelf(requires_tie_off("a"));
    ProveOptions misspelt;
    misspelt.duty = "tieoff";
    CHECK_THROWS_WITH_AS(prove(shelf, misspelt), doctest::Contains("did you mean tie-off?"),
                         std::runtime_error);
    ProveOptions given;
    given.given.set("heigth", "6 ft");
    CHECK_THROWS_AS(prove(shelf, given), std::runtime_error);
    const Shelf choices = shelf_of(
        {{"words.yaml", "vocabulary: small\ntitle: t\nstandings:\n  regulation: {rank: 2, may: "
                        "[require]}\nchoices:\n  means: {values: [restraint, arrest], reads: r, "
                        "ask: a, why: w}\n"},
         small_pack("provisions:\n" + provision("a", "choice: means, bars: [arrest]"))});
    const Report report = prove(choices);
    CHECK(report.proofs.empty());
    CHECK(report.tallies.at("spoken-of").asked == 0);
    CHECK(report.tallies.at("some-value-left").in_order == 1);
}

TEST_CASE("questions: what says who governs is displaced by its like alone") {
    const Shelf shelf = shelf_of(
        {small_vocabulary(), small_pack("provisions:\n" + requires_tie_off("a"), "test.one"),
         small_pack("provisions:\n" + requires_tie_off("b"), "test.two"),
         small_pack("provisions:\n" + provision("here", "governs: test.one") +
                        provision("there", "governs: test.two", "roofed", "displaces: [here]") +
                        requires_tie_off("tied", "gate-open", "displaces: [here]"),
                    "test.who")});
    const auto governing = [&](const char* roofed, const char* gate) {
        Words names;
        for (const Governing& one :
             decided(shelf, {{"roofed", roofed}, {"gate-open", gate}}).governing) {
            names.push_back(one.authority);
        }
        std::sort(names.begin(), names.end());
        std::erase(names, "test.who");
        return names;
    };
    CHECK(governing("no", "no") == Words{"test.one"});
    CHECK(governing("yes", "no") == Words{"test.two"});
    CHECK(governing("no", "yes") == Words{"test.one"});
    const Report report = prove(shelf);
    for (const Proof& proof : report.proofs) {
        CHECK_FALSE(proof.internal_error);
    }
    // Neither is asked about: who governs plays no part in what one authority answers.
    CHECK(report.tallies.at("displacement-matters").asked == 0);
    ProveOptions options;
    options.duty = "tie-off";
    CHECK(prove(shelf, options).tallies.at("can-stand").asked == 3);
}

TEST_CASE("questions: of an adopter only its own displacements are asked about") {
    const Shelf shelf = shelf_of(
        {small_vocabulary(),
         small_pack("provisions:\n" + requires_tie_off("a", "gate-open") +
                        frees_tie_off("b", "roofed", "displaces: [a]"),
                    "test.lender"),
         small_pack("adopts: {rulepack: test.lender, cite: c, source: read}\nprovisions:\n" +
                    requires_tie_off("c", "height is more than 6 ft") +
                    frees_tie_off("d", "width is more than 6 ft", "displaces: [c]"))});
    const Report report = prove(shelf);
    CHECK(report.tallies.at("displacement-matters").asked == 2);
    CHECK(report.tallies.at("displacement-matters").in_order == 2);
}

TEST_CASE("questions: one exception covers no other") {
    const Report report =
        prove(small_shelf(requires_tie_off("a", "gate-open") + requires_tie_off("b", "roofed") +
                          provision("x", "relaxes: [a], terms: t", "not gate-open") +
                          provision("y", "relaxes: [b], terms: t")));
    const Proof applies = only_of(report, "exception-applies");
    CHECK(applies.about == Words{"test.pack/x"});
}

TEST_CASE("questions: a case that no figure tells is no fault of the engine, and is not shown") {
    const auto shelf = [](const std::string& equals, const std::string& provisions) {
        return shelf_of({small_vocabulary(),
                         small_pack("quantities:\n  " + equals + "\nprovisions:\n" + provisions)});
    };
    // A third of a foot, and the root of two feet.
    for (const std::string equals :
         {"sum: {kind: length, unit: ft, reads: r, equals: height * 3}",
          "sum: {kind: ratio, reads: r, equals: height * height / (1 ft * 1 ft)}"}) {
        CAPTURE(equals);
        const bool third = equals.find("height * 3") != std::string::npos;
        const std::string where = third ? "sum is exactly 1 ft" : "sum is exactly 2";
        const Shelf contested = shelf(equals, requires_tie_off("a", where) + frees_tie_off("b"));
        const Report report = prove(contested);
        const Proof proof = only_of(report, "not-contested");
        CHECK(proof.settled == Settled::not_settled);
        CHECK_FALSE(proof.example);
        CHECK_FALSE(proof.internal_error);
        CHECK(proof.says == "test.pack both requires and frees from tie-off (the solver has a "
                            "case, but with a value that no figure tells)");
        CHECK(report.tallies.at("not-contested").found == 0);
        CHECK(report.tallies.at("not-contested").not_settled == 1);
        const Comparison comparison =
            compare(shelf(equals, frees_tie_off("b", {}, "also-cite: [R]") +
                                      provision("s", "remarks-on: sum")),
                    contested);
        CHECK(comparison.settled == Settled::not_settled);
        REQUIRE(comparison.rest.size() == 1);
        CHECK(comparison.rest.front().says ==
              "tie-off, not required -> required, in further cases (the solver has a case, but "
              "with a value that no figure tells)");
    }
    // Where it is a quarter, a figure tells it.
    const Shelf quarter = shelf("sum: {kind: length, unit: ft, reads: r, equals: height * 4}",
                                requires_tie_off("a", "sum is exactly 1 ft") + frees_tie_off("b"));
    const Proof shown = only_of(prove(quarter), "not-contested");
    CHECK(shown.settled == Settled::refuted);
    REQUIRE(shown.example);
    CHECK(shown.example->facts.find("height")->text == "0.25 ft");
}

}  // namespace
}  // namespace toprail::test
