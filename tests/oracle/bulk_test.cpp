// Bulk decisions held against deciding the same cases one by one, on random shelves.

#include "oracle/bulk_cases.hpp"
#include "oracle/property.hpp"
#include "toprail/case_decider.hpp"

#include <doctest/doctest.h>
#include <rapidcheck.h>

#include <algorithm>
#include <utility>

namespace {

using oracle::World;

struct Figures {
    std::size_t cases = 0;
    std::size_t searched = 0;
    std::size_t beyond_plan = 0;
    std::size_t no_answer = 0;
};

// The same by CaseDecider, each fact set from its text.
void compare_one_by_one(const toprail::BulkPlan& plan, const std::vector<oracle::TestCase>& cases,
                        const std::vector<std::uint8_t>& expected) {
    toprail::CaseDecider decider(plan);
    for (std::size_t i = 0; i < cases.size(); ++i) {
        decider.clear();
        for (std::size_t f = 0; f < plan.facts().size(); ++f) {
            decider.set(f, oracle::text_of(cases[i].facts, plan.facts()[f].name));
        }
        const auto quick = decider.decide();
        for (std::size_t d = 0; d < quick.size(); ++d) {
            RC_ASSERT(quick[d] == expected[d * cases.size() + i] ||
                      quick[d] == static_cast<std::uint8_t>(toprail::Outcome::undetermined));
        }
        const auto settled = decider.settle();
        for (std::size_t d = 0; d < settled.size(); ++d) {
            RC_ASSERT(settled[d] == expected[d * cases.size() + i]);
        }
    }
}

void compare_plan(const toprail::Shelf& shelf, const std::vector<oracle::TestCase>& cases,
                  const toprail::Date on, const std::vector<std::string>& authorities,
                  Figures& figures) {
    toprail::BulkOptions options;
    options.authorities = authorities;
    const auto planned = toprail::plan_bulk(shelf, on, options);
    RC_ASSERT(planned.plan.has_value());
    const toprail::BulkPlan& plan = *planned.plan;
    const auto expected = oracle::one_by_one(shelf, plan, cases, on, authorities);
    const oracle::BulkTexts texts(plan, cases);
    const auto columns = texts.columns();
    for (const std::string_view vectors : toprail::BulkPlan::vectors()) {
        toprail::BulkRun run;
        run.vectors = vectors;
        std::vector<std::uint8_t> seen(expected.size());
        const auto report = plan.decide(columns, cases.size(), seen, run);
        RC_ASSERT(seen == expected);
        figures.searched += report.searched;
        figures.beyond_plan += report.beyond_plan;
        figures.no_answer += report.no_answer;
        // Without the search nothing is wrong, only wider.
        run.search = false;
        plan.decide(columns, cases.size(), seen, run);
        for (std::size_t i = 0; i < seen.size(); ++i) {
            RC_ASSERT(seen[i] == expected[i] ||
                      seen[i] == static_cast<std::uint8_t>(toprail::Outcome::undetermined));
        }
    }
    compare_one_by_one(plan, cases, expected);
    figures.cases += cases.size();
}

void compare_world(const World& world, Figures& figures) {
    const auto texts = oracle::texts_of(world);
    const auto loaded = toprail::load_shelf(texts);
    RC_ASSERT_FALSE(oracle::has_trouble(loaded));
    const oracle::Oracle reference(texts);
    auto cases = oracle::cases_of(world, reference);
    // The generator keeps days within the editions: some cases lie before the first of them.
    const std::size_t drawn = cases.size();
    for (std::size_t i = 0; i < drawn; i += 4) {
        auto early = cases[i];
        early.on = *toprail::Date::parse("1990-01-01");
        for (const toprail::FactInfo& fact : loaded.shelf->facts()) {
            if (fact.type == "date") {
                early.facts.set(fact.name, "1990-01-01");
            }
        }
        cases.push_back(std::move(early));
    }
    // Every case under the circumstances of a few of them: a plan is made for one date.
    for (std::size_t i = 0; i < cases.size(); i += std::max<std::size_t>(drawn - 1, 1)) {
        compare_plan(*loaded.shelf, cases, cases[i].on, cases[i].authorities, figures);
    }
}

TEST_CASE("random shelves: bulk and plans for one case decide as a shelf does, on all vectors") {
    Figures figures;
    for (std::uint64_t round = 0; figures.cases < 100'000; ++round) {
        REQUIRE(oracle::check_property(oracle::worlds(40), 200, oracle::first_seed() + round,
                                       [&](const World& world) { compare_world(world, figures); }));
    }
    std::cout << "bulk: " << figures.cases << " cases; over all vectors " << figures.searched
              << " searched, " << figures.beyond_plan << " of them beyond the plan, "
              << figures.no_answer << " without an answer\n";
    CHECK(figures.searched > 0);
    CHECK(figures.beyond_plan > 0);
    CHECK(figures.no_answer > 0);
}

}  // namespace
