// The library held against the reference evaluator on random shelves and cases.
//
// TOPRAIL_LONG_RUN=N asks N pairs of shelf and case instead of the usual 100,000;
// TOPRAIL_SEED=N starts elsewhere. Both print what they used.

#include "oracle/compare.hpp"
#include "oracle/property.hpp"
#include "oracle/worlds.hpp"

#include <doctest/doctest.h>
#include <rapidcheck.h>

#include <cstdlib>
#include <iostream>

namespace {

using oracle::World;

struct Figures {
    std::size_t pairs = 0;
    std::size_t shelves = 0;
    std::size_t fillings = 0;
    std::size_t undetermined = 0;
    std::size_t contested = 0;
    std::size_t widest = 0;
};

void compare_world(const World& world, Figures& figures) {
    const auto texts = oracle::texts_of(world);
    const auto loaded = toprail::load_shelf(texts);
    RC_ASSERT_FALSE(oracle::has_trouble(loaded));
    const oracle::Oracle reference(texts);
    ++figures.shelves;
    for (const auto& test_case : oracle::cases_of(world, reference)) {
        toprail::DecideOptions options;
        options.authorities = test_case.authorities;
        const auto seen = loaded.shelf->decide(test_case.facts, test_case.on, options);
        const auto expected = reference.decide(test_case.facts, test_case.on, test_case.named());
        const std::string difference = oracle::disagreement(reference.model(), expected, seen);
        ++figures.pairs;
        figures.fillings += expected.fillings;
        figures.widest = std::max(figures.widest, expected.fillings);
        for (const auto& [duty, answer] : expected.duties) {
            figures.undetermined += answer.possible.size() > 1 ? 1U : 0U;
            figures.contested += answer.contested != toprail::Perhaps::no ? 1U : 0U;
        }
        if (!difference.empty()) {
            RC_LOG() << oracle::show(test_case) << difference;
            RC_FAIL("the library and the oracle disagree");
        }
    }
}

TEST_CASE("random shelves and cases: the library and the oracle agree") {
    const char* long_run = std::getenv("TOPRAIL_LONG_RUN");
    const std::size_t wanted = long_run == nullptr ? 100'000 : std::strtoull(long_run, nullptr, 10);
    Figures figures;
    // Seeds follow each other until enough pairs were asked; each is a run of its own.
    for (std::uint64_t round = 0; figures.pairs < wanted; ++round) {
        const bool passed =
            oracle::check_property(oracle::worlds(40), 200, oracle::first_seed() + round,
                                   [&](const World& world) { compare_world(world, figures); });
        REQUIRE(passed);
    }
    std::cout << "oracle: " << figures.pairs << " pairs of shelf and case, " << figures.shelves
              << " shelves, " << figures.fillings << " fillings, at most " << figures.widest
              << " in one case; " << figures.undetermined << " undetermined and "
              << figures.contested << " contested duties; seeds from " << oracle::first_seed()
              << "\n";
    CHECK(figures.pairs >= wanted);
}

}  // namespace
