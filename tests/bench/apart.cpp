// Entry points: measure_settling, measure_loading, measure_swap.
#include "invented.hpp"
#include "measure.hpp"
#include "toprail/case_decider.hpp"

#include <fmt/format.h>
#include <yaml-cpp/yaml.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>
#include <thread>

namespace bench {
namespace {

using Clock = std::chrono::steady_clock;

// Time that this thread had the processor: on a machine that others use too, a tail of waits for it
// would say nothing of the work.
double worked() {
    timespec now{};
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
    return static_cast<double>(now.tv_sec) + static_cast<double>(now.tv_nsec) * 1e-9;
}

template <class Work>
double seconds(Work work) {
    const auto begin = Clock::now();
    work();
    return std::chrono::duration<double>(Clock::now() - begin).count();
}

template <class Work>
double median_seconds(std::size_t times, Work work) {
    std::vector<double> all;
    for (std::size_t i = 0; i < times; ++i) {
        all.push_back(seconds(work));
    }
    std::sort(all.begin(), all.end());
    return all[all.size() / 2];
}

std::string microseconds(double value) {
    return fmt::format("{:.0f} us", value * 1e6);
}

}  // namespace

// Cases with all facts known but six of those that the duty can hang on.
void measure_settling(const Subject& shipped, Table& table) {
    constexpr std::size_t cases = 2'000;
    constexpr std::size_t unknown = 6;
    std::mt19937_64 random(5);
    const toprail::BulkPlan& plan = shipped.lean;
    std::vector<std::size_t> used;
    for (std::size_t f = 0; f < plan.facts().size(); ++f) {
        if (plan.facts()[f].used) {
            used.push_back(f);
        }
    }
    toprail::CaseDecider decider(plan);
    std::vector<double> all;
    std::vector<double> open;
    for (std::size_t i = 0; i < cases; ++i) {
        decider.clear();
        for (const std::size_t f : used) {
            decider.set_class(f, static_cast<std::uint8_t>(random() % plan.facts()[f].classes));
        }
        for (std::size_t u = 0; u < unknown; ++u) {
            decider.set_class(used[random() % used.size()], toprail::bulk_not_known);
        }
        const bool stays_open =
            decider.decide().front() == static_cast<std::uint8_t>(toprail::Outcome::undetermined);
        const double begin = worked();
        decider.settle();
        all.push_back(worked() - begin);
        if (stays_open) {
            open.push_back(all.back());
        }
    }
    const auto at = [](std::vector<double>& times, double share) {
        std::sort(times.begin(), times.end());
        return times.empty()
                   ? 0.0
                   : times[static_cast<std::size_t>(share * static_cast<double>(times.size() - 1))];
    };
    table.add_figure({"settling with 6 unknown facts, 99th percentile", shipped.name,
                      microseconds(at(all, 0.99)), "1 ms", "100 us"});
    table.add_figure({fmt::format("the same, of the {} in {} that the first pass leaves open",
                                  open.size(), cases),
                      shipped.name, microseconds(at(open, 0.99)), "", ""});
}

void measure_loading(const std::string& rulepacks, Times& times, Table& table) {
    for (const std::size_t provisions : {100UL, 1'000UL, 10'000UL}) {
        const auto texts = invent({1, provisions, false});
        const std::string name = fmt::format("load/{}", provisions);
        const std::size_t repeats = provisions < 10'000 ? 9 : 3;
        times[name + "/ours"] = median_seconds(repeats, [&] { load(texts); });
        times[name + "/parse"] = median_seconds(repeats, [&] {
            for (const toprail::SourceText& text : texts) {
                YAML::Load(text.text);
            }
        });
        table.add({fmt::format("load of {} provisions, against yaml-cpp parsing the same file",
                               provisions),
                   "invented", name + "/ours", name + "/parse", provisions == 10'000 ? "2" : "",
                   provisions == 10'000 ? "1.3" : "", true});
    }
    std::vector<std::string> texts;
    for (const std::string& file : toprail::shelf_files(rulepacks)) {
        std::ostringstream text;
        text << std::ifstream(file).rdbuf();
        texts.push_back(text.str());
    }
    times["load/shipped/ours"] = median_seconds(3, [&] { shipped(rulepacks); });
    times["load/shipped/parse"] = median_seconds(3, [&] {
        for (const std::string& text : texts) {
            YAML::Load(text);
        }
    });
    table.add({"load of the shipped rulepacks, against yaml-cpp parsing them", "shipped",
               "load/shipped/ours", "load/shipped/parse", "", "", true});
}

// A host decides while it makes plans of a new edition and swaps them in.
void measure_swap(const Subject& subject, Times& times, Table& table) {
    const Cases cases = draw_cases(subject.lean, 4'096);
    std::atomic<std::shared_ptr<const toprail::BulkPlan>> current(
        std::make_shared<const toprail::BulkPlan>(subject.lean));
    std::size_t swaps = 0;
    const auto decide_for = [&](bool swapping) {
        std::atomic<bool> stop{false};
        std::thread editor([&] {
            while (swapping && !stop) {
                current = std::make_shared<const toprail::BulkPlan>(plan_of(subject.shelf, false));
                ++swaps;
            }
        });
        std::size_t decided = 0;
        const double taken = seconds([&] {
            const auto begin = Clock::now();
            while (Clock::now() - begin < std::chrono::milliseconds(500)) {
                // Taken anew for each batch: a plan that is swapped out lives until its last user.
                const auto plan = current.load();
                toprail::CaseDecider decider(*plan);
                for (std::size_t i = 0; i < cases.count; ++i) {
                    decider.decide({cases.row(i), cases.facts});
                }
                decided += cases.count;
            }
        });
        stop = true;
        editor.join();
        return taken / static_cast<double>(decided);
    };
    times[subject.name + "/swap/still"] = decide_for(false);
    times[subject.name + "/swap/swapping"] = decide_for(true);
    table.add({fmt::format("deciding while {} editions are swapped in, against none", swaps),
               subject.name, subject.name + "/swap/swapping", subject.name + "/swap/still", "", "",
               false});
}

}  // namespace bench
