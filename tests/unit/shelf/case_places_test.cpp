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

// The edition that is not in force has a copy of the provision, and that falls.
TEST_CASE("worked cases: what must fall falls in no edition alone") {
    const auto edition = [](const std::string& from, const std::string& cases) {
        SourceText text = small_pack(
            "provisions:\n" + requires_tie_off("tied") + cases, "test.pack", "regulation",
            "{from: " + from + ", verified-through: 2030-01-01, picked-by: work-date}");
        text.name = from + ".yaml";
        return text;
    };
    const auto failures = [&](const std::string& expectation) {
        const std::string cases = "worked-cases:\n  - name: one\n    facts: {height: 20 ft}\n    ";
        const Shelf shelf = shelf_of({small_vocabulary(), edition("2020-01-01", ""),
                                      edition("2022-01-01", cases + expectation + "\n")});
        const std::vector<Finding> findings = lint_shelf(shelf);
        return std::count_if(findings.begin(), findings.end(),
                             [](const Finding& f) { return f.code == "case-fails"; });
    };
    CHECK(failures("stands: [tied]") == 0);
    CHECK(failures("falls: [tied]") == 1);
}
