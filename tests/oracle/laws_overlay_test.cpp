// The law of the stricter overlay: one more authority that may only require, limit and bar never
// loosens an answer.

#include "oracle/laws.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <iostream>
#include <map>

namespace {

using oracle::is_exact;
using oracle::possible;
using oracle::TestCase;
using oracle::World;
using toprail::Decision;

struct Figures {
    std::size_t shelves = 0;
    std::size_t duties = 0;
    std::size_t stricter = 0;
    std::size_t choices = 0;
    std::size_t fewer = 0;
    std::size_t bounds = 0;
    std::size_t more_bounds = 0;
};

void check_duties(const oracle::Model& model, const TestCase& test_case, const Decision& before,
                  const Decision& after, Figures& figures) {
    for (const std::string& duty : model.duties) {
        if (!is_exact(before, duty) || !is_exact(after, duty)) {
            continue;
        }
        const auto loose = possible(before, duty);
        const auto strict = possible(after, duty);
        ++figures.duties;
        figures.stricter += loose != strict ? 1U : 0U;
        // Outcomes are ordered, strictest first.
        if (*strict.begin() > *loose.begin() || *strict.rbegin() > *loose.rbegin()) {
            broken("the overlay loosens " + duty, test_case, {});
        }
    }
}

void check_choices(const TestCase& test_case, const Decision& before, const Decision& after,
                   Figures& figures) {
    for (const auto& choice : before.choices) {
        const auto* strict = after.choice(choice.choice);
        if (strict == nullptr) {
            broken("the overlay hides " + choice.choice, test_case, {});
        }
        if (!choice.exact || !strict->exact) {
            continue;
        }
        ++figures.choices;
        figures.fewer += strict->admissible != choice.admissible ? 1U : 0U;
        const bool readmits = std::any_of(
            strict->admissible.begin(), strict->admissible.end(), [&](const std::string& value) {
                return std::count(choice.admissible.begin(), choice.admissible.end(), value) == 0;
            });
        const bool forgets =
            std::any_of(choice.barred.begin(), choice.barred.end(), [&](const auto& barred) {
                return strict->barred.count(barred.first) == 0;
            });
        if (readmits || forgets || strict->empty < choice.empty) {
            broken("the overlay loosens " + choice.choice, test_case, {});
        }
    }
}

void check_limits(const TestCase& test_case, const Decision& before, const Decision& after,
                  Figures& figures) {
    for (const auto& limit : before.limits) {
        const auto* strict = after.limit(limit.quantity);
        std::map<std::string, toprail::Status> kept;
        if (strict != nullptr) {
            for (const auto& bound : strict->bounds) {
                kept[bound.provision] = bound.status;
            }
        }
        for (const auto& bound : limit.bounds) {
            ++figures.bounds;
            if (kept.count(bound.provision) == 0 || kept.at(bound.provision) != bound.status) {
                broken("the overlay loosens " + limit.quantity, test_case, bound.provision);
            }
        }
        figures.more_bounds += kept.size() > limit.bounds.size() ? 1U : 0U;
    }
}

void check_fit(const TestCase& test_case, const Decision& before, const Decision& after) {
    for (const auto& fit : before.fit) {
        const bool loosened =
            fit.verdict == toprail::Verdict::not_met &&
            std::none_of(after.fit.begin(), after.fit.end(), [&](const auto& other) {
                return other.about == fit.about && other.name == fit.name &&
                       other.verdict == toprail::Verdict::not_met;
            });
        if (loosened) {
            broken("the overlay makes the plan fit " + fit.name, test_case, fit.reason);
        }
    }
}

using Overlaid = std::pair<World, std::vector<oracle::Tape>>;

void check_overlay(const Overlaid& overlaid, Figures& figures) {
    const auto& [world, overlay] = overlaid;
    const oracle::Ground plain = oracle::ground_of(oracle::texts_of(world));
    const oracle::Ground stricter = oracle::ground_of(texts_with_overlay(world, overlay));
    ++figures.shelves;
    for (const TestCase& test_case : oracle::cases_of(world, plain.oracle)) {
        TestCase with_overlay = test_case;
        if (!with_overlay.authorities.empty()) {
            with_overlay.authorities.emplace_back(oracle::overlay_authority);
        }
        const auto before = ask(plain.shelf, test_case);
        const auto after = ask(stricter.shelf, with_overlay);
        if (before.decision.has_value() != after.decision.has_value()) {
            broken("with the overlay alone there is an answer, or none", test_case, {});
        }
        if (before.decision) {
            check_duties(plain.oracle.model(), test_case, *before.decision, *after.decision,
                         figures);
            check_choices(test_case, *before.decision, *after.decision, figures);
            check_limits(test_case, *before.decision, *after.decision, figures);
            check_fit(test_case, *before.decision, *after.decision);
        }
    }
}

TEST_CASE("law: an overlay that only requires, limits and bars never loosens an answer") {
    Figures figures;
    CHECK(oracle::law_holds(rc::gen::pair(oracle::worlds(20), oracle::lists_of_tapes(4, 24)), 300,
                            [&](const Overlaid& overlaid) { check_overlay(overlaid, figures); }));
    std::cout << "law, the stricter overlay: " << figures.shelves << " shelves, " << figures.duties
              << " duties, " << figures.stricter << " with other outcomes; " << figures.choices
              << " choices, " << figures.fewer << " with fewer values; " << figures.bounds
              << " bounds kept, " << figures.more_bounds << " limits with more bounds\n";
    CHECK(figures.stricter > figures.shelves);
    CHECK(figures.fewer > 0);
    CHECK(figures.more_bounds > 0);
}

}  // namespace
