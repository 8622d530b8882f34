// Entry point: measure_lines.
#include "toprail/lines.hpp"

#include "invented.hpp"
#include "measure.hpp"
#include "read_fields.hpp"

#include <benchmark/benchmark.h>

#include <iostream>
#include <memory>
#include <random>

namespace bench {
namespace {

constexpr std::size_t lines_made = 40'000;

// A line of every fact, a tenth of them left as "not known".
std::string make_lines(const toprail::Shelf& shelf) {
    std::mt19937_64 random(7);
    const std::vector<toprail::FactInfo> facts = shelf.facts();
    std::string text;
    for (std::size_t i = 0; i < lines_made; ++i) {
        text += "{\"case\":\"case-" + std::to_string(i) + "\",\"facts\":{";
        for (const toprail::FactInfo& fact : facts) {
            std::string value = fact.type == "yes-no"   ? (random() % 2 == 0 ? "yes" : "no")
                                : fact.type == "choice" ? fact.values[random() % fact.values.size()]
                                                        : std::to_string(random() % 101) + " ft";
            value = random() % 10 == 0 ? "not known" : value;
            text += (&fact == &facts.front() ? "\"" : ",\"") + fact.name + "\":\"" + value + "\"";
        }
        text += "}}\n";
    }
    return text;
}

std::uint64_t decide(const toprail::BulkPlan& plan, const std::string& text, bool in_memory) {
    std::size_t at = 0;
    std::uint64_t bytes = 0;
    toprail::LinesPorts ports;
    ports.read = [&](char* to, std::size_t room) {
        const std::size_t size = text.copy(to, room, at);
        at += size;
        return size;
    };
    ports.write = [&](std::string_view out) {
        bytes += out.size();
        return true;
    };
    toprail::LinesRun run;
    run.search = false;
    const toprail::LinesReport report = in_memory ? toprail::decide_lines(plan, text, ports, run)
                                                  : toprail::decide_lines(plan, ports, run);
    return report.decided + bytes;
}

template <class Once>
void over_lines(const std::string& name, Once once) {
    benchmark::RegisterBenchmark(name.c_str(), [once](benchmark::State& state) {
        for (auto _ : state) {
            benchmark::DoNotOptimize(once());
        }
        state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(lines_made));
    })->Unit(benchmark::kMillisecond);
}

}  // namespace

bool measure_lines(const Subject& subject, Table& table) {
    // simdjson reads past the end.
    const auto text = std::make_shared<const std::string>(make_lines(subject.shelf) +
                                                          std::string(fields_padding(), ' '));
    const auto lines =
        std::make_shared<const std::string>(text->substr(0, text->size() - fields_padding()));
    // Every line of them is taken, by both.
    if (read_fields(*text, lines->size()).lines != lines_made ||
        decide(subject.lean, *lines, true) < lines_made ||
        decide(subject.lean, *lines, false) < lines_made) {
        std::cerr << "bench: the lines are not read alike\n";
        return false;
    }
    const toprail::BulkPlan plan = subject.lean;
    over_lines("lines/ours", [plan, lines] { return decide(plan, *lines, true); });
    over_lines("lines/through-port", [plan, lines] { return decide(plan, *lines, false); });
    over_lines("lines/fields", [text, lines] { return read_fields(*text, lines->size()).bytes; });
    over_lines("lines/native",
               [text, lines] { return read_fields_native(*text, lines->size()).bytes; });
    table.add({"JSON Lines to outcomes, against simdjson on-demand reading the same fields",
               subject.name, "lines/ours", "lines/fields", "0.8", "2.5"});
    table.add({"the same, the lines handed over through a port", subject.name, "lines/through-port",
               "lines/fields", "", ""});
    table.add({"the same, where simdjson alone is compiled for the processor at hand", subject.name,
               "lines/ours", "lines/native", "", ""});
    return true;
}

}  // namespace bench
