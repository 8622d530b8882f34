// Decisions of the shipped rulepacks held against what the authorities published. Each case names
// its source; cases about the trade say that they have none.
#include "published/case_file.hpp"
#include "support/shelves.hpp"

#include <doctest/doctest.h>

using namespace toprail;
using namespace toprail::test;

namespace {

std::string published_folder() {
    return TOPRAIL_SOURCE_DIR "/tests/published";
}

void hold_file(const std::string& name) {
    const CaseFile file = read_case_file(published_folder() + "/" + name);
    CHECK_MESSAGE(file.findings.empty(), told(file.findings));
    CHECK_FALSE(file.cases.empty());
    for (const PublishedCase& published : file.cases) {
        const std::string where = name + ":" + std::to_string(published.span.line) + ": " +
                                  published.name + " [" + published.source + "]";
        CHECK_MESSAGE(!published.source.empty(), where, ": a published case names its source");
        if (!published.on) {
            continue;  // reported with the findings of the file
        }
        for (const std::string& difference : differences(shelf_with_templates(), published)) {
            FAIL_CHECK(where << ": " << difference);
        }
    }
}

}  // namespace

TEST_CASE("published: facts of the trade") {
    hold_file("common-practice.yaml");
}
TEST_CASE("published: facts of the trade, scissor lifts") {
    hold_file("common-practice-scissor.yaml");
}
TEST_CASE("published: federal rules beside construction") {
    hold_file("federal-others.yaml");
}
TEST_CASE("published: OSHA letters and memos") {
    hold_file("interpretations.yaml");
}
TEST_CASE("published: fall mechanics") {
    hold_file("mechanics.yaml");
}
TEST_CASE("published: military manual") {
    hold_file("military.yaml");
}
TEST_CASE("published: military manual, retractables") {
    hold_file("military-retractables.yaml");
}
TEST_CASE("published: our own geometry") {
    hold_file("own-geometry.yaml");
}
TEST_CASE("published: several authorities on one site") {
    hold_file("several-authorities.yaml");
}
TEST_CASE("published: states") {
    hold_file("states.yaml");
}

// A file that nobody reads would look as if its cases held.
TEST_CASE("published: every file of cases is held") {
    CHECK(shelf_files(published_folder()).size() == 10);
}
