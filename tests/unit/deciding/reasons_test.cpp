// Why a provision stands or falls: the sentences that decide it, and no others.
#include "support/small_shelf.hpp"

#include <doctest/doctest.h>

using namespace toprail;
using namespace toprail::test;

namespace {

using Told = std::vector<std::string>;

Told in_words(const std::vector<Reason>& reasons) {
    Told told;
    for (const Reason& reason : reasons) {
        told.push_back(reason.says + ": " + std::string(reason.truth));
    }
    return told;
}

std::vector<Reason> reasons(const std::string& condition, GivenFacts facts,
                            const std::string& more = {}) {
    const Shelf shelf =
        shelf_of({small_vocabulary(),
                  small_pack(more + "provisions:\n" + requires_tie_off("rule", condition))});
    return decided(shelf, facts).trail.at(0).because;
}

Told because(const std::string& condition, GivenFacts facts) {
    return in_words(reasons(condition, facts));
}

const std::string three = "[roofed, gate-open, height is more than width]";

}  // namespace

TEST_CASE("reasons: what all of must hold is told in full, or by one that fails") {
    const std::string all = "{all-of: " + three + "}";
    CHECK(
        because(all,
                {{"roofed", "yes"}, {"gate-open", "yes"}, {"height", "8 ft"}, {"width", "2 yd"}}) ==
        Told{"the gate is open (gate-open: yes): true",
             "the height is more than width (height: 8 ft; width: 2 yd): true",
             "there is a roof (roofed: yes): true"});
    // Of several that fail the one on the fewest facts, then the first by its words.
    CHECK(because(all,
                  {{"roofed", "no"}, {"gate-open", "no"}, {"height", "8 ft"}, {"width", "9 ft"}}) ==
          Told{"the gate is open (gate-open: no): false"});
    CHECK(because(all, {{"roofed", "no"}, {"height", "8 ft"}, {"width", "9 ft"}}) ==
          Told{"there is a roof (roofed: no): false"});
    CHECK(because(all, {{"roofed", "yes"}, {"gate-open", "yes"}, {"height", "8 ft"}}) ==
          Told{"the height is more than width (height: 8 ft; width is not known): unknown"});
}

TEST_CASE("reasons: of what any must hold one that does is told, or all that fail") {
    const std::string any = "{any-of: " + three + "}";
    CHECK(because(any, {{"roofed", "yes"}, {"height", "8 ft"}, {"width", "2 yd"}}) ==
          Told{"there is a roof (roofed: yes): true"});
    const GivenFacts none{
        {"roofed", "does not apply"}, {"gate-open", "no"}, {"height", "8 ft"}, {"width", "9 ft"}};
    const Told each{"the gate is open (gate-open: no): false",
                    "the height is more than width (height: 8 ft; width: 9 ft): false",
                    "there is a roof (roofed does not apply): false"};
    CHECK(because(any, none) == each);
    CHECK(because("{none-of: " + three + "}", none) == each);
    CHECK(because("{none-of: " + three + "}", {{"gate-open", "yes"}}) ==
          Told{"the gate is open (gate-open: yes): true"});
}

TEST_CASE("reasons: of an open condition the open parts are told") {
    const Told open{"the gate is open (gate-open is not known): unknown"};
    CHECK(because("{all-of: [gate-open, roofed]}", {{"roofed", "yes"}}) == open);
    CHECK(because("{any-of: [gate-open, roofed]}", {{"roofed", "no"}}) == open);
    CHECK(because("{none-of: [gate-open, roofed]}", {{"roofed", "no"}}) == open);
}

TEST_CASE("reasons: where parts exclude or exhaust each other all are told") {
    CHECK(because("{all-of: [mechanism is boom, mechanism is mast]}", {}) ==
          Told{"the mechanism is boom (mechanism is not known): unknown",
               "the mechanism is mast (mechanism is not known): unknown"});
    CHECK(because("{any-of: [gate-open, not gate-open]}", {}) ==
          Told{"not: the gate is open (gate-open is not known): unknown",
               "the gate is open (gate-open is not known): unknown"});
}

TEST_CASE("reasons: a sentence that stands twice is told once") {
    CHECK(because("{all-of: [roofed, gate-open, {any-of: [roofed]}]}",
                  {{"roofed", "yes"}, {"gate-open", "yes"}}) ==
          Told{"the gate is open (gate-open: yes): true", "there is a roof (roofed: yes): true"});
}

TEST_CASE("reasons: a quantity names the facts that it is built from") {
    const std::string more = "quantities:\n"
                             "  twice: {kind: length, unit: ft, reads: twice, equals: "
                             "reach + width + reach}\n";
    const std::vector<Reason> told =
        reasons("twice is more than 20 ft", {{"height", "8 ft"}, {"width", "2 ft"}}, more);
    CHECK(in_words(told) == Told{"twice is more than 20 ft (twice: 22 ft): true"});
    CHECK(told.at(0).facts == std::vector<std::string>{"height", "width"});
}

TEST_CASE("reasons: a named condition comes down to sentences, through others that it names") {
    const std::string more = "conditions:\n"
                             "  high: {reads: it is high, is: height is more than 6 ft}\n"
                             "  bare: {reads: it is bare, is: {all-of: [high, not roofed]}}\n";
    const GivenFacts facts{{"height", "8 ft"}, {"roofed", "no"}, {"gate-open", "yes"}};
    const std::vector<Reason> told = reasons("{all-of: [bare, gate-open]}", facts, more);
    CHECK(in_words(told) == Told{"it is bare (height: 8 ft; roofed: no): true",
                                 "the gate is open (gate-open: yes): true"});
    CHECK(told.at(0).facts == std::vector<std::string>{"height", "roofed"});
    CHECK(in_words(told[0].since) == Told{"not: there is a roof (roofed: no): true",
                                          "the height is more than 6 ft (height: 8 ft): true"});
    CHECK(told[1].since.empty());
    CHECK(in_words(reasons("not bare", facts, more)) ==
          Told{"not: it is bare (height: 8 ft; roofed: no): false"});
}
