// Formulas over several facts, which classes do not tell enough for: what the quick pass leaves
// open is searched by the values of each kind of column, and of each way to set a fact.
#include "support/small_shelf.hpp"
#include "toprail/bulk.hpp"
#include "toprail/case_decider.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <stdexcept>

namespace {

using namespace toprail;
using test::day;

/// Tie-off above 30 ft of height and width together; a vest above 30 ft of depth and width, and
/// for more than 9 persons.
Shelf formulas() {
    return test::shelf_of(
        {test::small_vocabulary(),
         test::small_pack(
             "quantities:\n  deep: {kind: length, unit: ft, reads: the deep, equals: "
             "depth + width}\nprovisions:\n" +
             test::requires_tie_off("high", "reach is more than 30 ft") +
             test::frees_tie_off("low", "reach is at most 30 ft") +
             test::provision("deep", "duty: vest, calls-for: required", "deep is more than 30 ft") +
             test::provision("many", "duty: vest, calls-for: required",
                             "persons is more than 9"))});
}

BulkPlan plan_of(const Shelf& shelf, bool statuses = false) {
    BulkOptions how;
    how.statuses = statuses;
    const PlannedBulk planned = plan_bulk(shelf, day("2024-06-01"), how);
    REQUIRE(planned.plan);
    return *planned.plan;
}

std::uint8_t byte_of(Outcome outcome) {
    return static_cast<std::uint8_t>(outcome);
}

/// The outcome bytes of a case, as Shelf::decide gives them.
std::vector<std::uint8_t> expected(const Shelf& shelf, const BulkPlan& plan, const Facts& facts) {
    const Decision decision = test::decided(shelf, facts);
    std::vector<std::uint8_t> all;
    for (const std::string& name : plan.duties()) {
        all.push_back(byte_of(decision.duty(name)->outcome));
    }
    return all;
}

/// The outcomes of every case where one fact comes in that column and the width is known.
struct Run {
    std::vector<std::uint8_t> outcomes;
    BulkReport report;
};

Run run_with(const BulkPlan& plan, std::string_view fact, const BulkColumn& column,
             std::size_t cases) {
    const std::vector<std::int64_t> widths(cases, 20);
    std::vector<BulkColumn> columns(plan.facts().size());
    columns[*plan.fact("width")] = NumberColumn{widths, "ft"};
    columns[*plan.fact(fact)] = column;
    Run run;
    run.outcomes.resize(plan.duties().size() * cases);
    run.report = plan.decide(columns, cases, run.outcomes);
    return run;
}

/// The same cases in each kind of column come to what a decision says.
void hold_kinds(const Shelf& shelf, const BulkPlan& plan, const std::string& fact,
                const std::vector<std::string_view>& texts,
                const std::vector<std::int64_t>& numbers, const std::vector<double>& reals) {
    std::vector<std::int8_t> codes;
    for (std::size_t i = 0; i < texts.size(); ++i) {
        codes.push_back(static_cast<std::int8_t>(i));
    }
    std::vector<BulkColumn> kinds{TextColumn(texts), NumberColumn{numbers, "ft"},
                                  CodedColumn{codes, texts}};
    if (!reals.empty()) {
        kinds.emplace_back(RealColumn{reals, "ft"});
    }
    for (const BulkColumn& column : kinds) {
        const std::size_t kind = column.index();
        CAPTURE(kind);
        const Run run = run_with(plan, fact, column, texts.size());
        CHECK(run.report.without_values == 0);
        CHECK(run.report.no_answer == 0);
        CHECK(run.report.searched > 0);
        for (std::size_t i = 0; i < texts.size(); ++i) {
            Facts facts;
            facts.set("width", "20 ft").set(fact, texts[i]);
            const auto outcomes = expected(shelf, plan, facts);
            for (std::size_t d = 0; d < outcomes.size(); ++d) {
                CHECK(run.outcomes[d * texts.size() + i] == outcomes[d]);
            }
        }
    }
}

TEST_CASE("bulk values: every kind of column gives the search its values") {
    const Shelf shelf = formulas();
    const BulkPlan plan = plan_of(shelf);
    CHECK(plan.facts()[*plan.fact("height")].needs_values);
    constexpr std::int64_t not_known = NumberColumn::not_known;
    constexpr std::int64_t does_not_apply = NumberColumn::does_not_apply;
    hold_kinds(shelf, plan, "height", {"5 ft", "10 ft", "11 ft", "not known", "40 ft"},
               {5, 10, 11, not_known, 40}, {5, 10, 11, std::nan(""), 40});
    hold_kinds(shelf, plan, "depth", {"5 ft", "11 ft", "not known", "does not apply"},
               {5, 11, not_known, does_not_apply}, {});
}

TEST_CASE("bulk values: classes alone leave such a case open, and that is counted") {
    const Shelf shelf = formulas();
    const BulkPlan plan = plan_of(shelf);
    const std::vector<std::uint8_t> classes{0, bulk_not_known, bulk_does_not_apply};
    const Run run = run_with(plan, "depth", ClassColumn(classes), classes.size());
    CHECK(run.report.without_values == 1);
    const std::size_t vest = plan.duties().size() - 1;
    REQUIRE(plan.duties()[vest] == "vest");
    const auto undetermined = byte_of(Outcome::undetermined);
    for (std::size_t i = 0; i < classes.size(); ++i) {
        // Where the depth does not apply no more than the persons are missing.
        CHECK(run.outcomes[vest * classes.size() + i] == undetermined);
    }
}

TEST_CASE("bulk values: a case that comes again is told as it was told before") {
    const Shelf shelf = formulas();
    const BulkPlan plan = plan_of(shelf);
    const std::vector<std::string_view> texts(1'000, "not known");
    std::vector<BulkColumn> columns(plan.facts().size());
    columns[*plan.fact("persons")] = TextColumn(texts);
    std::vector<std::uint8_t> outcomes(plan.duties().size() * texts.size());
    const BulkReport report = plan.decide(columns, texts.size(), outcomes);
    CHECK(report.searched == texts.size());
    for (const std::uint8_t byte : outcomes) {
        CHECK(byte == byte_of(Outcome::undetermined));
    }
}

TEST_CASE("bulk values: more texts than are kept are read all the same") {
    const BulkPlan plan = plan_of(formulas());
    std::vector<std::string> words;
    for (int i = 0; i < 50'100; ++i) {
        words.push_back(std::to_string(i % 12) + "." + std::to_string(100'000 + i));
    }
    // No count has a fraction; every hundredth has none.
    for (std::size_t i = 0; i < words.size(); i += 100) {
        words[i] = "10";
    }
    const std::vector<std::string_view> texts(words.begin(), words.end());
    std::vector<BulkColumn> columns(plan.facts().size());
    columns[*plan.fact("persons")] = TextColumn(texts);
    std::vector<std::uint8_t> outcomes(plan.duties().size() * texts.size());
    BulkRun run;
    run.search = false;
    CHECK(plan.decide(columns, texts.size(), outcomes, run).no_answer == 50'100 - 501);
    CHECK(outcomes[texts.size() + 50'000] == byte_of(Outcome::required));
}

TEST_CASE("bulk values: counts take whole numbers, of any kind") {
    const BulkPlan plan = plan_of(formulas());
    const std::size_t vest = plan.duties().size() - 1;
    const std::vector<double> reals{9, 10, 9.5, -1, 21, std::nan("")};
    const Run run = run_with(plan, "persons", RealColumn{reals, ""}, reals.size());
    const std::uint8_t* const seen = run.outcomes.data() + vest * reals.size();
    CHECK(seen[0] == byte_of(Outcome::undetermined));  // the depth may still ask for it
    CHECK(seen[1] == byte_of(Outcome::required));
    for (const std::size_t odd : {2U, 3U, 4U}) {
        CHECK(seen[odd] == bulk_no_answer);
    }
    CHECK(seen[5] == byte_of(Outcome::undetermined));
    CHECK(run.report.no_answer == 3);
}

// As text they would have 31 digits, which no fact may have.
TEST_CASE("bulk values: numbers too long to be written down have no answer") {
    const BulkPlan plan = plan_of(formulas());
    const std::vector<double> reals{9e29, 1e30, 1e308, 12};
    const Run run = run_with(plan, "depth", RealColumn{reals, "ft"}, reals.size());
    CHECK(run.outcomes[0] != bulk_no_answer);
    CHECK(run.outcomes[1] == bulk_no_answer);
    CHECK(run.outcomes[2] == bulk_no_answer);
    CHECK(run.outcomes[3] != bulk_no_answer);
    CHECK(run.report.no_answer == 2);
}

void refused(const BulkPlan& plan, std::string_view fact, const BulkColumn& column,
             const std::string& message) {
    try {
        run_with(plan, fact, column, 1);
        FAIL("taken: " << message);
    } catch (const std::invalid_argument& trouble) {
        CHECK(std::string(trouble.what()) == message);
    }
}

TEST_CASE("bulk values: numbers in no unit of their fact are refused, with what it takes") {
    const BulkPlan plan = plan_of(formulas());
    const std::vector<std::int64_t> one{1};
    const std::vector<double> real{1};
    refused(plan, "gate-open", NumberColumn{one, ""},
            "gate-open takes no numbers; give texts or their codes");
    refused(plan, "mechanism", RealColumn{real, ""},
            "mechanism takes no numbers; give texts or their codes");
    refused(plan, "height", NumberColumn{one, ""},
            "the numbers of height have no unit; give a unit such as ft");
    refused(plan, "height", RealColumn{real, "furlong"},
            "height is not given in \"furlong\"; it takes a unit such as ft");
    refused(plan, "persons", NumberColumn{one, "ft"},
            "persons is not given in \"ft\"; it takes no unit");
}

TEST_CASE("bulk values: sizes that do not fit are refused, whichever it is") {
    const Shelf shelf = formulas();
    const BulkPlan plan = plan_of(shelf);
    const BulkPlan telling = plan_of(shelf, true);
    const std::vector<BulkColumn> columns(plan.facts().size());
    std::vector<std::uint8_t> outcomes(plan.duties().size() * 2);
    std::vector<std::uint8_t> planes(telling.status_bytes(2));
    BulkRun run;
    CHECK_THROWS_AS(plan.decide(columns, 1, outcomes), std::invalid_argument);
    run.statuses = planes;
    CHECK_THROWS_WITH(plan.decide(columns, 2, outcomes, run), "the plan was made without statuses");
    run.statuses = std::span(planes).first(1);
    CHECK_THROWS_WITH(telling.decide(columns, 2, outcomes, run),
                      "statuses take status_bytes(cases)");
    run.statuses = planes;
    CHECK_NOTHROW(telling.decide(columns, 2, outcomes, run));
    const std::vector<std::string_view> texts(3, "boom");
    const std::vector<std::int8_t> codes(3, 0);
    const std::vector<double> reals(3, 1.0);
    const std::vector<std::uint8_t> classes(3, 0);
    for (const BulkColumn& column :
         {BulkColumn(TextColumn(texts)), BulkColumn(CodedColumn{codes, texts}),
          BulkColumn(ClassColumn(classes))}) {
        std::vector<BulkColumn> others = columns;
        others[*plan.fact("mechanism")] = column;
        CHECK_THROWS_WITH(plan.decide(others, 2, outcomes),
                          "a column holds another number of cases");
    }
    std::vector<BulkColumn> others = columns;
    others[*plan.fact("height")] = RealColumn{reals, "ft"};
    CHECK_THROWS_WITH(plan.decide(others, 2, outcomes), "a column holds another number of cases");
    const std::vector<std::uint8_t> rows(plan.facts().size() * 2, bulk_not_known);
    CHECK_THROWS_AS(plan.decide_rows(rows, 2, std::span(outcomes).first(1)), std::invalid_argument);
    run.statuses = std::span(planes).first(1);
    CHECK_THROWS_AS(telling.decide_rows(rows, 2, outcomes, run), std::invalid_argument);
    CHECK_FALSE(plan.fact("colour"));
    CHECK(plan.provisions().empty());
}

TEST_CASE("bulk: rows tell how far they are, and no case at all is no trouble") {
    const BulkPlan plan = plan_of(formulas());
    constexpr std::size_t cases = 140'000;  // more than are turned at once
    const std::vector<std::uint8_t> rows(plan.facts().size() * cases, bulk_does_not_apply);
    std::vector<std::uint8_t> outcomes(plan.duties().size() * cases);
    BulkRun run;
    run.search = false;
    std::size_t told = 0;
    run.progress = [&told](std::size_t done) {
        CHECK(done > told);
        told = done;
    };
    CHECK(plan.decide_rows(rows, cases, outcomes, run).cases == cases);
    CHECK(told == cases);
    CHECK(plan.decide_rows({}, 0, {}, run).cases == 0);
}

TEST_CASE("bulk: what the teller of progress throws comes out, and no thread is left") {
    const BulkPlan plan = plan_of(formulas());
    constexpr std::size_t cases = 100'000;
    std::vector<std::uint8_t> outcomes(plan.duties().size() * cases);
    BulkRun run;
    run.search = false;
    run.progress = [](std::size_t) { throw std::runtime_error("enough"); };
    for (const unsigned threads : {0U, 1U, 4U}) {
        run.threads = threads;
        CHECK_THROWS_WITH(
            plan.decide(std::vector<BulkColumn>(plan.facts().size()), cases, outcomes, run),
            "enough");
    }
}

TEST_CASE("one case: values that were set settle what a formula leaves open, classes do not") {
    const Shelf shelf = formulas();
    const BulkPlan plan = plan_of(shelf);
    CaseDecider decider(plan);
    const std::size_t height = *plan.fact("height");
    const std::size_t depth = *plan.fact("depth");
    decider.count_in(height, "in");
    decider.count_in(depth, "ft");
    const auto tie_off_after = [&decider] {
        CHECK(decider.decide()[0] == byte_of(Outcome::undetermined));
        return decider.settle()[0];
    };
    REQUIRE(decider.set("width", "20 ft"));
    REQUIRE(decider.set("height", "10 ft"));
    CHECK(tie_off_after() == byte_of(Outcome::not_required));
    REQUIRE(decider.set_number(height, 121));
    CHECK(tie_off_after() == byte_of(Outcome::required));
    decider.set_class(height, *plan.class_of(height, "14 ft"));
    CHECK(tie_off_after() == byte_of(Outcome::undetermined));
    REQUIRE(decider.set_number(height, NumberColumn::not_known));
    CHECK(tie_off_after() == byte_of(Outcome::undetermined));
    // A depth may not apply, a height must.
    CHECK_FALSE(decider.set_number(height, NumberColumn::does_not_apply));
    CHECK(decider.settle()[0] == bulk_no_answer);
    decider.set("height", "10 ft");
    CHECK(decider.set_number(depth, NumberColumn::does_not_apply));
    decider.set("persons", "2");
    CHECK(decider.settle()[1] == byte_of(Outcome::not_addressed));
    CHECK(decider.set_number(depth, 11));
    CHECK(decider.settle()[1] == byte_of(Outcome::required));
    CaseDecider moved(plan);
    moved = std::move(decider);
    CHECK(moved.settle()[1] == byte_of(Outcome::required));
    CaseDecider made(std::move(moved));
    CHECK(made.settle()[0] == byte_of(Outcome::not_required));
}

TEST_CASE("one case: very many texts of a fact are forgotten and read anew") {
    const Shelf shelf = formulas();
    const BulkPlan plan = plan_of(shelf);
    CaseDecider decider(plan);
    const std::size_t height = *plan.fact("height");
    REQUIRE(decider.set("width", "20 ft"));
    for (int i = 0; i <= 50'000; ++i) {
        REQUIRE(decider.set(height, "10." + std::to_string(100'000 + i) + " ft"));
    }
    CHECK(decider.settle()[0] == byte_of(Outcome::required));
    REQUIRE(decider.set(height, "10 ft"));
    CHECK(decider.settle()[0] == byte_of(Outcome::not_required));
}

}  // namespace
