// What a fact in each of its states makes of a sentence.
#include "support/small_shelf.hpp"

#include <doctest/doctest.h>

using namespace toprail;
using namespace toprail::test;

namespace {

// The outcome of tie-off when it is required exactly where the condition is true.
Outcome required_where(const std::string& condition, GivenFacts facts) {
    return tie_off(decided(small_shelf(requires_tie_off("rule", condition)), facts)).outcome;
}

std::vector<std::string> names(std::initializer_list<const char*> list) {
    return {list.begin(), list.end()};
}

}  // namespace

TEST_CASE("truth: a fact that is given, not known, and not mentioned") {
    CHECK(required_where("roofed", {{"roofed", "yes"}}) == Outcome::required);
    CHECK(required_where("roofed", {{"roofed", "true"}}) == Outcome::required);
    CHECK(required_where("roofed", {{"roofed", "no"}}) == Outcome::not_addressed);
    CHECK(required_where("roofed", {{"roofed", "not known"}}) == Outcome::undetermined);
    CHECK(required_where("roofed", {}) == Outcome::undetermined);
}

TEST_CASE("truth: does not apply makes every comparison false, and negation true") {
    const GivenFacts absent{{"guardrail", "does not apply"},
                            {"roofed", "does not apply"},
                            {"depth", "does not apply"},
                            {"made-on", "does not apply"}};
    for (const char* sentence :
         {"guardrail is complete", "guardrail is not complete", "guardrail is one of [complete]",
          "guardrail is not one of [complete]", "roofed", "roofed is no", "roofed is not yes",
          "depth is more than 1 ft", "depth is at most 1 ft", "depth is less than 1 ft",
          "depth is at least 1 ft", "depth is exactly 1 ft", "made-on is before 2000-01-01",
          "made-on is on or after 2000-01-01", "made-on is on 2000-01-01"}) {
        CAPTURE(sentence);
        CHECK(required_where(sentence, absent) == Outcome::not_addressed);
        CHECK(required_where(std::string("{none-of: [\"") + sentence + "\"]}", absent) ==
              Outcome::required);
    }
    CHECK(required_where("not roofed", absent) == Outcome::required);
}

TEST_CASE("truth: a quantity built on a fact that does not apply does not apply") {
    const std::string body =
        "quantities:\n"
        "  far: {kind: length, unit: ft, reads: far, equals: height + depth}\n"
        "  near:\n    kind: length\n    unit: ft\n    reads: near\n"
        "    pieces: [{where: roofed, equals: depth}, {equals: height}]\n"
        "provisions:\n" +
        requires_tie_off("far-rule", "{any-of: [far is at least 0 ft, far is less than 0 ft]}") +
        provision("near-rule", "duty: vest, calls-for: required", "near is more than 1 ft");
    const Shelf shelf = shelf_of({small_vocabulary(), small_pack(body)});
    const Decision absent =
        decided(shelf, {{"height", "5 ft"}, {"depth", "does not apply"}, {"roofed", "no"}});
    CHECK(tie_off(absent).outcome == Outcome::not_addressed);
    CHECK(absent.duty("vest")->outcome == Outcome::required);
    const Decision covered =
        decided(shelf, {{"height", "5 ft"}, {"depth", "does not apply"}, {"roofed", "yes"}});
    CHECK(covered.duty("vest")->outcome == Outcome::not_addressed);
}

TEST_CASE("truth: ten feet in feet, inches and metres is not more than ten feet") {
    for (const char* ten : {"10 ft", "120 in", "3.048 m", "9 ft 12 in"}) {
        CAPTURE(ten);
        CHECK(required_where("height is more than 10 ft", {{"height", ten}}) ==
              Outcome::not_addressed);
        CHECK(required_where("height is at least 3.048 m", {{"height", ten}}) == Outcome::required);
        CHECK(required_where("height is exactly 120 in", {{"height", ten}}) == Outcome::required);
    }
    CHECK(required_where("height is more than 10 ft", {{"height", "120.0000001 in"}}) ==
          Outcome::required);
}

