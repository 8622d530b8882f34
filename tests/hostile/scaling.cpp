// How much more threads decide than one, with one shelf that all of them share: for 1, 2, 3 ...
// threads, each doing the same work, the time that it took and the ratio to one thread alone. A
// measure, no test.
//
//   toprail-scaling [THREADS [DECISIONS]]
#include "support/shelves.hpp"
#include "toprail/bulk.hpp"

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <thread>

namespace {

using namespace toprail;

double seconds_of(unsigned threads, const std::function<void()>& work) {
    const auto begin = std::chrono::steady_clock::now();
    std::vector<std::thread> others;
    for (unsigned i = 1; i < threads; ++i) {
        others.emplace_back(work);
    }
    work();
    for (std::thread& each : others) {
        each.join();
    }
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
}

void tell(const char* what, unsigned most, const std::function<void()>& work) {
    seconds_of(1, work);
    double alone = 0;
    for (unsigned threads = 1; threads <= most; ++threads) {
        const double took = seconds_of(threads, work);
        alone = threads == 1 ? took : alone;
        std::printf("%-8s %2u threads: %7.3f s, %5.2f times the decisions of one thread\n", what,
                    threads, took, threads * alone / took);
    }
}

}  // namespace

int main(int count, char** words) {
    const auto most = static_cast<unsigned>(count > 1 ? std::strtoul(words[1], nullptr, 10) : 2);
    const std::size_t decisions = count > 2 ? std::strtoull(words[2], nullptr, 10) : 300;
    const Shelf& shelf = test::shipped_shelf();
    const Facts facts = test::facts_of({{"industry", "construction"},
                                        {"lift-mechanism", "scissor"},
                                        {"platform-height", "14 ft"},
                                        {"guardrail", "complete"}});
    const Date on = test::day("2024-06-01");
    tell("single", most, [&] {
        for (std::size_t i = 0; i < decisions; ++i) {
            (void)shelf.decide(facts, on);
        }
    });
    const BulkPlan plan = *plan_bulk(shelf, on).plan;
    const std::size_t cases = decisions * 1000;
    const std::vector<std::uint8_t> classes(cases, 0);
    tell("bulk", most, [&] {
        std::vector<BulkColumn> columns(plan.facts().size(), ClassColumn(classes));
        std::vector<std::uint8_t> outcomes(plan.duties().size() * cases);
        BulkRun run;
        run.search = false;
        plan.decide(columns, cases, outcomes, run);
    });
    return 0;
}
