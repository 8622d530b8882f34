// Computed figures: which are told, by which formula, with what filled in.
#include "support/small_shelf.hpp"

#include <doctest/doctest.h>

using namespace toprail;
using namespace toprail::test;

namespace {

using Told = std::vector<std::string>;

// "near: 8 ft = height (8 ft)"
Told told(const std::string& quantities, GivenFacts facts) {
    const Shelf shelf =
        shelf_of({small_vocabulary(),
                  small_pack("quantities:\n" + quantities + "provisions:\n" +
                             requires_tie_off("rule", "{any-of: [near is more than 5 ft, "
                                                      "reach is more than 5 ft]}"))});
    Told all;
    for (const QuantityValue& one : decided(shelf, facts).quantities) {
        all.push_back(one.quantity + ": " + one.value + " = " + one.formula + " (" + one.filled +
                      ")");
    }
    return all;
}

}  // namespace

TEST_CASE("quantities: what is computed is told with its formula filled in") {
    const std::string twice = "  near: {kind: length, unit: ft, reads: near, equals: \"2 * "
                              "max(height, 6 ft) - reach / 2\"}\n";
    CHECK(told(twice, {{"height", "8 ft"}, {"width", "36 in"}}) ==
          Told{"near: 10.5 ft = 2 * max(height, 6 ft) - reach / 2 (2 * max(8 ft, 6 ft) - 11 ft / "
               "2)",
               "reach: 11 ft = height + width (8 ft + 36 in)"});
    // What hangs on something unknown, or on no fact at all, is not told.
    CHECK(told(twice, {{"height", "8 ft"}}).empty());
    CHECK(told("  near: {kind: length, unit: ft, reads: near, equals: 6 ft}\n",
               {{"height", "8 ft"}, {"width", "1 ft"}}) ==
          Told{"reach: 9 ft = height + width (8 ft + 1 ft)"});
}

TEST_CASE("quantities: of several pieces the one that counts is told") {
    const std::string pieces = "  near:\n    kind: length\n    unit: ft\n    reads: near\n"
                               "    pieces: [{where: roofed, equals: height - 1 ft}, "
                               "{where: gate-open, equals: 2 * height}, {equals: height}]\n";
    const auto near = [&](std::string_view roofed, std::string_view gate_open) {
        const Told all =
            told(pieces, {{"height", "8 ft"}, {"roofed", roofed}, {"gate-open", gate_open}});
        return all.empty() ? std::string() : all.front();
    };
    CHECK(near("yes", "yes") == "near: 7 ft = height - 1 ft (8 ft - 1 ft)");
    CHECK(near("no", "yes") == "near: 16 ft = 2 * height (2 * 8 ft)");
    CHECK(near("no", "no") == "near: 8 ft = height (8 ft)");
    CHECK(near("not known", "no").empty());
}
