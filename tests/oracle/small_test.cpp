// The library held against the reference evaluator on every small shelf and every case over it.
//
// Bounds of the usual run, for each of the three facts alone and each two of them:
//   one provision and two, with all effects and conditions of small_shelves.hpp;
//   three over one fact, all calling for, or relaxing, the one duty, each under one sentence.
// TOPRAIL_LONG_RUN, at any value, adds three provisions over two facts likewise, three over one
// fact with all effects and conditions, and asks under the first authority alone as well.
//
// Every case gives each fact of a condition in each of its four states: given, one value of each
// class that the shelf can tell apart; not known; does not apply; unreadable, which is an error.
// What is tied, reached and picked goes along in step with them.

#include "oracle/compare.hpp"
#include "oracle/laws.hpp"
#include "oracle/small_shelves.hpp"

#include <doctest/doctest.h>

#include <iostream>

namespace {

using oracle::SmallBounds;
using oracle::SmallShelf;

struct Figures {
    std::size_t shelves = 0;
    std::size_t pairs = 0;
    std::size_t unreadable = 0;
    std::size_t undetermined = 0;
    std::size_t disagreements = 0;
};

void report(const SmallShelf& shelf, const oracle::TestCase& test_case,
            const std::string& difference, Figures& figures) {
    // The first few say enough.
    if (++figures.disagreements > 3) {
        return;
    }
    for (const auto& text : shelf.texts) {
        std::cerr << "--- " << text.name << "\n" << text.text;
    }
    std::cerr << show(test_case) << difference << "\n";
}

void compare_case(const SmallShelf& shelf, const oracle::Ground& ground,
                  const oracle::TestCase& test_case, bool readable, Figures& figures) {
    const auto seen = ask(ground.shelf, test_case);
    ++figures.pairs;
    if (!readable) {
        ++figures.unreadable;
        if (seen.decision || seen.findings.empty()) {
            report(shelf, test_case, "a decision in spite of an unreadable fact\n", figures);
        }
        return;
    }
    const auto expected = ground.oracle.decide(test_case.facts, test_case.on, test_case.named());
    figures.undetermined += expected.duties.at("tie-off").possible.size() > 1 ? 1U : 0U;
    const std::string difference = oracle::disagreement(ground.oracle.model(), expected, seen);
    if (!difference.empty()) {
        report(shelf, test_case, difference, figures);
    }
}

/// What the plan says, in turn.
void add_plan(oracle::TestCase& test_case, std::size_t number) {
    static const std::vector<std::vector<std::string>> plans{{"yes", "5 ft", "arrest"},
                                                             {"no", "6 ft 1 in", "restraint"},
                                                             {"not known", "6 ft", "not known"},
                                                             {"no", "not known", "arrest"}};
    const auto& plan = plans[number % plans.size()];
    test_case.facts.set("tied", plan[0]).set("reach", plan[1]).set("means", plan[2]);
}

void compare_shelf(const SmallShelf& shelf, Figures& figures) {
    const oracle::Ground ground = oracle::ground_of(shelf.texts);
    std::size_t cases = 1;
    for (const auto& fact : shelf.facts) {
        cases *= fact.states.size();
    }
    for (std::size_t number = 0; number < cases; ++number) {
        oracle::TestCase test_case;
        test_case.on = *toprail::Date::parse("2012-05-05");
        std::size_t rest = number;
        bool readable = true;
        for (const auto& fact : shelf.facts) {
            const std::size_t state = rest % fact.states.size();
            rest /= fact.states.size();
            readable = readable && state + 1 < fact.states.size();
            test_case.facts.set(fact.name, fact.states[state]);
        }
        add_plan(test_case, figures.shelves + number);
        compare_case(shelf, ground, test_case, readable, figures);
        if (oracle::long_run()) {
            test_case.authorities = {"a.one"};
            compare_case(shelf, ground, test_case, readable, figures);
        }
    }
    ++figures.shelves;
}

TEST_CASE("every small shelf and every case over it: the library and the oracle agree") {
    std::vector<SmallBounds> all{{1, 1, true, true},
                                 {1, 2, true, true},
                                 {2, 1, true, true},
                                 {2, 2, true, true},
                                 {3, 1, false, false}};
    if (oracle::long_run()) {
        all.push_back({3, 1, true, true});
        all.push_back({3, 2, false, false});
    }
    Figures figures;
    for (const SmallBounds& bounds : all) {
        const std::size_t before = figures.shelves;
        oracle::for_small_shelves(bounds,
                                  [&](const SmallShelf& shelf) { compare_shelf(shelf, figures); });
        std::cout << "small shelves: " << figures.shelves - before << " with " << bounds.provisions
                  << " provisions over " << bounds.facts << " facts\n";
    }
    std::cout << "small shelves: " << figures.shelves << " shelves, " << figures.pairs
              << " pairs of shelf and case, " << figures.undetermined << " undetermined, "
              << figures.unreadable << " with an unreadable fact\n";
    CHECK(figures.disagreements == 0);
    CHECK(figures.undetermined > figures.shelves);
}

}  // namespace
