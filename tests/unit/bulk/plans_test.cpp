// Plans of shelves that are unlike the shipped ones: more thresholds than a byte tells apart,
// formulas of every kind, contests, and cases that nobody governs. Each is held against
// Shelf::decide.
#include "bulk/plan_data.hpp"
#include "bulk/reals.hpp"
#include "shelf/shelf_data.hpp"
#include "support/no_threads.hpp"
#include "support/quick_cases.hpp"
#include "support/small_shelf.hpp"
#include "toprail/case_decider.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <limits>
#include <thread>

namespace {

using namespace toprail;
using test::day;

BulkPlan plan_of(const Shelf& shelf, bool statuses = false, std::string_view on = "2024-06-01") {
    BulkOptions how;
    how.statuses = statuses;
    const PlannedBulk planned = plan_bulk(shelf, day(on), how);
    REQUIRE(planned.plan);
    return *planned.plan;
}

using Case = std::vector<std::pair<std::string, std::string>>;

/// Every case, by texts, comes to what a decision says; the quick pass is never other.
void hold(const Shelf& shelf, const std::vector<Case>& cases, std::string_view on = "2024-06-01") {
    const BulkPlan plan = plan_of(shelf, false, on);
    CaseDecider decider(plan);
    for (const Case& each : cases) {
        Facts facts;
        decider.clear();
        for (const auto& [fact, value] : each) {
            facts.set(fact, value);
            const std::string& given = value;
            REQUIRE_MESSAGE(decider.set(fact, value), given);
        }
        test::hold_to(shelf.decide(facts, day(on)), plan, decider);
    }
}

TEST_CASE("plans: a fact with more thresholds than a byte holds is left to the search") {
    std::string body;
    for (int i = 1; i <= 300; ++i) {
        const std::string at = std::to_string(i);
        body += (i % 2 == 0 ? test::requires_tie_off : test::frees_tie_off)(
            "h" + at,
            "{all-of: [height is at least " + at + " ft, height is less than " +
                std::to_string(i + 1) + " ft]}",
            "");
    }
    const Shelf shelf = test::small_shelf(body);
    const BulkPlan plan = plan_of(shelf);
    const std::size_t height = *plan.fact("height");
    CHECK(plan.facts()[height].needs_values);
    CHECK(plan.facts()[height].classes == 1);
    CHECK(plan.class_of(height, "14 ft") == std::uint8_t{0});
    hold(shelf, {{{"height", "2 ft"}},
                 {{"height", "3.5 ft"}},
                 {{"height", "250 ft"}},
                 {{"height", "400 ft"}},
                 {{"height", "not known"}}});
    CaseDecider decider(plan);
    decider.count_in(height, "ft");
    REQUIRE(decider.set_number(height, 3));
    CHECK(decider.settle()[0] == static_cast<std::uint8_t>(Outcome::not_required));
    const std::vector<std::int64_t> numbers{2, 3, 250, 501};
    std::vector<BulkColumn> columns(plan.facts().size());
    columns[height] = NumberColumn{numbers, "ft"};
    std::vector<std::uint8_t> outcomes(plan.duties().size() * numbers.size());
    const BulkReport report = plan.decide(columns, numbers.size(), outcomes);
    CHECK(outcomes[0] == static_cast<std::uint8_t>(Outcome::required));
    CHECK(outcomes[1] == static_cast<std::uint8_t>(Outcome::not_required));
    CHECK(outcomes[2] == static_cast<std::uint8_t>(Outcome::required));
    CHECK(outcomes[3] == bulk_no_answer);  // higher than the vocabulary lets it be
    CHECK(report.no_answer == 1);
    CHECK(report.beyond_plan == 3);  // the height is all that is looked at
}

TEST_CASE("plans: days with more turns than a byte holds are left to the search") {
    std::string body;
    for (int i = 0; i < 280; ++i) {
        const std::string year = std::to_string(1900 + i);
        body += (i % 2 == 0 ? test::requires_tie_off : test::frees_tie_off)(
            "d" + year,
            "{all-of: [made-on is on or after " + year + "-02-03, made-on is before " + year +
                "-05-06]}",
            "");
    }
    const Shelf shelf = test::small_shelf(body);
    CHECK(plan_of(shelf).facts()[*plan_of(shelf).fact("made-on")].needs_values);
    hold(shelf, {{{"made-on", "1950-03-04"}},
                 {{"made-on", "1951-03-04"}},
                 {{"made-on", "1951-07-04"}},
                 {{"made-on", "does not apply"}}});
}

TEST_CASE("plans: formulas of every kind") {
    const std::string body =
        "conditions:\n  open: {reads: it is open, is: gate-open}\n"
        "quantities:\n"
        "  lesser: {kind: length, unit: ft, reads: the lesser, equals: \"min(height, width)\"}\n"
        "  six: {kind: length, unit: ft, reads: six, equals: \"min(6 ft, 9 ft)\"}\n"
        "  nine: {kind: length, unit: ft, reads: nine, equals: \"max(6 ft, 9 ft)\"}\n"
        "  none: {kind: length, unit: ft, reads: none, equals: height - height + depth - depth}\n"
        "  slant: {kind: length, unit: ft, reads: slant, equals: sqrt(height * height + width * "
        "width)}\n"
        "  parts: {kind: length, unit: ft, reads: parts, pieces: [{where: open, equals: height}, "
        "{where: roofed, equals: width}]}\n"
        "  deep: {kind: length, unit: ft, reads: deep, equals: depth + 1 ft}\n"
        "  gone: {kind: length, unit: ft, reads: gone, equals: depth - depth}\n"
        "provisions:\n" +
        test::requires_tie_off("a", "lesser is more than 12 ft") +
        test::frees_tie_off("b", "parts is at least 9 ft") +
        test::provision("c", "duty: vest, calls-for: required",
                        "{all-of: [slant is more than 30 ft, gate-open, height is more than nine, "
                        "width is more than six]}") +
        test::provision("d", "duty: vest, calls-for: not required", "deep is less than 3 ft") +
        test::provision("e", "duty: vest, calls-for: not required",
                        "{all-of: [none is at least 0 ft, not gate-open]}") +
        test::provision("f", "duty: vest, calls-for: required",
                        "{all-of: [gone is at least 0 ft, mechanism is mast]}") +
        test::provision("g", "duty: vest, calls-for: required", "gone is more than 0 ft");
    const Shelf shelf = test::shelf_of({test::small_vocabulary(), test::small_pack(body)});
    std::vector<Case> cases;
    for (const char* gate : {"yes", "no", "not known"}) {
        for (const char* height : {"5 ft", "14 ft", "28 ft", "not known"}) {
            for (const char* width : {"6 ft", "13 ft"}) {
                for (const char* depth : {"1 ft", "does not apply"}) {
                    cases.push_back({{"gate-open", gate},
                                     {"height", height},
                                     {"width", width},
                                     {"depth", depth},
                                     {"mechanism", *width == '6' ? "mast" : "boom"},
                                     {"roofed", "no"}});
                }
            }
        }
    }
    hold(shelf, cases);
}

TEST_CASE("plans: a formula of more ways than are laid out is left to the search") {
    std::string quantities;
    for (const char* name : {"one", "two"}) {
        quantities +=
            "  " + std::string(name) + ": {kind: length, unit: ft, reads: " + name + ", pieces: [";
        for (int i = 1; i <= 12; ++i) {
            quantities += "{where: height is at most " + std::to_string(i) +
                          " ft, equals: " + std::to_string(i) + " ft}, ";
        }
        quantities += "{equals: 20 ft}]}\n";
    }
    quantities += "  many: {kind: length, unit: ft, reads: many, pieces: [";
    for (int i = 1; i <= 70; ++i) {
        quantities += "{where: height is at most " + std::to_string(i) +
                      " ft, equals: " + std::to_string(i) + " ft}, ";
    }
    quantities += "{equals: 80 ft}]}\n";
    const std::string body =
        "quantities:\n" + quantities +
        "  both: {kind: length, unit: ft, reads: both, equals: one + two}\n"
        "provisions:\n" +
        test::requires_tie_off("a", "both is more than 15 ft") +
        test::provision("b", "duty: vest, calls-for: required", "many is more than 60 ft");
    hold(test::shelf_of({test::small_vocabulary(), test::small_pack(body)}),
         {{{"height", "3 ft"}},
          {{"height", "8 ft"}},
          {{"height", "30 ft"}},
          {{"height", "60.5 ft"}},
          {{"height", "90 ft"}},
          {}});
}

TEST_CASE("plans: a contest, statuses and who governs, as a decision has them") {
    const Shelf shelf = test::shelf_of(
        {test::small_vocabulary(),
         test::small_pack("provisions:\n" + test::requires_tie_off("asks") +
                              test::frees_tie_off("frees", "mechanism is scissor"),
                          "t.one"),
         test::small_pack("provisions:\n" + test::provision("law", "governs: t.one", "gate-open"),
                          "t.law")});
    const BulkPlan plan = plan_of(shelf, true);
    CHECK(plan.authorities() == std::vector<std::string>{"t.law", "t.one"});
    const std::vector<std::string_view> gates{"yes", "no", "not known"};
    const std::vector<std::string_view> machines(gates.size(), "scissor");
    std::vector<BulkColumn> columns(plan.facts().size());
    columns[*plan.fact("gate-open")] = TextColumn(gates);
    columns[*plan.fact("mechanism")] = TextColumn(machines);
    std::vector<std::uint8_t> outcomes(plan.duties().size() * gates.size());
    std::vector<std::uint8_t> planes(plan.status_bytes(gates.size()));
    BulkRun run;
    run.statuses = planes;
    plan.decide(columns, gates.size(), outcomes, run);
    CHECK(plan.governs(planes, 1, 0) == Perhaps::yes);
    CHECK(plan.governs(planes, 1, 1) == Perhaps::no);
    CHECK(plan.governs(planes, 1, 2) == Perhaps::possibly);

    CaseDecider decider(plan);
    const auto told = [&decider](std::string_view gate) {
        REQUIRE(decider.set("gate-open", gate));
        decider.settle();
        std::string out;
        decider.append_json(out);
        return nlohmann::json::parse(out);
    };
    const auto says = [](const nlohmann::json& json, const std::string& piece) {
        return json["cautions"].dump().find(piece) != std::string::npos;
    };
    REQUIRE(decider.set("mechanism", "scissor"));
    const nlohmann::json governed = told("yes");
    CHECK(governed["duties"]["tie-off"]["outcome"] == "required");
    CHECK(says(governed, "contested: one authority both requires and frees from tie-off"));
    CHECK_FALSE(says(governed, "no rulepack on the shelf governs"));
    CHECK_FALSE(says(governed, "unverified"));
    const nlohmann::json nobody = told("no");
    CHECK(nobody["duties"]["tie-off"]["outcome"] == "not addressed");
    CHECK(says(nobody, "no rulepack on the shelf governs this case"));
    CHECK(nobody["trail"].empty());
    CHECK_FALSE(decider.set("gate-open", "perhaps"));
    decider.settle();
    std::string out;
    decider.append_json(out);
    CHECK(nlohmann::json::parse(out)["duties"]["tie-off"]["outcome"] == "no answer");
}

TEST_CASE("plans: the trail of one case tells of facts that cannot be true together") {
    SourceText words = test::small_vocabulary();
    words.text += R"(at-odds:
  roofed-boom: {says: a boom has no roof, where: {all-of: [mechanism is boom, roofed]}}
  low-mast: {says: a mast is high, where: {all-of: [mechanism is mast, height is less than 3 ft]}}
)";
    const Shelf shelf = test::shelf_of(
        {words, test::small_pack("provisions:\n" + test::requires_tie_off("a", "gate-open"))});
    CaseDecider decider(plan_of(shelf, true));
    const auto cautions = [&decider] {
        decider.settle();
        std::string out;
        decider.append_json(out);
        return nlohmann::json::parse(out)["cautions"].get<std::vector<std::string>>();
    };
    const std::string roofed = "facts at odds: a boom has no roof; find out which is so before "
                               "anybody relies on this answer";
    const std::string low = "facts at odds: a mast is high; find out which is so before anybody "
                            "relies on this answer";
    const auto told = [&cautions](const std::string& caution) {
        const std::vector<std::string> all = cautions();
        return std::count(all.begin(), all.end(), caution);
    };
    REQUIRE(decider.set("mechanism", "boom"));
    CHECK(told(roofed) == 0);
    REQUIRE(decider.set("roofed", "yes"));
    CHECK(told(roofed) == 1);
    CHECK(told(low) == 0);
    REQUIRE(decider.set("mechanism", "mast"));
    CHECK(told(roofed) == 0);
    REQUIRE(decider.set("height", "3 ft"));
    CHECK(told(low) == 0);
    REQUIRE(decider.set("height", "2.9 ft"));
    CHECK(told(low) == 1);
}