TEST_CASE("truth: thresholds on one quantity are ordered") {
    CHECK(required_where("{any-of: [height is less than 4 ft, height is at least 4 ft]}", {}) ==
          Outcome::required);
    CHECK(required_where("{all-of: [height is less than 4 ft, height is at least 4 ft]}", {}) ==
          Outcome::not_addressed);
    CHECK(required_where("{any-of: [height is more than 4 ft, height is at most 5 ft]}", {}) ==
          Outcome::required);
    CHECK(required_where("{all-of: [height is more than 4 ft, height is at most 48 in]}", {}) ==
          Outcome::not_addressed);
    CHECK(required_where("{any-of: [height is more than 4 ft, height is at most 3 ft]}", {}) ==
          Outcome::undetermined);
}

TEST_CASE("truth: thresholds exclude nothing where the fact may not apply") {
    const std::string either = "{any-of: [depth is less than 4 ft, depth is at least 4 ft]}";
    CHECK(required_where(either, {}) == Outcome::undetermined);
    CHECK(required_where(either, {{"depth", "4 ft"}}) == Outcome::required);
    CHECK(required_where(either, {{"depth", "does not apply"}}) == Outcome::not_addressed);
}

TEST_CASE("truth: a formula of several unknown facts holds only where all of them apply") {
    const auto duty = [](const std::string& condition, const GivenFacts& facts) {
        const Shelf shelf = shelf_of(
            {small_vocabulary(),
             small_pack("quantities:\n"
                        "  far: {kind: length, unit: ft, reads: far, equals: height + depth}\n"
                        "  none: {kind: length, unit: ft, reads: none, equals: 0 ft}\n"
                        "  share:\n    kind: length\n    unit: ft\n    reads: the share\n"
                        "    equals: \"min(height / parts, width)\"\n"
                        "  parts:\n    kind: ratio\n    reads: parts\n"
                        "    pieces: [{where: roofed, equals: \"0\"}, {equals: \"2\"}]\n"
                        "provisions:\n" +
                        requires_tie_off("rule", condition))});
        return tie_off(decided(shelf, facts));
    };
    // Whatever the figures are it holds, and only the depth may not apply.
    CHECK(duty("far is at least 0 ft", {}).outcome == Outcome::undetermined);
    CHECK(duty("far is at least 0 ft", {}).settled_by == names({"depth"}));
    CHECK(duty("none is at most far", {}).settled_by == names({"depth"}));
    CHECK(duty("far is less than 0 ft", {}).outcome == Outcome::not_addressed);
    // Under a roof it would be divided by nothing: that does not apply, nor what is the least of
    // it.
    const GivenFacts ten{{"height", "10 ft"}, {"width", "10 ft"}};
    CHECK(duty("share is at least 1 ft", ten).outcome == Outcome::undetermined);
    CHECK(duty("share is at least 1 ft", ten).settled_by == names({"roofed"}));
}

TEST_CASE("truth: comparisons of one formula with one figure exclude and exhaust each other") {
    const auto outcome = [](const std::string& condition) {
        const Shelf shelf = shelf_of(
            {small_vocabulary(),
             small_pack("quantities:\n"
                        "  far: {kind: length, unit: ft, reads: far, equals: height + depth}\n"
                        "provisions:\n" +
                        requires_tie_off("rule", condition))});
        return tie_off(decided(shelf, GivenFacts{})).outcome;
    };
    CHECK(outcome("{any-of: [reach is more than 50 ft, reach is at most 50 ft]}") ==
          Outcome::required);
    CHECK(outcome("{all-of: [reach is more than 50 ft, reach is at most 50 ft]}") ==
          Outcome::not_addressed);
    CHECK(outcome("{any-of: [reach is more than 50 ft, reach is less than 50 ft]}") ==
          Outcome::undetermined);
    CHECK(outcome("{any-of: [reach is more than 50 ft, reach is at most 60 ft]}") ==
          Outcome::undetermined);
    // The depth may not apply: then neither holds.
    CHECK(outcome("{any-of: [far is more than 50 ft, far is at most 50 ft]}") ==
          Outcome::undetermined);
    CHECK(outcome("{all-of: [far is more than 50 ft, far is at most 50 ft]}") ==
          Outcome::not_addressed);
}

