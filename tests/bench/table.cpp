// Entry points: Table, environment.
#include "table.hpp"

#include "toprail/bulk.hpp"

#include <fmt/format.h>

#include <fstream>
#include <thread>

namespace bench {
namespace {

double ratio(const TableRow& row, const Times& times) {
    const auto ours = times.find(row.ours);
    const auto theirs = times.find(row.theirs);
    if (ours == times.end() || theirs == times.end()) {
        return 0;
    }
    return row.ours_over_theirs ? ours->second / theirs->second : theirs->second / ours->second;
}

std::string quoted(const std::string& text) {
    return "\"" + text + "\"";
}

}  // namespace

std::string Table::text(const Times& times) const {
    std::string out = fmt::format("{:<78} {:<9} {:>10} {:>8} {:>8} {:>14} {:>14}\n", "what",
                                  "rules", "ratio", "must", "aim", "ours a second", "rival's");
    for (const TableRow& row : rows_) {
        if (const double value = ratio(row, times); value > 0) {
            out += fmt::format("{:<78} {:<9} {:>9.3g}x {:>8} {:>8} {:>14.4g} {:>14.4g}\n", row.what,
                               row.rules, value, row.must, row.aim, 1 / times.at(row.ours),
                               1 / times.at(row.theirs));
        }
    }
    for (const Figure& figure : figures_) {
        out += fmt::format("{:<78} {:<9} {:>10} {:>8} {:>8}\n", figure.what, figure.rules,
                           figure.value, figure.must, figure.aim);
    }
    return out;
}

std::string Table::csv(const Times& times) const {
    std::string out = "what,rules,value,must,aim,ours-a-second,rival-a-second\n";
    for (const TableRow& row : rows_) {
        if (const double value = ratio(row, times); value > 0) {
            out += fmt::format("{},{},{:.4g},{},{},{:.5g},{:.5g}\n", quoted(row.what), row.rules,
                               value, row.must, row.aim, 1 / times.at(row.ours),
                               1 / times.at(row.theirs));
        }
    }
    for (const Figure& figure : figures_) {
        out += fmt::format("{},{},{},{},{},,\n", quoted(figure.what), figure.rules,
                           quoted(figure.value), figure.must, figure.aim);
    }
    return out;
}

std::string environment() {
    std::string processor = "unknown processor";
    std::ifstream info("/proc/cpuinfo");
    for (std::string line; std::getline(info, line);) {
        if (line.starts_with("model name")) {
            processor = line.substr(line.find(':') + 2);
            break;
        }
    }
    std::string vectors;
    for (const std::string_view each : toprail::BulkPlan::vectors()) {
        vectors += (vectors.empty() ? "" : ", ") + std::string(each);
    }
    return fmt::format("processor: {}, {} of them; vectors: {}\ncompiler: {} {}\nflags: {}\n",
                       processor, std::thread::hardware_concurrency(), vectors,
                       TOPRAIL_BENCH_COMPILER, __VERSION__, TOPRAIL_BENCH_FLAGS);
}

}  // namespace bench