// The same by strips and by bytes: which way a plan takes shows nowhere else.
TEST_CASE("plans: what to act as if is the strictest that is not ruled out") {
    std::string many_pairs = "{all-of: [";
    for (int i = 1; i <= 70; ++i) {
        many_pairs += std::string(i == 1 ? "" : ", ") + "{any-of: [height is at least " +
                      std::to_string(i) + " ft, weight is at least " + std::to_string(i) + " lb]}";
    }
    many_pairs += "]}";
    for (const bool by_strips : {true, false}) {
        const Shelf shelf = test::small_shelf(
            test::requires_tie_off("asks", "{all-of: [gate-open, guardrail is removed]}") +
            test::provision("relief", "relaxes: [asks], terms: Keep low.", "mechanism is mast") +
            test::frees_tie_off("frees", by_strips ? "roofed" : many_pairs));
        const BulkPlan plan = plan_of(shelf, true);
        REQUIRE(plan.data().strips.outcomes.empty() != by_strips);
        CaseDecider decider(plan);
        const auto act_as_if = [&](const Case& given) {
            decider.clear();
            Facts facts;
            for (const auto& [fact, value] : given) {
                decider.set(fact, value);
                facts.set(fact, value);
            }
            decider.settle();
            std::string out;
            decider.append_json(out);
            const std::string told = nlohmann::json::parse(out)["duties"]["tie-off"]["act-as-if"];
            CHECK(told == word(test::tie_off(test::decided(shelf, facts)).act_as_if));
            return told;
        };
        CHECK(act_as_if({}) == "required");
        CHECK(act_as_if({{"gate-open", "yes"}, {"mechanism", "mast"}}) ==
              "required with exception");
        CHECK(act_as_if({{"gate-open", "no"}}) == "not required");
    }
    const BulkPlan quiet = plan_of(test::small_shelf(test::requires_tie_off("a")));
    CaseDecider decider(quiet);
    decider.decide();
    CHECK(decider.statuses().empty());
}

