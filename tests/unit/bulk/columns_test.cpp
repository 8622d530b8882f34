// Columns of every kind, whole blocks and threads, on the shipped rulepacks.
#include "bulk/plan_data.hpp"
#include "bulk/reals.hpp"
#include "shelf/shelf_data.hpp"
#include "support/shelves.hpp"
#include "toprail/bulk.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <limits>
#include <random>
#include <stdexcept>

namespace {

using namespace toprail;

const Date day = *Date::parse("2024-06-01");

/// Class bytes of made-up cases, a tenth of them not known.
std::vector<std::vector<std::uint8_t>> some_classes(const BulkPlan& plan, std::size_t cases) {
    std::mt19937 random(7);
    std::vector<std::vector<std::uint8_t>> columns;
    for (const BulkFact& fact : plan.facts()) {
        columns.emplace_back(cases);
        for (std::uint8_t& byte : columns.back()) {
            byte = random() % 10 == 0 ? bulk_not_known
                                      : static_cast<std::uint8_t>(random() % fact.classes);
        }
    }
    return columns;
}

std::vector<BulkColumn> spans_of(const std::vector<std::vector<std::uint8_t>>& columns) {
    return {columns.begin(), columns.end()};
}

TEST_CASE("bulk: vectors, threads and the place in a block change no outcome") {
    const PlannedBulk planned = plan_bulk(test::shipped_shelf(), day);
    REQUIRE(planned.plan);
    const BulkPlan& plan = *planned.plan;
    constexpr std::size_t cases = 40'001;
    const auto columns = some_classes(plan, cases);
    std::vector<std::uint8_t> expected(plan.duties().size() * cases);
    BulkRun run;
    run.search = false;
    run.vectors = "portable";
    CHECK(plan.decide(spans_of(columns), cases, expected, run).vectors == "portable");
    for (const std::string_view vectors : BulkPlan::vectors()) {
        for (const unsigned threads : {1U, 3U}) {
            run.vectors = vectors;
            run.threads = threads;
            std::size_t told = 0;
            run.progress = [&told](std::size_t done) { told = std::max(told, done); };
            std::vector<std::uint8_t> seen(expected.size());
            plan.decide(spans_of(columns), cases, seen, run);
            CHECK(seen == expected);
            CHECK(told == cases);
        }
    }
    // Each case alone stands at the start of a block.
    run = BulkRun{};
    run.search = false;
    for (std::size_t at = 0; at < cases; at += 97) {
        std::vector<BulkColumn> one;
        for (const auto& column : columns) {
            one.emplace_back(ClassColumn(column.data() + at, 1));
        }
        std::vector<std::uint8_t> seen(plan.duties().size());
        plan.decide(one, 1, seen, run);
        for (std::size_t d = 0; d < seen.size(); ++d) {
            REQUIRE(seen[d] == expected[d * cases + at]);
        }
    }
}

TEST_CASE("bulk: numbers, texts and classes of the same values come to the same") {
    const PlannedBulk planned = plan_bulk(test::shipped_shelf(), day);
    REQUIRE(planned.plan);
    const BulkPlan& plan = *planned.plan;
    const std::size_t height = *plan.fact("platform-height");
    std::vector<std::int64_t> numbers{NumberColumn::not_known};
    std::vector<std::string> words{"not known"};
    for (std::int64_t inches = 0; inches <= 1'000; ++inches) {
        numbers.push_back(inches);
        words.push_back(std::to_string(inches) + " in");
    }
    const std::vector<std::string_view> texts(words.begin(), words.end());
    std::vector<std::uint8_t> classes;
    for (const std::string& word : words) {
        classes.push_back(plan.class_of(height, word).value());
    }
    std::vector<BulkColumn> columns(plan.facts().size());
    BulkRun run;
    run.search = false;
    std::vector<std::vector<std::uint8_t>> seen;
    for (const BulkColumn& column :
         {BulkColumn(NumberColumn{numbers, "in"}), BulkColumn(TextColumn(texts)),
          BulkColumn(ClassColumn(classes))}) {
        columns[height] = column;
        seen.emplace_back(plan.duties().size() * numbers.size());
        plan.decide(columns, numbers.size(), seen.back(), run);
    }
    CHECK(seen[0] == seen[1]);
    CHECK(seen[0] == seen[2]);
}

TEST_CASE("bulk: a double is the decimal that it is written as, at every turn of the rules") {
    const PlannedBulk planned = plan_bulk(test::shipped_shelf(), day);
    REQUIRE(planned.plan);
    const BulkPlan& plan = *planned.plan;
    const std::size_t height = *plan.fact("platform-height");
    // Tenths of a metre have no exact double, and the rules turn at feet and metres alike; the
    // neighbours of a double are told apart from it.
    std::vector<double> reals{std::nan("")};
    std::vector<std::string> words{"not known"};
    for (int tenths = 0; tenths <= 300; ++tenths) {
        const double written = tenths / 10.0;
        for (const double value :
             {std::nextafter(written, -1.0), written, std::nextafter(written, 1e9)}) {
            std::array<char, 400> text{};
            const auto end = std::to_chars(text.data(), text.data() + text.size(), value,
                                           std::chars_format::fixed)
                                 .ptr;
            if (value >= 0 && end - text.data() < 30) {
                reals.push_back(value);
                words.push_back(std::string(text.data(), end) + " m");
            }
        }
    }
    const std::vector<std::string_view> texts(words.begin(), words.end());
    std::vector<BulkColumn> columns(plan.facts().size());
    const auto outcomes_of = [&](const BulkColumn& column, std::size_t cases, bool search) {
        columns[height] = column;
        std::vector<std::uint8_t> seen(plan.duties().size() * cases);
        BulkRun run;
        run.search = search;
        plan.decide(columns, cases, seen, run);
        return seen;
    };
    CHECK(outcomes_of(RealColumn{reals, "m"}, reals.size(), false) ==
          outcomes_of(TextColumn(texts), reals.size(), false));
    // The exact search takes the values themselves; a few are enough.
    constexpr std::size_t few = 20;
    CHECK(outcomes_of(RealColumn{{reals.data(), few}, "m"}, few, true) ==
          outcomes_of(TextColumn(texts.data(), few), few, true));
    CHECK(reals.size() > 800);
    // Each in the class that its text is in.
    const Fact& fact = plan.data().shelf.data().model.facts[height];
    const bulk::RealReader reader =
        bulk::real_reader(fact, plan.data().classes[height], find_unit("m")->scale);
    CHECK(reader.starts.size() > 5);
    for (std::size_t i = 1; i < reals.size(); ++i) {
        const auto number = std::count_if(reader.starts.begin(), reader.starts.end(),
                                          [&](double start) { return reals[i] >= start; });
        REQUIRE(number == plan.class_of(height, words[i]).value());
    }
    // No number is infinite, and a fraction is no count.
    const std::vector<double> odd{std::numeric_limits<double>::infinity(), 5e-324, 1e300, -1};
    columns[height] = RealColumn{odd, "m"};
    std::vector<std::uint8_t> outcomes(plan.duties().size() * odd.size());
    BulkRun run;
    run.search = false;
    CHECK(plan.decide(columns, odd.size(), outcomes, run).no_answer == 3);
    CHECK(outcomes[1] != bulk_no_answer);
}

TEST_CASE("bulk: codes come to what their texts come to") {
    const PlannedBulk planned = plan_bulk(test::shipped_shelf(), day);
    REQUIRE(planned.plan);
    const BulkPlan& plan = *planned.plan;
    const std::size_t lift = *plan.fact("lift-mechanism");
    const std::vector<std::string_view> names{"scissor", "mast-climber", "hovercraft"};
    const std::vector<std::int8_t> codes{0, 1, -1, 2, 3, 127, 1, 0, -128};
    const std::vector<std::string_view> texts{
        "scissor", "mast-climber", "not known", "hovercraft", "?",
        "?",       "mast-climber", "scissor",   "not known"};
    std::vector<BulkColumn> columns(plan.facts().size());
    std::vector<std::vector<std::uint8_t>> seen;
    for (const BulkColumn& column :
         {BulkColumn(CodedColumn{codes, names}), BulkColumn(TextColumn(texts))}) {
        columns[lift] = column;
        seen.emplace_back(plan.duties().size() * codes.size());
        CHECK(plan.decide(columns, codes.size(), seen.back(), {}).no_answer == 3);
    }
    CHECK(seen[0] == seen[1]);
}

TEST_CASE("bulk: what cannot be read has no answer, and sizes that do not fit are refused") {
    const PlannedBulk planned = plan_bulk(test::shipped_shelf(), day);
    REQUIRE(planned.plan);
    const BulkPlan& plan = *planned.plan;
    const std::size_t height = *plan.fact("platform-height");
    std::vector<BulkColumn> columns(plan.facts().size());
    const std::vector<std::string_view> texts{"14 ft", "high up", "not known"};
    columns[height] = TextColumn(texts);
    std::vector<std::uint8_t> seen(plan.duties().size() * texts.size());
    BulkRun run;
    run.search = false;
    CHECK(plan.decide(columns, texts.size(), seen, run).no_answer == 1);
    CHECK(seen[1] == bulk_no_answer);
    CHECK(seen[0] != bulk_no_answer);
    CHECK_FALSE(plan.class_of(height, "high up"));
    const std::vector<std::int64_t> numbers{1, 2, 3};
    columns[height] = NumberColumn{numbers, "lbf"};
    CHECK_THROWS_AS(plan.decide(columns, 3, seen, run), std::invalid_argument);
    columns[height] = NumberColumn{numbers, "ft"};
    CHECK_THROWS_AS(plan.decide(columns, 2, seen, run), std::invalid_argument);
    CHECK_THROWS_AS(plan.decide({}, 3, seen, run), std::invalid_argument);
    BulkOptions unknown;
    unknown.duties = {"no-such-duty"};
    CHECK_FALSE(plan_bulk(test::shipped_shelf(), day, unknown).plan);
}

}  // namespace