TEST_CASE("truth: a formula in pieces has the exact thresholds of each") {
    const auto duty = [](const std::string& condition, const GivenFacts& facts) {
        const Shelf shelf = shelf_of(
            {small_vocabulary(),
             small_pack("quantities:\n"
                        "  near:\n    kind: length\n    unit: ft\n    reads: near\n"
                        "    pieces: [{where: gate-open, equals: height}, {equals: width}]\n"
                        "provisions:\n" +
                        requires_tie_off("rule", condition))});
        return tie_off(decided(shelf, facts));
    };
    const DutyDecision open = duty("near is more than 30 ft", {});
    CHECK(open.outcome == Outcome::undetermined);
    CHECK(open.exact);
    CHECK(open.settled_by == names({"gate-open", "height", "width"}));
    CHECK(duty("near is more than 50 ft", {}).settled_by == names({"gate-open", "height"}));
    CHECK(duty("near is more than 50 ft", {{"gate-open", "no"}}).outcome == Outcome::not_addressed);
    CHECK(duty("near is at most 500 ft", {}).outcome == Outcome::required);
    CHECK(duty("near is more than 30 ft", {{"height", "31 ft"}, {"width", "31 ft"}}).outcome ==
          Outcome::required);
}

TEST_CASE("truth: of more pieces than are kept apart none is taken to apply for good") {
    std::string pieces;
    for (int persons = 0; persons <= 20; ++persons) {
        const std::string count = "persons is exactly " + std::to_string(persons);
        int figure = 3 * persons;
        for (const char* kind : {"mechanism is boom", "mechanism is mast", "roofed"}) {
            pieces += "{where: {all-of: [" + count + ", " + kind +
                      "]}, equals: " + std::to_string(++figure) + " ft}, ";
        }
    }
    const Shelf shelf = shelf_of(
        {small_vocabulary(),
         small_pack(
             "quantities:\n"
             "  share:\n    kind: length\n    unit: ft\n    reads: the share\n    pieces: [" +
             pieces +
             "{where: gate-open, equals: height + width}, {equals: width / persons}]\n"
             "provisions:\n" +
             requires_tie_off("rule",
                              "{any-of: [share is more than 3 ft, share is at most 3 ft]}"))});
    // With nobody aboard a scissor lift without a roof it would be divided by nothing.
    CHECK(tie_off(decided(shelf, GivenFacts{})).outcome == Outcome::undetermined);
    CHECK(tie_off(decided(shelf, {{"mechanism", "boom"}})).outcome == Outcome::required);
}

TEST_CASE("truth: the smaller and the larger of unknown facts have exact thresholds and bounds") {
    const auto duty = [](const std::string& formula, const std::string& test) {
        const Shelf shelf = shelf_of(
            {small_vocabulary(),
             small_pack("quantities:\n  span:\n    kind: length\n    unit: ft\n    reads: span\n"
                        "    equals: \"" +
                        formula + "\"\nprovisions:\n" +
                        requires_tie_off("rule", "span is " + test))});
        return tie_off(decided(shelf, GivenFacts{}));
    };
    CHECK(duty("max(height, 6 ft)", "at least 6 ft").outcome == Outcome::required);
    CHECK(duty("max(height, 6 ft)", "more than 6 ft").settled_by == names({"height"}));
    CHECK(duty("max(height, 6 ft)", "more than 6 ft").exact);
    CHECK(duty("max(height, 6 ft)", "at least 8 ft").exact);
    CHECK(duty("max(height, 6 ft)", "at least 8 ft").settled_by == names({"height"}));
    CHECK(duty("max(height, 6 ft) + 1 ft", "at least 7 ft").outcome == Outcome::required);
    CHECK(duty("min(height, 6 ft)", "more than 6 ft").outcome == Outcome::not_addressed);
    CHECK(duty("min(height, 6 ft)", "less than 4 ft").exact);
    CHECK(duty("min(height, 6 ft)", "at least 6 ft").exact);
    // Of two facts the bounds are known: a width is 1 ft to 40 ft, a height at most 500 ft.
    CHECK(duty("min(height, width)", "at most 40 ft").outcome == Outcome::required);
    CHECK(duty("min(height, width)", "less than 40 ft").outcome == Outcome::undetermined);
    CHECK(duty("max(height, width)", "at least 1 ft").outcome == Outcome::required);
    CHECK(duty("max(height, width)", "more than 1 ft").outcome == Outcome::undetermined);
    CHECK(duty("max(height, width)", "more than 500 ft").outcome == Outcome::not_addressed);
}

