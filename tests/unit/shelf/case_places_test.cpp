// A worked case that fails points at the provision that brought what was seen.
#include "support/shelves.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace toprail;
using namespace toprail::test;

namespace {

constexpr std::string_view vocabulary = R"(vocabulary: lifts
title: Words
standings:
  regulation: {rank: 2, may: [require, relax, limit, explain]}
facts:
  platform-height:
    {type: length, unit: ft, from: 0 ft, to: 500 ft, reads: the height, ask: How much, why: All}
  rope: {type: length, unit: ft, from: 0 ft, to: 50 ft, reads: the rope, ask: How long, why: All}
choices:
  means: {values: [restraint, arrest], reads: the means, ask: Which, why: All}
duties:
  tie-off: {asks: Is it required, reads: tie-off}
)";

constexpr std::string_view pack = R"(rulepack: example.authority
title: Rules
format: 1
standing: regulation
vocabulary: lifts
edition: {from: 2020-01-01, verified-through: 2024-12-31, picked-by: work-date}
provisions:
  - id: tied
    cite: Rule 1
    source: read
    gist: Tie off when raised.
    where: platform-height is more than 12 ft
    duty: tie-off
    calls-for: required
  - {id: bars, cite: Rule 2, source: read, gist: No restraint., choice: means, bars: [restraint]}
  - {id: short, cite: Rule 3, source: read, gist: Short., limit: rope, at-most: 6 ft}
worked-cases:
)";

// The lines of the pack that the only finding points at.
std::vector<std::uint32_t> pointed_at(const std::string& expectation) {
    const Shelf shelf =
        shelf_of({{"lifts.yaml", std::string(vocabulary)},
                  {"pack.yaml", std::string(pack) +
                                    "  - name: one\n    facts: {platform-height: 20 ft}\n    " +
                                    expectation + "\n"}});
    std::vector<std::uint32_t> lines;
    std::size_t failures = 0;
    for (const Finding& finding : lint_shelf(shelf)) {
        if (finding.code != "case-fails") {
            continue;
        }
        ++failures;
        for (const OtherPlace& other : finding.others) {
            CHECK(other.place.file == "pack.yaml");
            CHECK(other.says == "this brings it");
            lines.push_back(other.place.line);
        }
    }
    CHECK(failures == 1);
    return lines;
}

}  // namespace

TEST_CASE("worked cases: a failing one points at the provision behind it") {
    using Lines = std::vector<std::uint32_t>;
    CHECK(pointed_at("answers: {tie-off: not required}") == Lines{8});
    CHECK(pointed_at("answers: {means: [restraint, arrest]}") == Lines{15});
    CHECK(pointed_at("answers: {means: [restraint]}") == Lines{15});
    CHECK(pointed_at("answers: {rope: at most 5 ft}") == Lines{16});
    CHECK(pointed_at("falls: [tied]") == Lines{8});
}

TEST_CASE("worked cases: nothing is pointed at where nothing brought the answer") {
    CHECK(pointed_at("stands: [no-such-provision]").empty());
}
