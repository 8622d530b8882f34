// Entry point: measure_one_case.
#include "measure.hpp"
#include "productions.hpp"
#include "toprail/case_decider.hpp"

#include <benchmark/benchmark.h>

#include <memory>

namespace bench {
namespace {

// Enough that branches cannot be learnt by heart, and still in the second-level cache.
constexpr std::size_t cases_drawn = 4'096;
// What a site repeats all day.
constexpr std::size_t cases_repeated = 16;
constexpr std::size_t cases_for_productions = 256;

// `each` decides the case of that row.
template <class Each>
void over_cases(const std::string& name, std::shared_ptr<const Cases> cases, Each each) {
    benchmark::RegisterBenchmark(name.c_str(), [cases, each](benchmark::State& state) mutable {
        for (auto _ : state) {
            for (std::size_t i = 0; i < cases->count; ++i) {
                each(cases->row(i));
            }
        }
        state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(cases->count));
    });
}

void measure_verdicts(const Subject& subject, const std::string& kind,
                      const std::shared_ptr<const Cases>& cases) {
    const std::string base = subject.name + "/one/" + kind + "/";
    const Rival* const rival = subject.rival;
    const std::size_t facts = cases->facts;
    const auto decider = std::make_shared<toprail::CaseDecider>(subject.lean);
    over_cases(base + "ours", cases, [decider, facts](const std::uint8_t* row) {
        benchmark::DoNotOptimize(decider->decide({row, facts}).data());
        benchmark::ClobberMemory();
    });
    const auto by_handle = std::make_shared<toprail::CaseDecider>(subject.lean);
    over_cases(base + "ours-set", cases, [by_handle, facts](const std::uint8_t* row) {
        for (std::size_t f = 0; f < facts; ++f) {
            by_handle->set_class(f, row[f]);
        }
        benchmark::DoNotOptimize(by_handle->decide().data());
        benchmark::ClobberMemory();
    });
    const std::size_t duties = subject.lean.duties().size();
    const auto outcomes = std::make_shared<std::vector<std::uint8_t>>(duties);
    over_cases(base + "branchy", cases, [rival, outcomes](const std::uint8_t* row) {
        rival->branchy(row, outcomes->data());
        benchmark::ClobberMemory();
    });
    over_cases(base + "plain", cases, [rival, outcomes](const std::uint8_t* row) {
        rival->plain(row, outcomes->data());
        benchmark::ClobberMemory();
    });
    const auto walk = std::make_shared<NodeWalk>(subject.rules);
    over_cases(base + "walk", cases, [walk, outcomes](const std::uint8_t* row) {
        walk->decide(row, outcomes->data());
        benchmark::ClobberMemory();
    });
}

void measure_trails(const Subject& subject, const std::shared_ptr<const Cases>& cases) {
    const std::string base = subject.name + "/one/";
    const Rival* const rival = subject.rival;
    const std::size_t facts = cases->facts;
    const auto decider = std::make_shared<toprail::CaseDecider>(subject.full);
    over_cases(base + "statuses/ours", cases, [decider, facts](const std::uint8_t* row) {
        benchmark::DoNotOptimize(decider->decide({row, facts}).data());
        benchmark::DoNotOptimize(decider->statuses().data());
        benchmark::ClobberMemory();
    });
    const auto statuses =
        std::make_shared<std::vector<std::uint8_t>>(subject.full.provisions().size() + 1);
    over_cases(base + "statuses/plain", cases, [rival, statuses](const std::uint8_t* row) {
        rival->plain_statuses(row, statuses->data(), statuses->data() + 1);
        benchmark::ClobberMemory();
    });
    const auto trail = std::make_shared<std::string>();
    over_cases(base + "json/ours", cases, [decider, facts, trail](const std::uint8_t* row) {
        decider->decide({row, facts});
        trail->clear();
        decider->append_json(*trail);
        benchmark::DoNotOptimize(trail->data());
        benchmark::ClobberMemory();
    });
    const auto parts = std::make_shared<std::vector<TrailParts>>();
    for (std::size_t i = 0; i < 64; ++i) {
        decider->decide({cases->row(i), facts});
        std::string out;
        decider->append_json(out);
        parts->push_back(parts_of(out));
    }
    const Subject* const of = &subject;
    benchmark::RegisterBenchmark(
        (base + "json/document").c_str(), [parts, of](benchmark::State& state) {
            for (auto _ : state) {
                for (const TrailParts& each : *parts) {
                    benchmark::DoNotOptimize(document(*of, each));
                }
            }
            state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(parts->size()));
        });
}

void measure_productions(const Subject& subject, const std::shared_ptr<const Cases>& cases) {
    const auto productions = std::make_shared<Productions>(subject.rules);
    benchmark::RegisterBenchmark(
        (subject.name + "/one/productions").c_str(), [cases, productions](benchmark::State& state) {
            for (auto _ : state) {
                // Forgetting the case before is not counted.
                state.PauseTiming();
                productions->reset();
                state.ResumeTiming();
                productions->run(cases->row(static_cast<std::size_t>(state.iterations()) %
                                            cases_for_productions));
            }
            state.SetItemsProcessed(state.iterations());
        });
}

}  // namespace

void measure_one_case(const Subject& subject, Table& table) {
    const auto cases = std::make_shared<const Cases>(draw_cases(subject.lean, cases_drawn));
    const auto again =
        std::make_shared<const Cases>(draw_cases(subject.lean, cases_drawn, cases_repeated));
    measure_verdicts(subject, "different", cases);
    measure_verdicts(subject, "repetitive", again);
    const bool invented = subject.name == "invented";
    const std::string& name = subject.name;
    for (const std::string kind : {"different", "repetitive"}) {
        const std::string base = name + "/one/" + kind + "/";
        const bool counts = invented && kind == "different";
        table.add({"one case, verdict, against short-circuit C++, " + kind + " cases", name,
                   base + "ours", base + "branchy", counts ? "2" : "", counts ? "5" : ""});
        table.add({"the same, facts set one by one by handle", name, base + "ours-set",
                   base + "branchy", "", ""});
        table.add(
            {"the same, against branch-free C++", name, base + "ours", base + "plain", "", ""});
        table.add(
            {"the same, against a walk over nodes", name, base + "ours", base + "walk", "", ""});
    }
    if (invented) {
        measure_trails(subject,
                       std::make_shared<const Cases>(draw_cases(subject.full, cases_drawn)));
        measure_productions(subject, cases);
        table.add({"one case with status trail, against branch-free C++ writing it", name,
                   name + "/one/statuses/ours", name + "/one/statuses/plain", "0.4", "1.2"});
        table.add({"one case with JSON trail, against an nlohmann document of the same bytes", name,
                   name + "/one/json/ours", name + "/one/json/document", "20", "50"});
        table.add({"one case, against production rules, their own work only", name,
                   name + "/one/different/ours", name + "/one/productions", "50", "300"});
    }
}

}  // namespace bench