TEST_CASE("plans: classes that were set tell the search what it needs of them") {
    // Two facts together settle what neither does alone, so the quick pass leaves it open.
    const Shelf shelf = test::small_shelf(
        test::requires_tie_off("a", "{any-of: [{all-of: [roofed, gate-open]}, {all-of: [roofed, "
                                    "not gate-open]}]}"));
    const BulkPlan plan = plan_of(shelf);
    CaseDecider decider(plan);
    const std::size_t roofed = *plan.fact("roofed");
    decider.set_class(roofed, *plan.class_of(roofed, "yes"));
    CHECK(decider.decide()[0] == static_cast<std::uint8_t>(Outcome::undetermined));
    CHECK(decider.settle()[0] == static_cast<std::uint8_t>(Outcome::required));
    decider.set_class(roofed, 77);
    CHECK(decider.settle().size() == plan.duties().size());
}

TEST_CASE("plans: with less search an answer is wider, and never other") {
    // "not" takes the name of a condition alone, so the sentences stand as conditions.
    const std::string body =
        "conditions:\n  railed: {reads: railed, is: guardrail is complete}\n"
        "  high: {reads: high, is: height is more than 6 ft}\nprovisions:\n" +
        test::requires_tie_off("a",
                               "{any-of: [{all-of: [roofed, gate-open]}, {all-of: [roofed, not "
                               "gate-open, railed]}, {all-of: [roofed, not railed, not "
                               "gate-open]}, {all-of: [high, not high]}]}") +
        test::frees_tie_off("b", "{all-of: [high, not roofed]}");
    const Shelf shelf = test::shelf_of({test::small_vocabulary(), test::small_pack(body)});
    const BulkPlan plan = plan_of(shelf);
    std::size_t exact = 0;
    std::size_t wide = 0;
    for (std::size_t budget = 0; budget < 120; ++budget) {
        CaseDecider decider(plan, budget);
        REQUIRE(decider.set("roofed", "yes"));
        const std::uint8_t outcome = decider.settle()[0];
        exact += outcome == static_cast<std::uint8_t>(Outcome::required) ? 1U : 0U;
        wide += outcome == static_cast<std::uint8_t>(Outcome::undetermined) ? 1U : 0U;
        CHECK(exact + wide == budget + 1);
    }
    CHECK(exact > 0);
    CHECK(wide > 0);
}