TEST_CASE("truth: values outside the sensible range are no possibility") {
    CHECK(required_where("height is at least 0 ft", {}) == Outcome::required);
    CHECK(required_where("height is more than 500 ft", {}) == Outcome::not_addressed);
    CHECK(required_where("width is at most 1 ft", {}) == Outcome::undetermined);
    CHECK(required_where("weight is at least 0 lb", {}) == Outcome::required);
}

TEST_CASE("truth: a count has whole numbers only") {
    CHECK(required_where("{any-of: [persons is at most 2, persons is at least 3]}", {}) ==
          Outcome::required);
    CHECK(required_where("persons is exactly 2.5", {}) == Outcome::not_addressed);
}

TEST_CASE("truth: values of a choice exclude each other") {
    CHECK(required_where("{all-of: [mechanism is boom, mechanism is mast]}", {}) ==
          Outcome::not_addressed);
    CHECK(required_where("{any-of: [mechanism is boom, \"mechanism is one of [scissor, mast]\"]}",
                         {}) == Outcome::required);
    CHECK(required_where("{any-of: [mechanism is boom, mechanism is not boom]}", {}) ==
          Outcome::required);
}

TEST_CASE("truth: days before and after one day") {
    CHECK(required_where("{any-of: [made-on is before 2000-01-01, made-on is on or after "
                         "2000-01-01]}",
                         {}) == Outcome::undetermined);
    for (const auto& [written, before, on, after] :
         std::initializer_list<std::tuple<const char*, bool, bool, bool>>{
             {"made-on is before 2000-01-01", true, false, false},
             {"made-on is on or before 2000-01-01", true, true, false},
             {"made-on is on 2000-01-01", false, true, false},
             {"made-on is on or after 2000-01-01", false, true, true},
             {"made-on is after 2000-01-01", false, false, true}}) {
        const char* const sentence = written;  // Clang 14: a lambda may not take a binding
        CAPTURE(sentence);
        const auto holds = [&](const char* day_made) {
            return required_where(sentence, {{"made-on", day_made}}) == Outcome::required;
        };
        CHECK(holds("1999-12-31") == before);
        CHECK(holds("2000-01-01") == on);
        CHECK(holds("2000-01-02") == after);
    }
}

TEST_CASE("truth: one unknown fact in a formula still has exact thresholds") {
    const std::string reach = "{any-of: [reach is more than 10 ft, reach is at most 10 ft]}";
    CHECK(required_where(reach, {{"width", "4 ft"}}) == Outcome::required);
    CHECK(required_where("{any-of: [reach is more than 10 ft, height is at most 6 ft]}",
                         {{"width", "4 ft"}}) == Outcome::required);
    CHECK(required_where("{any-of: [reach is more than 10 ft, height is at most 5.9 ft]}",
                         {{"width", "4 ft"}}) == Outcome::undetermined);
}

TEST_CASE("truth: two formulas with the same bounds are two values") {
    const Shelf shelf = shelf_of(
        {small_vocabulary(),
         small_pack("quantities:\n"
                    "  square: {kind: length, unit: ft, reads: s, equals: depth * depth / 1 ft}\n"
                    "  cube: {kind: length, unit: ft, reads: c, equals: square * depth / 1 ft}\n"
                    "provisions:\n" +
                    requires_tie_off("rule", "{all-of: [cube is more than 6 ft, "
                                             "square is at most 6 ft]}"))});
    CHECK(tie_off(decided(shelf, {{"depth", "2 ft"}})).outcome == Outcome::required);
    CHECK(tie_off(decided(shelf, {{"depth", "3 ft"}})).outcome == Outcome::not_addressed);
    const Decision decision = decided(shelf, GivenFacts{});
    const DutyDecision& open = tie_off(decision);
    CHECK(open.outcome == Outcome::undetermined);
    CHECK_FALSE(open.exact);
}

