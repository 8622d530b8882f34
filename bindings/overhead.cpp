// How long one decision takes through C++ and through C, in one program: for overhead.py.
#include "toprail.h"

#include <toprail/shelf.hpp>

#include <algorithm>
#include <chrono>
#include <cstdio>
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

template <class Once>
double microseconds(Once&& once) {
    constexpr int rounds = 300;
    double best = 1e18;
    for (int part = 0; part < 5; ++part) {
        const auto begin = std::chrono::steady_clock::now();
        for (int i = 0; i < rounds; ++i) {
            once();
        }
        const std::chrono::duration<double, std::micro> took =
            std::chrono::steady_clock::now() - begin;
        best = std::min(best, took.count() / rounds);
    }
    return best;
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
    const double cpp = microseconds([&] {
        toprail::Facts facts;
        for (const auto& entry : entries) {
            facts.set(entry.first, entry.second);
        }
        const auto answer =
            loaded.shelf->decide(facts, *toprail::Date::parse(day), {{authority}, 200'000});
        fine = fine && answer.decision;
    });
    const double c = microseconds([&] {
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
    toprail_close(shelf);
    std::printf("%.3f %.3f\n", cpp, c);
    return fine ? 0 : 1;
}