TEST_CASE("plans: no answer before the first edition, whoever picks it") {
    const std::string body = "provisions:\n" + test::requires_tie_off("a", "roofed");
    hold(test::shelf_of({test::small_vocabulary(), test::small_pack(body)}),
         {{{"roofed", "yes"}}, {}}, "1999-06-01");
    hold(test::shelf_of(
             {test::small_vocabulary(),
              test::small_pack(
                  body, "test.pack", "regulation",
                  "{from: 2000-01-01, verified-through: 2030-01-01, picked-by: made-on}")}),
         {{{"made-on", "1999-01-01"}, {"roofed", "yes"}},
          {{"made-on", "2001-01-01"}, {"roofed", "yes"}},
          {{"roofed", "yes"}},
          {{"made-on", "does not apply"}, {"roofed", "yes"}}});
}

/// Where the classes of a fact without bounds begin as doubles; it turns above one such number.
bulk::RealReader reader_of(const Number& at, const Number& scale) {
    Fact fact;
    fact.type = FactType::measured;
    bulk::FactClasses classes;
    Value line = Value::unknown(FactId(0), std::nullopt, std::nullopt);
    line = *std::optional(combine(Operation::subtract, line, Value::number(at)));
    classes.cut(Verb::more_than, line);
    REQUIRE(classes.finish(fact));
    return bulk::real_reader(fact, classes, scale);
}

