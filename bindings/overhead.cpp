// How long one decision takes through C++ and through C, and one of very many in columns, in one
// program: for overhead.py. Time of the processor, whatever else the machine does.
#include "toprail.h"

#include <toprail/bulk.hpp>
#include <toprail/shelf.hpp>

#include <algorithm>
#include <cstdint>
#include <cstdio>
#include <ctime>
#include <string>
#include <utility>
#include <vector>

namespace {

const char* const day = "2024-06-01";
const std::vector<std::pair<std::string, std::string>> entries = {
    {"lift-mechanism", "scissor"}, {"platform-height", "14 ft"}, {"guardrail", "removed"},
    {"gate-open", "no"},           {"elevated", "yes"},          {"industry", "construction"},
};

toprail_text text(const std::string& from) {
    return {from.data(), from.size()};
}

constexpr int rounds = 300;
constexpr std::size_t cases = 1'000'000;

template <class Once>
double microseconds(double count, Once&& once) {
    double best = 1e18;
    for (int part = 0; part < 5; ++part) {
        const std::clock_t begin = std::clock();
        once();
        const auto took = static_cast<double>(std::clock() - begin) * 1e6 / CLOCKS_PER_SEC;
        best = std::min(best, took / count);
    }
    return best;
}

template <class Once>
double one_by_one(Once&& once) {
    return microseconds(rounds, [&] {
        for (int i = 0; i < rounds; ++i) {
            once();
        }
    });
}

// The columns of overhead.js and overhead.py.
struct Columns {
    std::vector<double> heights = std::vector<double>(cases);
    std::vector<std::int8_t> codes = std::vector<std::int8_t>(cases);
    std::vector<std::uint8_t> outcomes = std::vector<std::uint8_t>(cases);

    Columns() {
        for (std::size_t i = 0; i < cases; ++i) {
            heights[i] = static_cast<double>(i % 40) / 2;
            codes[i] = static_cast<std::int8_t>(i % 2);
        }
    }
};

double columns_through_cpp(const toprail::Shelf& shelf, const std::string& authority,
                           Columns& columns, bool& fine) {
    const auto planned =
        toprail::plan_bulk(shelf, *toprail::Date::parse(day), {{authority}, {"tie-off"}});
    if (!planned.plan) {
        fine = false;
        return 0;
    }
    const toprail::BulkPlan& plan = *planned.plan;
    std::vector<toprail::BulkColumn> all(plan.facts().size());
    all[*plan.fact("platform-height")] = toprail::RealColumn{columns.heights, "ft"};
    all[*plan.fact("guardrail")] = toprail::CodedColumn{columns.codes, {"removed", "complete"}};
    all[*plan.fact("elevated")] = toprail::CodedColumn{columns.codes, {"no", "yes"}};
    toprail::BulkRun run;
    run.search = false;
    return microseconds(cases, [&] { plan.decide(all, cases, columns.outcomes, run); });
}

double columns_through_c(const toprail_shelf* shelf, const std::string& authority, Columns& columns,
                         bool& fine) {
    const std::string duty = "tie-off", height = "platform-height", unit = "ft";
    const std::string rail = "guardrail", elevated = "elevated";
    const std::vector<std::string> words = {"removed", "complete", "no", "yes"};
    const std::vector<toprail_text> texts = {text(words[0]), text(words[1]), text(words[2]),
                                             text(words[3])};
    const toprail_text named = text(authority), wanted = text(duty);
    const toprail_plan_options how = {sizeof how, {&named, 1}, {&wanted, 1}};
    toprail_plan* plan = nullptr;
    fine = fine && toprail_plan_new(shelf, {day, 10}, &how, &plan, nullptr) == TOPRAIL_OK;
    const toprail_column all[] = {
        {text(height), columns.heights.data(), text(unit), {}, TOPRAIL_REALS},
        {text(rail), columns.codes.data(), {}, {texts.data(), 2}, TOPRAIL_CODES},
        {text(elevated), columns.codes.data(), {}, {texts.data() + 2, 2}, TOPRAIL_CODES},
    };
    const toprail_bulk_options quick = {sizeof quick, 0, 1, 1};
    const double took = microseconds(cases, [&] {
        fine = fine && toprail_plan_decide(plan, all, 3, cases, &quick, columns.outcomes.data(),
                                           cases, nullptr) == TOPRAIL_OK;
    });
    toprail_close(plan);
    return took;
}

}  // namespace

int main(int argc, char** argv) {
    if (argc != 2) {
        return 2;
    }
    const toprail::LoadedShelf loaded = toprail::load_shelf(argv[1]);
    const std::string folder = argv[1];
    const toprail_text folder_text = text(folder);
    toprail_shelf* shelf = nullptr;
    if (!loaded.shelf ||
        toprail_shelf_from_folders(&folder_text, 1, nullptr, &shelf, nullptr) != TOPRAIL_OK) {
        return 1;
    }
    const std::string authority = "us.federal.construction";
    bool fine = true;
    const double cpp = one_by_one([&] {
        toprail::Facts facts;
        for (const auto& entry : entries) {
            facts.set(entry.first, entry.second);
        }
        const auto answer =
            loaded.shelf->decide(facts, *toprail::Date::parse(day), {{authority}, 200'000});
        fine = fine && answer.decision;
    });
    const double c = one_by_one([&] {
        std::vector<toprail_fact> list;
        for (const auto& entry : entries) {
            list.push_back({text(entry.first), text(entry.second), {nullptr, 0}});
        }
        const toprail_text named = text(authority);
        const toprail_decide_options how = {sizeof how, {&named, 1}, 0};
        toprail_facts* facts = nullptr;
        toprail_decision* decision = nullptr;
        fine = fine && toprail_facts_new(list.data(), list.size(), &facts) == TOPRAIL_OK;
        fine =
            fine && toprail_decide(shelf, facts, {day, 10}, &how, &decision, nullptr) == TOPRAIL_OK;
        toprail_close(decision);
        toprail_close(facts);
    });
    Columns columns;
    const double cpp_many = columns_through_cpp(*loaded.shelf, authority, columns, fine);
    const double c_many = columns_through_c(shelf, authority, columns, fine);
    toprail_close(shelf);
    std::printf("%.3f %.3f %.6f %.6f\n", cpp, c, cpp_many, c_many);
    return fine ? 0 : 1;
}
