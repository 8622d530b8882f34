// How much more threads decide than one, with one shelf that all of them share: for 1, 2, 3 ...
// threads, each doing the same work, the time that it took and the ratio to one thread alone. A
// measure, no test.
//
//   toprail-scaling [THREADS [WHOLE [SINGLE [BULK]]]]
//
// WHOLE: how many cases each thread decides with everything that can be told of them. SINGLE: by a
// plan, one after another. BULK: by a plan, all at once.
#include "support/shelves.hpp"
#include "toprail/bulk.hpp"
#include "toprail/case_decider.hpp"

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <thread>
#include <vector>

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
    const auto given = [&](int at, std::size_t otherwise) {
        return count > at ? std::strtoull(words[at], nullptr, 10) : otherwise;
    };
    const auto most = static_cast<unsigned>(given(1, 2));
    const std::size_t whole = given(2, 20);
    const std::size_t single = given(3, 1'000'000);
    const std::size_t bulk = given(4, 500'000'000);

    const Shelf& shelf = test::shipped_shelf();
    const test::GivenFacts values = {{"industry", "construction"},
                                     {"lift-mechanism", "scissor"},
                                     {"platform-height", "14 ft"},
                                     {"guardrail", "complete"}};
    const Facts facts = test::facts_of(values);
    const Date on = test::day("2024-06-01");
    tell("whole", most, [&] {
        for (std::size_t i = 0; i < whole; ++i) {
            (void)shelf.decide(facts, on);
        }
    });

    const BulkPlan plan = *plan_bulk(shelf, on).plan;
    tell("single", most, [&] {
        CaseDecider decider(plan);
        for (std::size_t i = 0; i < single; ++i) {
            decider.clear();
            for (const auto& [name, value] : values) {
                decider.set(name, value);
            }
            (void)decider.decide();
        }
    });

    const std::size_t at_once = 100'000;
    const std::vector<std::uint8_t> classes(at_once, 0);
    tell("bulk", most, [&] {
        std::vector<BulkColumn> columns(plan.facts().size(), ClassColumn(classes));
        std::vector<std::uint8_t> outcomes(plan.duties().size() * at_once);
        BulkRun run;
        run.search = false;
        for (std::size_t done = 0; done < bulk; done += at_once) {
            plan.decide(columns, at_once, outcomes, run);
        }
    });
    return 0;
}