TEST_CASE("reals: turns that no double reaches, or that every one has passed") {
    Number huge(10);
    for (int i = 0; i < 9; ++i) {
        huge *= huge;  // ten to the 512th
    }
    constexpr double infinity = std::numeric_limits<double>::infinity();
    CHECK(reader_of(huge, Number(1)).starts.front() == infinity);
    CHECK(reader_of(-huge, Number(1)).starts.front() == std::numeric_limits<double>::lowest());
    CHECK(reader_of(Number(0), Number(1)).starts.front() ==
          std::numeric_limits<double>::denorm_min());
    // Smaller than any double, and yet above nothing.
    CHECK(reader_of(Number(1) / huge, Number(1)).starts.front() ==
          std::numeric_limits<double>::denorm_min());
    // So small that twenty decimals lose it, and yet among the doubles.
    Number small(1);
    for (int i = 0; i < 30; ++i) {
        small /= 10;
    }
    CHECK(reader_of(small, Number(1)).starts.front() == std::nextafter(1e-30, 1.0));
    CHECK(reader_of(-small, Number(1)).starts.front() == std::nextafter(-1e-30, 1.0));
    // Beside the ends of all doubles.
    constexpr double most = std::numeric_limits<double>::max();
    const Number before = bulk::shortest_decimal(std::nextafter(most, 0.0));
    CHECK(reader_of(before, Number(1)).starts.front() == most);
    CHECK(reader_of(-bulk::shortest_decimal(most), Number(1)).starts.front() ==
          std::nextafter(-most, 0.0));
    CHECK(reader_of(Number(1), huge).starts.front() == std::numeric_limits<double>::denorm_min());
    const bulk::RealReader reader = reader_of(Number(6), Number(1));
    CHECK(reader.usable(-9e29));
    CHECK_FALSE(reader.usable(-1e30));
    CHECK(reader.usable(9e29));
    CHECK_FALSE(reader.usable(1e30));
    CHECK_FALSE(reader.usable(infinity));
    CHECK_FALSE(reader.usable(-infinity));
}

TEST_CASE("bulk: where the system gives no thread, one does the work") {
    const BulkPlan plan = plan_of(test::small_shelf(test::requires_tie_off("a", "roofed")));
    constexpr std::size_t cases = 100'000;
    CHECK(test::without_threads([&plan] {
        bool none = false;
        try {
            std::thread([] {}).join();
        } catch (const std::system_error&) {
            none = true;
        }
        std::vector<std::uint8_t> outcomes(plan.duties().size() * cases, bulk_no_answer);
        BulkRun run;
        run.search = false;
        run.threads = 4;
        const std::vector<BulkColumn> columns(plan.facts().size());
        return none && plan.decide(columns, cases, outcomes, run).cases == cases &&
               outcomes.front() == static_cast<std::uint8_t>(Outcome::undetermined) &&
               outcomes.back() == static_cast<std::uint8_t>(Outcome::not_addressed);
    }));
}

}  // namespace