TEST_CASE("truth: the facts that would settle it, and no others") {
    const Shelf shelf = small_shelf(requires_tie_off(
        "rule", "{all-of: [mechanism is boom, {any-of: [gate-open, height is more than 4 ft]}]}"));
    const auto settled = [&](GivenFacts facts) {
        return tie_off(decided(shelf, facts)).settled_by;
    };
    CHECK(settled({}) == names({"gate-open", "height", "mechanism"}));
    CHECK(settled({{"gate-open", "yes"}}) == names({"mechanism"}));
    CHECK(settled({{"mechanism", "boom"}}) == names({"gate-open", "height"}));
    CHECK(settled({{"mechanism", "boom"}, {"height", "4 ft"}}) == names({"gate-open"}));
    CHECK(settled({{"mechanism", "mast"}}).empty());
    const Decision decision = decided(shelf, {{"gate-open", "yes"}});
    CHECK(tie_off(decision).ask_next == "mechanism");
    CHECK(tie_off(decision).act_as_if == Outcome::required);
    CHECK(tie_off(decision).possible ==
          std::vector<Outcome>{Outcome::required, Outcome::not_addressed});
    CHECK(decision.undetermined());
}

TEST_CASE(
    "truth: the best fact to ask next is the one after which the outcome is most often settled") {
    const auto next = [](const std::string& condition, const GivenFacts& facts) {
        return tie_off(decided(small_shelf(requires_tie_off("rule", condition)), facts)).ask_next;
    };
    // An open gate settles it; each of the others only along with the second.
    const std::string either = "{any-of: [gate-open, {all-of: [mechanism is boom, tied-off]}]}";
    CHECK(next(either, {}) == "gate-open");
    CHECK(next(either, {{"gate-open", "no"}}) == "mechanism");
    CHECK(next(either, {{"gate-open", "yes"}}).empty());
    // Two of three mechanisms settle the first, one of two answers the other.
    CHECK(next("{all-of: [mechanism is boom, gate-open]}", {}) == "mechanism");
    // Among equals the first in the vocabulary.
    CHECK(next("{all-of: [tied-off, gate-open]}", {}) == "gate-open");
}

TEST_CASE("truth: a fact that is not known is held against a root as against any figure") {
    // The diagonal of 1 ft by 2 ft is the root of 5: between 2.236 and 2.237 ft, and no decimal.
    const Shelf shelf = shelf_of(
        {small_vocabulary(),
         small_pack("quantities:\n  diagonal: {kind: length, unit: ft, reads: d, equals: "
                    "\"sqrt(width * width + 4 ft * 1 ft)\"}\nprovisions:\n" +
                    requires_tie_off("above-and-low",
                                     "{all-of: [depth is more than diagonal, depth is at most "
                                     "2.236 ft]}") +
                    requires_tie_off("below-and-high",
                                     "{all-of: [depth is less than diagonal, depth is at least "
                                     "2.237 ft]}") +
                    requires_tie_off("above", "{all-of: [depth is at least diagonal, depth is at "
                                              "least 2.236 ft]}") +
                    provision("either", "duty: vest, calls-for: required",
                              "{any-of: [depth is more than diagonal, depth is at most "
                              "diagonal]}"))});
    const Decision decision = decided(shelf, {{"width", "1 ft"}});
    CHECK(status_of(decision, "test.pack/above-and-low") == Status::falls);
    CHECK(status_of(decision, "test.pack/below-and-high") == Status::falls);
    CHECK(status_of(decision, "test.pack/above") == Status::open);
    // It may not apply, and then neither holds.
    CHECK(status_of(decision, "test.pack/either") == Status::open);
    CHECK(tie_off(decision).settled_by == std::vector<std::string>{"depth"});
    for (const auto& [depth, outcome] : std::vector<std::pair<const char*, Outcome>>{
             {"2.236 ft", Outcome::not_addressed}, {"2.237 ft", Outcome::required}}) {
        CHECK(tie_off(decided(shelf, {{"width", "1 ft"}, {"depth", depth}})).outcome == outcome);
    }
    const Shelf height = shelf_of(
        {small_vocabulary(),
         small_pack("quantities:\n  diagonal: {kind: length, unit: ft, reads: d, equals: "
                    "\"sqrt(width * width + 4 ft * 1 ft)\"}\nprovisions:\n" +
                    requires_tie_off("a", "{any-of: [diagonal is less than height, height is at "
                                          "most diagonal]}"))});
    CHECK(tie_off(decided(height, {{"width", "1 ft"}})).outcome == Outcome::required);
}
