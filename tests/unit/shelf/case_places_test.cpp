// A worked case that fails points at the provision that brought what was seen.
#include "support/small_shelf.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace toprail;
using namespace toprail::test;

namespace {

// One provision a line, from line 8 on.
Shelf shelf_with_case(const std::string& expectation) {
    return shelf_of(
        {small_vocabulary(),
         small_pack("provisions:\n" + requires_tie_off("tied", "height is more than 12 ft") +
                    provision("bars", "choice: means, bars: [restraint]") +
                    provision("short", "limit: width, at-most: 6 ft") +
                    "worked-cases:\n  - name: one\n    facts: {height: 20 ft}\n    " + expectation +
                    "\n")});
}

// The lines of the pack that the only finding points at.
std::vector<std::uint32_t> pointed_at(const std::string& expectation) {
    const Shelf shelf = shelf_with_case(expectation);
    std::vector<std::uint32_t> lines;
    std::size_t failures = 0;
    for (const Finding& finding : lint_shelf(shelf)) {
        if (finding.code != "case-fails") {
            continue;
        }
        ++failures;
        for (const OtherPlace& other : finding.others) {
            CHECK(other.place.file == "test.pack.yaml");
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
    CHECK(pointed_at("answers: {means: [restraint, arrest]}") == Lines{9});
    CHECK(pointed_at("answers: {means: [restraint]}") == Lines{9});
    CHECK(pointed_at("answers: {width: at most 5 ft}") == Lines{10});
    CHECK(pointed_at("falls: [tied]") == Lines{8});
}

TEST_CASE("worked cases: nothing is pointed at where nothing brought the answer") {
    CHECK(pointed_at("stands: [no-such-provision]").empty());
}
