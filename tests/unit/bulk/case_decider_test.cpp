// One case at a time by a plan, held against Shelf::decide and against bulk.
#include "bulk/plan_data.hpp"
#include "support/quick_cases.hpp"
#include "support/small_shelf.hpp"
#include "toprail/case_decider.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <random>
#include <stdexcept>

namespace {

using namespace toprail;

const Date day = *Date::parse("2024-06-01");

BulkPlan plan_with_statuses(const std::vector<std::string>& authorities = {}) {
    BulkOptions how;
    how.authorities = authorities;
    how.statuses = true;
    return *plan_bulk(test::shipped_shelf(), day, how).plan;
}

/// A value that the fact takes.
std::string some_value(std::mt19937& random, const FactInfo& fact) {
    if (fact.type == "yes-no") {
        return random() % 2 == 0 ? "yes" : "no";
    }
    if (fact.type == "choice") {
        return fact.values[random() % fact.values.size()];
    }
    if (fact.type == "date") {
        return "20" + std::to_string(10 + random() % 15) + "-03-04";
    }
    return std::to_string(1 + random() % 12) + (fact.unit.empty() ? "" : " " + fact.unit);
}

TEST_CASE("one case: outcomes are those of a decision, statuses no narrower and never other") {
    for (const std::vector<std::string>& authorities :
         {std::vector<std::string>{}, {"us.federal.construction"}}) {
        const BulkPlan plan = plan_with_statuses(authorities);
        CaseDecider decider(plan);
        std::mt19937 random(9);
        DecideOptions how;
        how.authorities = authorities;
        const auto facts = test::shipped_shelf().facts();
        std::size_t answered = 0;
        for (std::size_t i = 0; i < 40; ++i) {
            Facts given;
            decider.clear();
            for (const FactInfo& fact : facts) {
                // Mostly known: the exact search is for a few facts at a time.
                if (random() % 20 != 0) {
                    const std::string value = some_value(random, fact);
                    given.set(fact.name, value);
                    if (!decider.set(fact.name, value)) {
                        given.remove(fact.name);
                        decider.set(fact.name, "not known");
                    }
                }
            }
            const Answer answer = test::shipped_shelf().decide(given, day, how);
            test::hold_to(answer, plan, decider);
            if (!answer.decision) {
                continue;
            }
            ++answered;
            const std::span<const Status> statuses = decider.statuses();
            for (const Step& step : answer.decision->trail) {
                const auto at =
                    std::find(plan.provisions().begin(), plan.provisions().end(), step.provision);
                REQUIRE(at != plan.provisions().end());
                const Status status =
                    statuses[static_cast<std::size_t>(at - plan.provisions().begin())];
                CHECK_MESSAGE((status == step.status || status == Status::open), step.provision);
            }
        }
        CHECK(answered > 10);
    }
}

/// Rows, handles and bulk come to the same, statuses too.
void hold_rows(const BulkPlan& plan) {
    CaseDecider by_row(plan);
    CaseDecider by_handle(plan);
    std::mt19937 random(4);
    constexpr std::size_t cases = 1'300;
    std::vector<std::uint8_t> rows;
    for (std::size_t i = 0; i < cases; ++i) {
        for (const BulkFact& fact : plan.facts()) {
            rows.push_back(random() % 10 == 0 ? bulk_not_known
                                              : static_cast<std::uint8_t>(random() % fact.classes));
        }
    }
    std::vector<std::uint8_t> outcomes(plan.duties().size() * cases);
    std::vector<std::uint8_t> planes(plan.status_bytes(cases));
    BulkRun run;
    run.search = false;
    run.statuses = planes;
    plan.decide_rows(rows, cases, outcomes, run);
    for (std::size_t i = 0; i < cases; ++i) {
        const std::span<const std::uint8_t> row =
            std::span(rows).subspan(i * plan.facts().size(), plan.facts().size());
        const auto seen = by_row.decide(row);
        for (std::size_t f = 0; f < row.size(); ++f) {
            by_handle.set_class(f, row[f]);
        }
        const auto again = by_handle.decide();
        for (std::size_t d = 0; d < seen.size(); ++d) {
            REQUIRE(seen[d] == outcomes[d * cases + i]);
            REQUIRE(again[d] == seen[d]);
        }
        const auto statuses = by_row.statuses();
        for (std::size_t p = 0; p < statuses.size(); ++p) {
            REQUIRE(statuses[p] == plan.status(planes, p, i));
        }
    }
}

TEST_CASE("one case: rows, handles and bulk come to the same, statuses too") {
    const BulkPlan plan = plan_with_statuses();
    hold_rows(plan);
    const std::vector<std::uint8_t> row(plan.facts().size() + 1, bulk_not_known);
    std::vector<std::uint8_t> outcomes(plan.duties().size());
    CHECK_THROWS_AS(CaseDecider(plan).decide({row.data(), 3}), std::invalid_argument);
    CHECK_THROWS_AS(plan.decide_rows({row.data(), 3}, 1, outcomes), std::invalid_argument);
}

// Which way a plan takes shows nowhere else.
TEST_CASE("one case: all ways to decide one come to the same") {
    std::string many_pairs = "{all-of: [";
    for (int i = 1; i <= 70; ++i) {
        many_pairs += std::string(i == 1 ? "" : ", ") + "{any-of: [height is at least " +
                      std::to_string(i) + " ft, weight is at least " + std::to_string(i) + " lb]}";
    }
    many_pairs += "]}";
    for (const bool by_strips : {true, false}) {
        const Shelf shelf = test::small_shelf(
            test::requires_tie_off("p0", "height is at least 6 ft") +
            test::requires_tie_off("p1", by_strips ? "{any-of: [roofed, gate-open]}" : many_pairs) +
            test::frees_tie_off("p2",
                                "{all-of: [gate-open, {any-of: [roofed, height is at least "
                                "9 ft]}]}",
                                "displaces: [p0, p1]") +
            test::frees_tie_off("p3", "{all-of: [guardrail is complete, not gate-open]}"));
        BulkOptions how;
        how.statuses = true;
        const BulkPlan plan = *plan_bulk(shelf, day, how).plan;
        CHECK(plan.data().strips.outcomes.empty() != by_strips);
        CHECK(plan.data().strips.stands.empty() != by_strips);
        hold_rows(plan);
        // A byte that is no class of its fact leads nowhere outside.
        CaseDecider decider(plan);
        for (unsigned byte = 0; byte < 256; ++byte) {
            const std::vector<std::uint8_t> row(plan.facts().size(),
                                                static_cast<std::uint8_t>(byte));
            CHECK(decider.decide(row).size() == plan.duties().size());
            CHECK(decider.statuses().size() == plan.provisions().size());
        }
    }
}

TEST_CASE("one case: numbers and texts of the same values come to the same") {
    const BulkPlan plan = plan_with_statuses();
    CaseDecider decider(plan);
    const std::size_t height = *plan.fact("platform-height");
    CHECK_THROWS_AS(decider.set_number(height, 4), std::invalid_argument);
    CHECK_THROWS_AS(decider.count_in(height, "lbf"), std::invalid_argument);
    decider.count_in(height, "in");
    for (std::int64_t inches = 0; inches < 400; inches += 3) {
        REQUIRE(decider.set(height, std::to_string(inches) + " in"));
        const std::vector<std::uint8_t> by_text(decider.decide().begin(), decider.decide().end());
        REQUIRE(decider.set_number(height, inches));
        const auto by_number = decider.decide();
        REQUIRE(std::equal(by_number.begin(), by_number.end(), by_text.begin()));
    }
    CHECK_FALSE(decider.set_number(height, -1));
    CHECK(decider.decide().front() == bulk_no_answer);
    CHECK(decider.set_number(height, NumberColumn::not_known));
    CHECK(decider.decide().front() != bulk_no_answer);
    CHECK_FALSE(decider.set("platform-height", "high"));
    CHECK(decider.settle().front() == bulk_no_answer);
    CHECK_FALSE(decider.set("no-such-fact", "14 ft"));
    decider.clear();
    CHECK(decider.decide().front() != bulk_no_answer);
}

TEST_CASE("case decider: a plan without statuses has no trail to tell") {
    CaseDecider decider(*plan_bulk(test::shipped_shelf(), day).plan);
    decider.decide();
    std::string out;
    CHECK_THROWS_AS(decider.append_json(out), std::invalid_argument);
    CHECK(out.empty());
}

TEST_CASE("one case: the JSON trail tells what a decision tells") {
    const BulkPlan plan = plan_with_statuses();
    CaseDecider decider(plan);
    const std::vector<std::pair<std::string, std::string>> given{
        {"state", "texas"},           {"industry", "construction"}, {"lift-mechanism", "scissor"},
        {"platform-height", "14 ft"}, {"guardrail", "complete"},    {"gate-open", "no"}};
    Facts facts;
    for (const auto& [name, value] : given) {
        // Clang 14 lets no lambda, and no macro with one in it, take the names of a binding.
        const std::string& fact = name;
        REQUIRE_MESSAGE(decider.set(fact, value), fact);
        facts.set(fact, value);
    }
    decider.settle();
    std::string out = "kept ";
    decider.append_json(out);
    REQUIRE(out.starts_with("kept {"));
    const nlohmann::json told = nlohmann::json::parse(out.substr(5));
    const Answer answer = test::shipped_shelf().decide(facts, day);
    REQUIRE(answer.decision);
    CHECK(told["on"] == "2024-06-01");
    CHECK(told["duties"].size() == plan.duties().size());
    for (const DutyDecision& duty : answer.decision->duties) {
        CHECK(told["duties"][duty.duty]["outcome"] == word(duty.outcome));
        CHECK(told["duties"][duty.duty].contains("act-as-if") ==
              (duty.outcome == Outcome::undetermined));
    }
    // Whatever the decision tells stands in it, and nothing that may not govern.
    for (const Step& step : answer.decision->trail) {
        const bool found = std::any_of(
            told["trail"].begin(), told["trail"].end(), [&](const nlohmann::json& each) {
                return each["provision"] == step.provision && each["cite"] == step.cite &&
                       each["source"] == step.source &&
                       (each["status"] == word(step.status) || each["status"] == "open");
            });
        CHECK_MESSAGE(found, step.provision);
    }
    REQUIRE_FALSE(told["cautions"].empty());
    const std::string last = told["cautions"].back();
    CHECK(last == answer.decision->cautions.back());
    const bool unverified =
        std::any_of(answer.decision->cautions.begin(), answer.decision->cautions.end(),
                    [](const std::string& each) { return each.starts_with("unverified"); });
    const bool told_so =
        std::any_of(told["cautions"].begin(), told["cautions"].end(), [](const auto& each) {
            return each.template get<std::string>().starts_with("unverified");
        });
    CHECK((told_so || !unverified));
}

}  // namespace
