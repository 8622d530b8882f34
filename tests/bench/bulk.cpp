// Entry point: measure_bulk.
#include "measure.hpp"

#include <benchmark/benchmark.h>

#include <memory>

namespace bench {
namespace {

// More than the caches nearest to the processor hold.
constexpr std::size_t cases_drawn = std::size_t{1} << 19U;
// Branch-free code over large rules takes longer.
constexpr std::size_t cases_of_shipped = std::size_t{1} << 15U;

struct Run {
    Cases cases;
    std::vector<toprail::BulkColumn> spans;
    std::vector<const std::uint8_t*> pointers;
    std::vector<std::uint8_t> outcomes;
    std::vector<std::uint8_t> statuses;
};

template <class Once>
void over_columns(const std::string& name, const std::shared_ptr<Run>& run, Once once,
                  bool real_time = false) {
    auto* const registered =
        benchmark::RegisterBenchmark(name.c_str(), [run, once](benchmark::State& state) {
            for (auto _ : state) {
                once(*run);
                benchmark::ClobberMemory();
            }
            state.SetItemsProcessed(state.iterations() *
                                    static_cast<std::int64_t>(run->cases.count));
        });
    registered->Unit(benchmark::kMillisecond);
    if (real_time) {
        registered->UseRealTime();
    }
}

// Every byte of the columns is read, and nothing done with them.
std::uint64_t stream(const Run& run) {
    std::uint64_t sums[4] = {};
    for (const std::uint8_t* const column : run.pointers) {
        for (std::size_t i = 0; i + 32 <= run.cases.count; i += 32) {
            std::uint64_t words[4];
            __builtin_memcpy(words, column + i, sizeof words);
            for (int w = 0; w < 4; ++w) {
                sums[w] += words[w];
            }
        }
    }
    return sums[0] ^ sums[1] ^ sums[2] ^ sums[3];
}

void decide(const toprail::BulkPlan& plan, Run& run, std::string_view vectors, unsigned threads) {
    toprail::BulkRun how;
    how.search = false;
    how.vectors = vectors;
    how.threads = threads;
    plan.decide(run.spans, run.cases.count, run.outcomes, how);
}

}  // namespace

void measure_bulk(const Subject& subject, Table& table) {
    const bool invented = subject.name == "invented";
    const auto run = std::make_shared<Run>();
    run->cases = draw_cases(subject.lean, invented ? cases_drawn : cases_of_shipped);
    run->spans = run->cases.spans();
    run->pointers = run->cases.pointers();
    run->outcomes.resize(subject.lean.duties().size() * run->cases.count);
    run->statuses.resize(invented ? run->cases.count * subject.full.provisions().size() : 0);
    const std::string& name = subject.name;
    const Rival* const rival = subject.rival;
    const toprail::BulkPlan lean = subject.lean;
    const toprail::BulkPlan full = subject.full;
    over_columns(name + "/bulk/plain", run, [rival](Run& r) {
        rival->columns(r.pointers.data(), r.cases.count, r.outcomes.data());
    });
    over_columns(name + "/bulk/stream", run, [](Run& r) { benchmark::DoNotOptimize(stream(r)); });
    const std::map<std::string_view, std::pair<std::string, std::string>> goals{
        {"avx512", {"12", "25"}}, {"avx2", {"8", "17"}}, {"portable", {"4", "8"}}};
    for (const std::string_view vectors : toprail::BulkPlan::vectors()) {
        const std::string ours = name + "/bulk/" + std::string(vectors);
        over_columns(ours, run, [lean, vectors](Run& r) { decide(lean, r, vectors, 1); });
        const auto& goal = goals.at(vectors);
        table.add({"bulk, byte columns in, outcomes out, one thread, against branch-free C++, " +
                       std::string(vectors),
                   name, ours, name + "/bulk/plain", invented ? goal.first : "",
                   invented ? goal.second : ""});
        table.add({"the same, as a share of streaming the bytes", name, ours, name + "/bulk/stream",
                   invented && vectors == "avx512" ? "0.12" : "",
                   invented && vectors == "avx512" ? "0.3" : ""});
    }
    const std::string widest(toprail::BulkPlan::vectors().front());
    for (const unsigned threads : {1U, 2U}) {
        over_columns(
            name + "/bulk/threads-" + std::to_string(threads), run,
            [lean, threads](Run& r) { decide(lean, r, "", threads); }, true);
    }
    table.add({"two threads against one, bulk, " + widest, name, name + "/bulk/threads-2/real_time",
               name + "/bulk/threads-1/real_time", invented ? "1.7" : "", invented ? "1.95" : ""});
    if (!invented) {
        return;
    }
    over_columns(name + "/bulk/plain-statuses", run, [rival](Run& r) {
        rival->columns_statuses(r.pointers.data(), r.cases.count, r.outcomes.data(),
                                r.statuses.data());
    });
    for (const std::string_view vectors : toprail::BulkPlan::vectors()) {
        const std::string ours = name + "/bulk/statuses-" + std::string(vectors);
        over_columns(ours, run, [full, vectors](Run& r) {
            toprail::BulkRun how;
            how.search = false;
            how.vectors = vectors;
            how.statuses = std::span(r.statuses).first(full.status_bytes(r.cases.count));
            full.decide(r.spans, r.cases.count, r.outcomes, how);
        });
        const bool counts = vectors == "avx512";
        table.add({"bulk with the status of every provision, against branch-free C++ with it, " +
                       std::string(vectors),
                   name, ours, name + "/bulk/plain-statuses", counts ? "20" : "",
                   counts ? "55" : ""});
    }
}

}  // namespace bench
