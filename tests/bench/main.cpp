// Measures, and prints one table of ratios. Every rival's answers are compared before any time is
// taken; where they differ nothing is measured.
//
//   toprail-bench RULEPACKS [CSV] [options of Google Benchmark]
#include "measure.hpp"

#include <benchmark/benchmark.h>

#include <algorithm>
#include <fstream>
#include <iostream>

namespace {

// Keeps the time of one item of every repetition.
class Collector : public benchmark::BenchmarkReporter {
  public:
    bool ReportContext(const Context& context) override {
        static_cast<void>(context);
        return true;
    }

    void ReportRuns(const std::vector<Run>& runs) override {
        for (const Run& run : runs) {
            if (run.run_type == Run::RT_Iteration && !run.error_occurred) {
                const std::string name = run.benchmark_name();
                const std::string base = name.substr(0, name.find("/repeats:"));
                all_[base].push_back(1 / run.counters.at("items_per_second"));
                std::cerr << '.';
            }
        }
    }

    [[nodiscard]] bench::Times medians() const {
        bench::Times times;
        for (auto [name, each] : all_) {
            std::sort(each.begin(), each.end());
            times[name] = each[each.size() / 2];
        }
        return times;
    }

  private:
    std::map<std::string, std::vector<double>> all_;
};

int run(int count, char** words) {
    const std::string rulepacks = words[1];
    const bench::Subject invented = bench::invented_subject();
    const bench::Subject shipped = bench::shipped_subject(rulepacks);
    std::cerr << "comparing the rivals' answers\n";
    if (!bench::agree(invented, 20'000, 1'000) || !bench::agree(shipped, 3'000, 0)) {
        return 1;
    }
    // Repetitions of all benchmarks are mixed, so that a busy moment of the machine hits them all.
    std::vector<std::string> given{words[0], "--benchmark_repetitions=7",
                                   "--benchmark_min_time=0.1",
                                   "--benchmark_enable_random_interleaving=true"};
    given.insert(given.end(), words + std::min(count, 3), words + count);
    std::vector<char*> arguments;
    for (std::string& each : given) {
        arguments.push_back(each.data());
    }
    int left = static_cast<int>(arguments.size());
    benchmark::Initialize(&left, arguments.data());
    bench::Table table;
    for (const bench::Subject* subject : {&invented, &shipped}) {
        bench::measure_one_case(*subject, table);
        bench::measure_bulk(*subject, table);
    }
    if (!bench::measure_lines(invented, table)) {
        return 1;
    }
    bench::measure_growth(table);
    Collector collector;
    std::cerr << "measuring ";
    benchmark::RunSpecifiedBenchmarks(&collector);
    bench::Times times = collector.medians();
    std::cerr << "\nmeasuring what takes long\n";
    bench::measure_settling(shipped, table);
    bench::measure_loading(rulepacks, times, table);
    bench::measure_swap(invented, times, table);
    std::cout << bench::environment() << '\n' << table.text(times);
    if (count > 2) {
        std::ofstream(words[2]) << table.csv(times);
    }
    return 0;
}

}  // namespace

int main(int count, char** words) {
    if (count < 2) {
        std::cerr << "usage: toprail-bench RULEPACKS [CSV] [options of Google Benchmark]\n";
        return 2;
    }
    try {
        return run(count, words);
    } catch (const std::exception& trouble) {
        std::cerr << "bench: " << trouble.what() << '\n';
        return 2;
    }
}
