// Small shelves and cases made from the bytes: the engine against the reference evaluator, and bulk
// decisions against single ones. Each tape is its length and so many bytes.
#include "fuzz/holding.hpp"
#include "oracle/bulk_cases.hpp"
#include "oracle/compare.hpp"
#include "oracle/worlds.hpp"

#include <fuzzer/FuzzedDataProvider.h>

#include <cstdlib>
#include <iostream>

namespace {

using toprail::fuzz::hold;
using toprail::fuzz::hold_nothing;

oracle::Tape tape(FuzzedDataProvider& input, std::size_t longest) {
    return input.ConsumeBytes<std::uint8_t>(input.ConsumeIntegralInRange<std::size_t>(0, longest));
}

std::vector<oracle::Tape> tapes(FuzzedDataProvider& input, std::size_t most, std::size_t longest) {
    std::vector<oracle::Tape> all(input.ConsumeIntegralInRange<std::size_t>(0, most));
    for (oracle::Tape& each : all) {
        each = tape(input, longest);
    }
    return all;
}

// As many and as long as those of the random tests.
oracle::World world_of(FuzzedDataProvider& input) {
    oracle::World world;
    world.layout = tape(input, 40);
    world.facts = tapes(input, 6, 8);
    world.quantities = tapes(input, 3, 24);
    world.conditions = tapes(input, 3, 24);
    world.provisions = tapes(input, 12, 40);
    world.cases = tapes(input, 4, 40);
    return world;
}

void compare_bulk(const toprail::Shelf& shelf, const std::vector<oracle::TestCase>& cases) {
    toprail::BulkOptions options;
    options.authorities = cases.front().authorities;
    const auto planned = toprail::plan_bulk(shelf, cases.front().on, options);
    hold(planned.plan.has_value(), "a sound shelf gives a plan");
    const oracle::BulkTexts texts(*planned.plan, cases);
    const auto expected = oracle::one_by_one(shelf, *planned.plan, cases, cases.front().on,
                                             cases.front().authorities);
    for (const std::string_view vectors : toprail::BulkPlan::vectors()) {
        toprail::BulkRun run;
        run.vectors = vectors;
        std::vector<std::uint8_t> seen(expected.size());
        planned.plan->decide(texts.columns(), cases.size(), seen, run);
        hold(seen == expected, "bulk decides as one case at a time does");
    }
}

}  // namespace

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    FuzzedDataProvider input(data, size);
    const oracle::World world = world_of(input);
    const auto texts = oracle::texts_of(world);
    const auto loaded = toprail::load_shelf(texts);
    if (!loaded.shelf) {
        for (const toprail::Finding& finding : loaded.findings) {
            std::cerr << toprail::render_text(finding);
        }
        oracle::showValue(world, std::cerr);
    }
    hold(loaded.shelf.has_value(), "what the generator writes loads");
    const oracle::Oracle reference(texts);
    const auto cases = oracle::cases_of(world, reference);
    for (const oracle::TestCase& each : cases) {
        toprail::DecideOptions how;
        how.authorities = each.authorities;
        const auto seen = loaded.shelf->decide(each.facts, each.on, how);
        const auto expected = reference.decide(each.facts, each.on, each.named());
        const std::string difference = oracle::disagreement(reference.model(), expected, seen);
        if (!difference.empty()) {
            oracle::showValue(world, std::cerr);
            std::cerr << oracle::show(each);
        }
        hold_nothing(difference);
    }
    if (!cases.empty()) {
        compare_bulk(*loaded.shelf, cases);
    }
    return 0;
}
