// The shipped rulepacks: they load and lint clean, and each says what it rests on.
#include "shelf/shelf_data.hpp"
#include "support/shelves.hpp"

#include <doctest/doctest.h>

using namespace toprail;
using namespace toprail::test;

TEST_CASE("packs: the shipped shelf loads and lints without a finding") {
    const LoadedShelf loaded = load_shelf(shipped_folder());
    CHECK_MESSAGE(loaded.findings.empty(), told(loaded.findings));
    REQUIRE(loaded.shelf);
    std::vector<Finding> findings = lint_shelf(*loaded.shelf);
    std::erase_if(findings,
                  [](const Finding& finding) { return finding.severity == Severity::note; });
    CHECK_MESSAGE(findings.empty(), told(findings));
}

TEST_CASE("packs: every pack has worked cases and says what was read") {
    std::size_t cases = 0;
    for (const Rulepack& pack : shipped_shelf().data().model.packs) {
        const std::string& file = pack.source->name();
        CHECK_MESSAGE(!pack.cases.empty(), file, " has no worked case");
        CHECK_MESSAGE(!pack.what_was_read.empty(), file, " does not say what was read");
        CHECK_MESSAGE(pack.verified_through.has_value(), file, " was never compared");
        cases += pack.cases.size();
    }
    CHECK(cases >= 500);
}

TEST_CASE("packs: every provision carries a citation and a gist") {
    for (const Provision& provision : shipped_shelf().data().model.provisions) {
        CHECK_MESSAGE(!provision.cite.empty(), provision.id);
        CHECK_MESSAGE(!provision.gist.empty(), provision.id);
    }
}
