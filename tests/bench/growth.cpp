// Entry point: measure_growth.
#include "invented.hpp"
#include "measure.hpp"
#include "toprail/case_decider.hpp"

#include <benchmark/benchmark.h>

#include <memory>

namespace bench {
namespace {

constexpr std::size_t cases_drawn = 1'024;

void add_size(const InventedSize& size, const std::string& name) {
    const auto decider = std::make_shared<toprail::CaseDecider>(plan_of(load(invent(size)), false));
    const auto cases =
        std::make_shared<const Cases>(draw_cases(plan_of(load(invent(size)), false), cases_drawn));
    benchmark::RegisterBenchmark(name.c_str(), [decider, cases](benchmark::State& state) {
        for (auto _ : state) {
            for (std::size_t i = 0; i < cases->count; ++i) {
                benchmark::DoNotOptimize(decider->decide({cases->row(i), cases->facts}).data());
            }
        }
        state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(cases->count));
    });
}

}  // namespace

void measure_growth(Table& table) {
    add_size({5, 12, false}, "growth/60");
    add_size({100, 60, false}, "growth/6000");
    add_size({5, 12, true}, "growth/60-by-place");
    add_size({100, 60, true}, "growth/6000-by-place");
    table.add({"one case, 6,000 provisions against 60, all within reach (100 is linear)",
               "invented", "growth/6000", "growth/60", "100", "100", true});
    table.add({"the same, where all but one authority are out of reach", "invented",
               "growth/6000-by-place", "growth/60-by-place", "100", "<100", true});
}

}  // namespace bench
