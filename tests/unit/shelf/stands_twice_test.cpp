// Entries that stand twice in one list: which lists are looked at, what counts as the same, and
// where it is marked.
#include "support/linted.hpp"
#include "support/small_shelf.hpp"

#include <doctest/doctest.h>

namespace toprail::test {
namespace {

std::vector<Finding> twice(const Shelf& shelf) {
    return linted(shelf, "stands-twice");
}

std::vector<Finding> twice_in(const std::string& where) {
    return twice(small_shelf(requires_tie_off("a", where)));
}

std::size_t count_in(const std::string& provisions) {
    return twice(small_shelf(provisions)).size();
}

TEST_CASE("stands twice: a value of a sentence is marked where it is repeated") {
    const std::vector<Finding> found = twice_in("mechanism is one of [boom, scissor, boom]");
    REQUIRE(found.size() == 1);
    const Finding& finding = found.front();
    CHECK(finding.severity == Severity::warning);
    CHECK(finding.message == "\"boom\" stands twice; was another meant?");
    REQUIRE(finding.others.size() == 1);
    CHECK(finding.others.front().place.line == finding.place.line);
    CHECK(finding.place.column - finding.others.front().place.column == 15);
    CHECK(finding.place.text.substr(finding.place.column - 1, 4) == "boom");
    CHECK(twice_in("mechanism is not one of [boom, boom]").size() == 1);
    CHECK(twice_in("mechanism is one of [boom, boom, boom]").size() == 2);
    CHECK(twice_in("mechanism is one of [boom, scissor]").empty());
}

TEST_CASE("stands twice: a sentence of a list, however it is spaced and in whatever unit") {
    for (const char* list : {"all-of", "any-of", "none-of"}) {
        CAPTURE(list);
        const std::string start = "{" + std::string(list) + ": [";
        const std::vector<Finding> found = twice_in(start + "gate-open, roofed, gate-open]}");
        REQUIRE(found.size() == 1);
        CHECK(found.front().message == "\"gate-open\" stands twice; was another meant?");
        CHECK(twice_in(start + "gate-open, not gate-open]}").empty());
        CHECK(twice_in(start + "height is more than 10 ft, height  is more than 120 in]}").size() ==
              1);
        CHECK(twice_in(start + "height is more than 10 ft, width is more than 10 ft]}").empty());
        CHECK(twice_in(start + "height is more than 10 ft, height is at least 10 ft]}").empty());
    }
}

TEST_CASE("stands twice: parts are the same in another order, and lists apart are not one") {
    const std::vector<Finding> found =
        twice_in("{any-of: [{all-of: [gate-open, roofed]}, {all-of: [roofed, gate-open]}]}");
    REQUIRE(found.size() == 1);
    CHECK(found.front().message == "this part stands twice; was another meant?");
    CHECK(twice_in("{any-of: [{all-of: [gate-open, roofed]}, {none-of: [gate-open, roofed]}]}")
              .empty());
    CHECK(twice_in("{any-of: [{all-of: [gate-open, roofed]}, {all-of: [gate-open, tied-off]}]}")
              .empty());
    CHECK(twice_in("{any-of: [gate-open, {all-of: [gate-open, roofed, roofed]}]}").size() == 1);
}

TEST_CASE("stands twice: provisions and values that are named, and what meets terms") {
    const std::string two = requires_tie_off("a") + requires_tie_off("b");
    CHECK(count_in(two + frees_tie_off("c", {}, "displaces: [a, a]")) == 1);
    CHECK(count_in(two + frees_tie_off("c", {}, "displaces: [a, b]")) == 0);
    CHECK(count_in(two + provision("c", "relaxes: [b, b], terms: t")) == 1);
    CHECK(count_in(two + provision("c", "choice: means, admits: [arrest, arrest]")) == 1);
    CHECK(count_in(two + provision("c", "choice: anchor, bars: [boom, basket]")) == 0);
    CHECK(count_in(two + provision("c", "relaxes: [b], terms: t, terms-met-by: {all-of: [roofed, "
                                        "roofed]}")) == 1);
}

TEST_CASE("stands twice: conditions, pieces, adoptions and the vocabulary are looked at once") {
    const std::string same = "{all-of: [gate-open, gate-open]}";
    CHECK(twice(shelf_of({small_vocabulary(),
                          small_pack("conditions:\n  named: {reads: r, all-of: [roofed, roofed]}\n"
                                     "provisions:\n" +
                                     requires_tie_off("a", "named"))}))
              .size() == 1);
    CHECK(twice(shelf_of({small_vocabulary(),
                          small_pack("quantities:\n  size: {kind: length, unit: ft, reads: r, "
                                     "pieces: [{where: " +
                                     same + ", equals: height}, {equals: width}]}\nprovisions:\n" +
                                     provision("a", "limit: size, at-most: 6 ft"))}))
              .size() == 1);
    // The adopted copies say nothing that the original and the adoption do not.
    CHECK(
        twice(shelf_of({small_vocabulary(),
                        small_pack("provisions:\n" + requires_tie_off("a", same) +
                                   requires_tie_off("b")),
                        small_pack("adopts: {rulepack: test.pack, cite: c, source: read, where: " +
                                       same + "}\n",
                                   "test.other")}))
            .size() == 2);
    SourceText words = small_vocabulary();
    const std::string met = "met-by: tied-off";
    words.text.replace(words.text.find(met), met.size(), "met-by: {any-of: [tied-off, tied-off]}");
    words.text += "at-odds:\n  pair: {says: s, where: " + same + "}\n";
    CHECK(twice(shelf_of({words, small_pack("provisions:\n" + requires_tie_off("a"))})).size() ==
          2);
}

}  // namespace
}  // namespace toprail::test
