// The small changes that worked cases are held against: which there are, what each does to a case,
// and that all can be taken back.
#include "proving/mutants.hpp"
#include "proving/narrow.hpp"
#include "support/small_shelf.hpp"

#include <doctest/doctest.h>

#include <algorithm>

namespace toprail::test {
namespace {

PackId pack_of(const Model& model, const std::string& authority = "test.pack") {
    return model.authorities[authority_of(model, authority).value].editions.front();
}

std::vector<Mutant> mutants(const Shelf& shelf) {
    const Model& model = shelf.data().model;
    return mutants_of(model, pack_of(model));
}

std::vector<std::string> changes(const Shelf& shelf) {
    std::vector<std::string> all;
    for (const Mutant& mutant : mutants(shelf)) {
        all.push_back(mutant.change);
    }
    return all;
}

// The changes to what is asked of one duty, without those to the provision itself.
std::vector<std::string> changes_of_sentence(const std::string& where) {
    std::vector<std::string> all = changes(small_shelf(requires_tie_off("a", where)));
    std::erase(all, "a taken out");
    return all;
}

// The shelf with the change of these words made.
Shelf changed(const Shelf& shelf, const std::string& change) {
    const std::vector<Mutant> all = mutants(shelf);
    const auto found = std::find_if(all.begin(), all.end(),
                                    [&](const Mutant& mutant) { return mutant.change == change; });
    if (found == all.end()) {
        throw std::runtime_error("there is no change " + change);
    }
    Model model = shelf.data().model;
    apply(*found, pack_of(model), model);
    return Shelf(build_data(std::move(model)));
}

Outcome outcome(const Shelf& shelf, GivenFacts facts, std::string_view on = "2024-06-01") {
    DecideOptions options;
    options.authorities = {"test.pack"};
    const Decision decision = decided(shelf, facts, on, options);
    const DutyDecision* duty = decision.duty("tie-off");
    return duty == nullptr ? Outcome::not_addressed : duty->outcome;
}

using Words = std::vector<std::string>;

TEST_CASE("mutants: every comparison takes the other side of its figure, and its neighbours") {
    for (const auto& [verb, other] :
         std::vector<std::pair<std::string, std::string>>{{"is more than", "is at least"},
                                                          {"is at least", "is more than"},
                                                          {"is less than", "is at most"},
                                                          {"is at most", "is less than"}}) {
        const std::string said = "\"height " + verb + " 10 ft\" ";
        CHECK(changes_of_sentence("height " + verb + " 10 ft") ==
              Words{said + other, said + "with 9 ft", said + "with 11 ft"});
    }
    CHECK(changes_of_sentence("height is exactly 10 ft") ==
          Words{"\"height is exactly 10 ft\" with 9 ft", "\"height is exactly 10 ft\" with 11 ft"});
}

TEST_CASE("mutants: a figure moves by one in the last place that was written") {
    CHECK(changes_of_sentence("height is exactly 18.5 ft") ==
          Words{"\"height is exactly 18.5 ft\" with 18.4 ft",
                "\"height is exactly 18.5 ft\" with 18.6 ft"});
    CHECK(changes_of_sentence("height is exactly 5 ft 6 in") ==
          Words{"\"height is exactly 5 ft 6 in\" with 65 in",
                "\"height is exactly 5 ft 6 in\" with 67 in"});
    CHECK(changes_of_sentence("persons is exactly 2") ==
          Words{"\"persons is exactly 2\" with 1", "\"persons is exactly 2\" with 3"});
    CHECK(changes_of_sentence("height is more than reach") ==
          Words{"\"height is more than reach\" is at least"});
}

TEST_CASE("mutants: every sentence on a day takes the other side, and the next day") {
    for (const auto& [verb, other] :
         std::vector<std::pair<std::string, std::string>>{{"is before", "is on or before"},
                                                          {"is on or before", "is before"},
                                                          {"is after", "is on or after"},
                                                          {"is on or after", "is after"}}) {
        const std::string said = "\"made-on " + verb + " 2019-12-31\" ";
        CHECK(changes_of_sentence("made-on " + verb + " 2019-12-31") ==
              Words{said + other, said + "with 2020-01-01"});
    }
}

TEST_CASE("mutants: a condition and a single value are turned round, a list loses its values") {
    CHECK(changes_of_sentence("gate-open") == Words{"\"gate-open\" turned round"});
    CHECK(changes_of_sentence("not gate-open") == Words{"\"not gate-open\" turned round"});
    CHECK(changes_of_sentence("gate-open is yes") == Words{"\"gate-open is yes\" turned round"});
    CHECK(changes_of_sentence("mechanism is boom") == Words{"\"mechanism is boom\" turned round"});
    // It is true wherever the fact applies, and is left as it is.
    CHECK(changes_of_sentence("gate-open is one of [yes, no]").empty());
    const std::string list = "mechanism is one of [boom, mast]";
    CHECK(changes_of_sentence(list) ==
          Words{"\"" + list + "\" without boom", "\"" + list + "\" without mast"});
}

TEST_CASE("mutants: what a turned or shortened list makes of a case") {
    const Shelf one = small_shelf(requires_tie_off("a", "mechanism is boom"));
    const Shelf other = changed(one, "\"mechanism is boom\" turned round");
    CHECK(outcome(other, {{"mechanism", "boom"}}) == Outcome::not_addressed);
    CHECK(outcome(other, {{"mechanism", "mast"}}) == Outcome::required);
    CHECK(outcome(other, {{"mechanism", "scissor"}}) == Outcome::required);

    const Shelf list = small_shelf(requires_tie_off("a", "mechanism is one of [boom, mast]"));
    const Shelf shorter = changed(list, "\"mechanism is one of [boom, mast]\" without mast");
    CHECK(outcome(shorter, {{"mechanism", "boom"}}) == Outcome::required);
    CHECK(outcome(shorter, {{"mechanism", "mast"}}) == Outcome::not_addressed);

    const Shelf barred = small_shelf(requires_tie_off("a", "mechanism is not one of [boom, mast]"));
    CHECK(outcome(barred, {{"mechanism", "mast"}}) == Outcome::not_addressed);
    const Shelf wider = changed(barred, "\"mechanism is not one of [boom, mast]\" without mast");
    CHECK(outcome(wider, {{"mechanism", "mast"}}) == Outcome::required);
    CHECK(outcome(wider, {{"mechanism", "boom"}}) == Outcome::not_addressed);

    const Shelf gate = small_shelf(requires_tie_off("a", "gate-open is yes"));
    const Shelf shut = changed(gate, "\"gate-open is yes\" turned round");
    CHECK(outcome(shut, {{"gate-open", "no"}}) == Outcome::required);
    CHECK(outcome(shut, {{"gate-open", "yes"}}) == Outcome::not_addressed);
}

TEST_CASE("mutants: a provision loses its effect, its displacements and its last days in force") {
    const Shelf shelf = small_shelf(
        requires_tie_off("a", {}, "in-force: {from: 2010-01-01, until: 2020-12-31}") +
        frees_tie_off("b", {}, "displaces: [a]") + provision("told", "remarks-on: tie-off") +
        provision("who", "governs: test.pack"));
    CHECK(changes(shelf) == Words{"a taken out", "a in force from 2010-01-02",
                                  "a in force until 2020-12-30", "b taken out",
                                  "b displaces nothing"});
    CHECK(outcome(shelf, {}, "2020-12-31") == Outcome::not_required);
    CHECK(outcome(changed(shelf, "b taken out"), {}, "2020-12-31") == Outcome::required);
    CHECK(outcome(changed(shelf, "b taken out"), {}, "2021-01-01") == Outcome::not_addressed);
    // Neither displaces the other any more: the stricter answer holds.
    CHECK(outcome(changed(shelf, "b displaces nothing"), {}, "2020-12-31") == Outcome::required);
    CHECK(outcome(changed(shelf, "b displaces nothing"), {}, "2009-12-31") ==
          Outcome::not_required);
    const Shelf only =
        small_shelf(requires_tie_off("a", {}, "in-force: {from: 2010-01-01, until: 2020-12-31}"));
    CHECK(outcome(only, {}, "2010-01-01") == Outcome::required);
    CHECK(outcome(changed(only, "a in force from 2010-01-02"), {}, "2010-01-01") ==
          Outcome::not_addressed);
    CHECK(outcome(changed(only, "a in force until 2020-12-30"), {}, "2020-12-31") ==
          Outcome::not_addressed);
}

TEST_CASE("mutants: an exception is taken out, a list of values shrinks, a bound moves") {
    const Shelf shelf = small_shelf(requires_tie_off("a") +
                                    provision("spared", "relaxes: [a], terms: mind the gap") +
                                    provision("one", "choice: means, bars: [arrest]") +
                                    provision("two", "choice: anchor, bars: [boom, basket]") +
                                    provision("three", "choice: anchor, admits: [boom, basket]") +
                                    provision("wide", "limit: width, at-least: 3.5 ft") +
                                    provision("far", "limit: reach, at-most: height"));
    CHECK(changes(shelf) ==
          Words{"a taken out", "far taken out", "one taken out", "spared taken out",
                "three taken out", "boom taken from the list of three",
                "basket taken from the list of three", "two taken out",
                "boom taken from the list of two", "basket taken from the list of two",
                "wide taken out", "wide: 3.5 ft -> 3.4 ft", "wide: 3.5 ft -> 3.6 ft"});
    CHECK(outcome(shelf, {}) == Outcome::required_with_exception);
    CHECK(outcome(changed(shelf, "spared taken out"), {}) == Outcome::required);
    const auto admitted = [](const Shelf& of) {
        return decided(of, GivenFacts{}).choice("anchor")->admissible;
    };
    CHECK(admitted(shelf).empty());
    CHECK(admitted(changed(shelf, "boom taken from the list of two")) == Words{"boom"});
    CHECK(admitted(changed(changed(shelf, "two taken out"), "boom taken from the list of three")) ==
          Words{"basket"});
    const auto bound = [](const Shelf& of) {
        return decided(of, GivenFacts{}).limit("width")->bounds.at(0).text;
    };
    CHECK(bound(changed(shelf, "wide: 3.5 ft -> 3.6 ft")) == "3.6 ft");
}

TEST_CASE("mutants: conditions and pieces of quantities are changed where they are written") {
    const std::string body = R"(conditions:
  high: {reads: it is high, all-of: [gate-open, height is more than 10 ft]}
quantities:
  span:
    kind: length
    unit: ft
    reads: the span
    pieces:
      - {where: high, equals: width}
      - {where: {any-of: [roofed, "persons is exactly 1"]}, equals: height}
      - {equals: 2 ft}
provisions:
)";
    const Shelf shelf = shelf_of(
        {small_vocabulary(),
         small_pack(body + requires_tie_off("a", "{all-of: [high, span is less than 5 ft]}"))});
    CHECK(changes(shelf) ==
          Words{"\"high\" turned round", "\"span is less than 5 ft\" is at most",
                "\"span is less than 5 ft\" with 4 ft", "\"span is less than 5 ft\" with 6 ft",
                "a taken out", "\"gate-open\" turned round",
                "\"height is more than 10 ft\" is at least",
                "\"height is more than 10 ft\" with 9 ft",
                "\"height is more than 10 ft\" with 11 ft", "\"high\" turned round",
                "\"roofed\" turned round", "\"persons is exactly 1\" with 0",
                "\"persons is exactly 1\" with 2"});
    const GivenFacts low{{"gate-open", "yes"},
                         {"height", "10 ft"},
                         {"width", "3 ft"},
                         {"roofed", "no"},
                         {"persons", "2"}};
    CHECK(outcome(shelf, low) == Outcome::not_addressed);
    CHECK(outcome(changed(shelf, "\"height is more than 10 ft\" is at least"), low) ==
          Outcome::required);
    const GivenFacts roofed{{"gate-open", "yes"},
                            {"height", "4 ft"},
                            {"width", "3 ft"},
                            {"roofed", "yes"},
                            {"persons", "2"}};
    const auto span = [&](const Shelf& of) { return tie_off(decided(of, roofed)).outcome; };
    const Shelf spanned = shelf_of(
        {small_vocabulary(), small_pack(body + requires_tie_off("a", "span is less than 3 ft"))});
    CHECK(outcome(spanned, roofed) == Outcome::not_addressed);
    CHECK(span(changed(spanned, "\"roofed\" turned round")) == Outcome::required);
}

TEST_CASE("mutants: a change reaches the copies of adopters and is taken back with them") {
    const Shelf shelf =
        shelf_of({small_vocabulary(),
                  small_pack("conditions:\n  high: {reads: r, is: height is more than 10 ft}\n"
                             "quantities:\n  span:\n    kind: length\n    unit: ft\n    reads: r\n"
                             "    pieces: [{where: gate-open, equals: width}, {equals: 1 ft}]\n"
                             "provisions:\n" +
                             requires_tie_off("a", "{any-of: [high, span is more than 2 ft]}") +
                             provision("b", "limit: width, at-most: 9 ft")),
                  small_pack("adopts: {rulepack: test.pack, cite: c, source: read}\nprovisions:\n" +
                                 requires_tie_off("c", "roofed"),
                             "test.copy")});
    const auto text = [](const Model& model) {
        std::vector<std::string> outcomes;
        const Shelf of(build_data(model));
        for (const char* authority : {"test.pack", "test.copy"}) {
            DecideOptions options;
            options.authorities = {authority};
            for (const char* height : {"10 ft", "11 ft"}) {
                for (const char* gate : {"yes", "no"}) {
                    const Decision decision = decided(of,
                                                      {{"height", height},
                                                       {"gate-open", gate},
                                                       {"width", "3 ft"},
                                                       {"roofed", "no"}},
                                                      "2024-06-01", options);
                    const DutyDecision* duty = decision.duty("tie-off");
                    const LimitDecision* limit = decision.limit("width");
                    outcomes.emplace_back(
                        word(duty == nullptr ? Outcome::not_addressed : duty->outcome));
                    outcomes.push_back(limit == nullptr || limit->bounds.empty()
                                           ? "none"
                                           : limit->bounds.front().text);
                }
            }
        }
        return outcomes;
    };
    Model model = shelf.data().model;
    const std::vector<std::string> before = text(model);
    const PackId pack = pack_of(model);
    std::size_t told_in_copy = 0;
    for (const Mutant& mutant : mutants_of(model, pack)) {
        CAPTURE(mutant.change);
        Undo undo = apply(mutant, pack, model);
        const std::vector<std::string> after = text(model);
        // What the pack says otherwise, its adopter says otherwise, too.
        const auto half = static_cast<std::ptrdiff_t>(after.size() / 2);
        CHECK(std::equal(after.begin(), after.begin() + half, after.begin() + half));
        told_in_copy += after == before ? 0U : 1U;
        put_back(std::move(undo), model);
        CHECK(text(model) == before);
    }
    CHECK(told_in_copy >= 6);
    // What is adopted is changed where it is written alone.
    CHECK(mutants_of(model, pack_of(model, "test.copy")).size() == 2);
}

}  // namespace
}  // namespace toprail::test
