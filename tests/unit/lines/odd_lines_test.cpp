// Lines under plans whose formulas need values, ports that fail, names and values of every length,
// and a system without threads.
#include "support/no_threads.hpp"
#include "support/small_shelf.hpp"
#include "toprail/lines.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <stdexcept>

namespace {

using namespace toprail;
using test::day;

/// Tie-off above 30 ft of height and width together; a vest where width times persons is more than
/// 50 ft, and under a roof.
const Shelf& formulas() {
    static const Shelf shelf = test::shelf_of(
        {test::small_vocabulary(),
         test::small_pack("quantities:\n  row: {kind: length, unit: ft, reads: the row, equals: "
                          "width * persons}\nprovisions:\n" +
                          test::requires_tie_off("high", "reach is more than 30 ft") +
                          test::frees_tie_off("low", "reach is at most 30 ft") +
                          test::provision("row", "duty: vest, calls-for: required",
                                          "{any-of: [row is more than 50 ft, roofed]}"))});
    return shelf;
}

BulkPlan plan_of(const Shelf& shelf, std::string_view on = "2024-06-01") {
    const PlannedBulk planned = plan_bulk(shelf, day(on));
    REQUIRE(planned.plan);
    return *planned.plan;
}

struct Ran {
    LinesReport report;
    std::string out;
    std::vector<BadLine> bad;
};

Ran run_over(const BulkPlan& plan, std::string_view text, const LinesRun& run = {}) {
    Ran ran;
    LinesPorts ports;
    ports.write = [&ran](std::string_view more) {
        ran.out += more;
        return true;
    };
    ports.bad = [&ran](const BadLine& line) { ran.bad.push_back(line); };
    ran.report = decide_lines(plan, text, ports, run);
    return ran;
}

std::string outcomes_of(const Facts& facts) {
    const Decision decision = test::decided(formulas(), facts);
    return "\"outcomes\":{\"tie-off\":\"" + std::string(word(decision.duty("tie-off")->outcome)) +
           "\",\"vest\":\"" + std::string(word(decision.duty("vest")->outcome)) + "\"}";
}

TEST_CASE("odd lines: what formulas need is read as text, number or null, in any layout") {
    const BulkPlan plan = plan_of(formulas());
    std::string text;
    std::vector<std::string> expected;
    for (int i = 0; i < 60; ++i) {
        const std::string height = std::to_string(5 + i) + " ft";
        const std::string persons = std::to_string(1 + i % 7);
        const std::string roofed = i % 3 == 0 ? "true" : i % 3 == 1 ? "false" : "null";
        // Enough of one layout for several lines at a time, and then another.
        const bool unknown = i % 20 > 14;
        text += R"({"case":"c","facts":{"height":")" + height + R"(","width":"10 ft","persons":)" +
                (unknown ? "null" : persons) + ",\"roofed\":" + roofed + "}}\n";
        Facts facts;
        facts.set("height", height).set("width", "10 ft");
        facts.set("persons", unknown ? "not known" : persons);
        facts.set("roofed", roofed == "true" ? "yes" : roofed == "false" ? "no" : "not known");
        expected.push_back(outcomes_of(facts));
    }
    LinesRun run;
    run.tell_cautions = true;
    for (const LinesRun& how : {LinesRun{}, run}) {
        const Ran ran = run_over(plan, text, how);
        CHECK(ran.bad.empty());
        std::size_t at = 0;
        for (const std::string& each : expected) {
            at = ran.out.find("\"outcomes\"", at);
            REQUIRE(at != std::string::npos);
            CHECK(ran.out.compare(at, each.size(), each) == 0);
            ++at;
        }
    }
}

TEST_CASE("odd lines: a case without an answer says why in its cautions") {
    const BulkPlan plan = plan_of(formulas(), "1999-06-01");
    LinesRun run;
    run.tell_cautions = true;
    const Ran ran = run_over(plan, "{\"facts\":{\"roofed\":true}}\n", run);
    CHECK(ran.report.no_answer == 1);
    CHECK(ran.report.decided == 1);
    CHECK(ran.out.find("\"cautions\":[\"no answer: ") != std::string::npos);
}

TEST_CASE("odd lines: what a port throws comes out, on any number of threads") {
    const BulkPlan plan = plan_of(formulas());
    std::string text;
    for (int i = 0; i < 40'000; ++i) {
        text += "{\"facts\":{\"roofed\":\"yes\"}}\n";
    }
    for (const unsigned threads : {1U, 3U}) {
        LinesRun run;
        run.search = false;
        run.threads = threads;
        LinesPorts ports;
        ports.write = [](std::string_view) -> bool { throw std::runtime_error("no more paper"); };
        CHECK_THROWS_WITH(decide_lines(plan, text, ports, run), "no more paper");
        ports.write = [](std::string_view) { return true; };
        ports.read = [](char*, std::size_t) -> std::size_t { throw std::runtime_error("cut"); };
        CHECK_THROWS_WITH(decide_lines(plan, ports, run), "cut");
    }
}

TEST_CASE("odd lines: output that is refused ends the run, on any number of threads") {
    const BulkPlan plan = plan_of(formulas());
    std::string text;
    for (int i = 0; i < 100'000; ++i) {
        text += "{\"facts\":{\"roofed\":\"yes\"}}\n";
    }
    for (const unsigned threads : {1U, 3U}) {
        LinesRun run;
        run.search = false;
        run.threads = threads;
        int taken = 0;
        LinesPorts ports;
        ports.write = [&taken](std::string_view) { return ++taken < 2; };
        const LinesReport report = decide_lines(plan, text, ports, run);
        CHECK(report.output_failed);
        CHECK(report.ended_early);
        CHECK(report.decided < 100'000);
        CHECK(taken == 2);
    }
}

TEST_CASE("odd lines: where the system gives no thread, one does the work") {
    const BulkPlan plan = plan_of(formulas());
    CHECK(test::without_threads([&plan] {
        std::string text;
        for (int i = 0; i < 1'000; ++i) {
            text += "{\"facts\":{\"roofed\":\"yes\"}}\n";
        }
        LinesRun run;
        run.threads = 4;
        std::size_t lines = 0;
        LinesPorts ports;
        ports.write = [&lines](std::string_view more) {
            lines += static_cast<std::size_t>(std::count(more.begin(), more.end(), '\n'));
            return true;
        };
        return decide_lines(plan, text, ports, run).decided == 1'000 && lines == 1'000;
    }));
}

TEST_CASE("odd lines: names and values of any length") {
    const BulkPlan plan = plan_of(formulas());
    std::string text;
    for (const std::size_t size : {0U, 1U, 31U, 32U, 33U, 64U, 200U}) {
        for (int again = 0; again < 6; ++again) {
            const std::string name(size, 'n');
            text += R"({"case":")" + name + R"(","facts":{"height":"14 )" + std::string(size, ' ') +
                    "ft\"}}\n";
        }
    }
    const Ran ran = run_over(plan, text);
    CHECK(ran.report.decided == 42);
    CHECK(ran.report.bad == 0);
    for (const std::size_t size : {1U, 31U, 32U, 33U, 64U, 200U}) {
        CHECK(ran.out.find("\"case\":\"" + std::string(size, 'n') + "\",") != std::string::npos);
    }
}

TEST_CASE("odd lines: a line past the limit among others of its layout is bad by itself") {
    const BulkPlan plan = plan_of(formulas());
    std::string text;
    for (int i = 0; i < 64; ++i) {
        text += R"({"case":")" + std::string(i == 41 ? 300 : 5, 'n') +
                R"(","facts":{"roofed":"yes"}})" + "\n";
    }
    LinesRun run;
    run.line_bytes = 200;
    const Ran ran = run_over(plan, text, run);
    CHECK(ran.report.decided == 63);
    REQUIRE(ran.bad.size() == 1);
    CHECK(ran.bad[0].line == 42);
    CHECK(ran.bad[0].says == "the line is longer than 200 bytes");
}

TEST_CASE("odd lines: in columns a bad line keeps the name that can be read") {
    const BulkPlan plan = plan_of(formulas());
    LinesRun run;
    run.format = LinesFormat::columns;
    const Ran ran = run_over(plan,
                             "{\"case\":\"lift \\\"3\\\"\",\"facts\":{\"height\":\"high\"}}\n"
                             "{\"case\":7,\"facts\":{}}\n",
                             run);
    REQUIRE(ran.bad.size() == 2);
    CHECK(ran.bad[0].name == "lift \"3\"");
    CHECK(ran.out.find("\n1,\"lift \\\"\"3\\\"\"\",,,\"") != std::string::npos);
    CHECK(ran.out.find("\n2,,,,\"") != std::string::npos);
}

TEST_CASE("odd lines: the run ends at the first of several bad lines where it is told to") {
    const BulkPlan plan = plan_of(formulas());
    LinesRun run;
    run.stop_at_bad = true;
    const Ran ran = run_over(plan, "{\"facts\":{}}\n[]\n\"\"\n{}\n", run);
    CHECK(ran.report.ended_early);
    CHECK(ran.report.lines == 2);
    REQUIRE(ran.bad.size() == 1);
    CHECK(ran.bad[0].line == 2);
}

TEST_CASE("odd lines: names are remembered where nobody is told, and no more than are wanted") {
    const BulkPlan plan = plan_of(formulas());
    LinesRun run;
    run.names = 1;
    const std::string line = "{\"case\":\"a\",\"facts\":{}}\n";
    const std::string other = "{\"case\":\"b\",\"facts\":{}}\n";
    CHECK(run_over(plan, line + other + line + other, run).report.repeated == 1);
}

TEST_CASE("odd lines: a fact with a source takes value and from, each once") {
    const BulkPlan plan = plan_of(formulas());
    for (const char* inner :
         {R"({"value":"4 ft","value":"5 ft"})", R"({"value":"4 ft","from":"a","from":"b"})",
          R"({"value":"4 ft","by":"a"})", R"({"from":"a"})", R"({"value":[]})", "[]"}) {
        const Ran ran = run_over(plan, "{\"facts\":{\"height\":" + std::string(inner) + "}}\n");
        CHECK_MESSAGE(ran.report.bad == 1, inner);
    }
    const Ran good =
        run_over(plan, R"({"facts":{"height":{"from":"a tape","value":"40 ft"},"width":"10 ft"}})");
    CHECK(good.report.bad == 0);
    CHECK(good.out.find("\"tie-off\":\"required\"") != std::string::npos);
}

TEST_CASE("odd lines: more texts of a fact than are kept") {
    const BulkPlan plan = plan_of(formulas());
    std::string text;
    constexpr int cases = 50'050;
    for (int i = 0; i < cases; ++i) {
        text += R"({"facts":{"height":"10.)" + std::to_string(100'000 + i) + " ft\"}}\n";
    }
    LinesRun run;
    run.search = false;
    const Ran ran = run_over(plan, text, run);
    CHECK(ran.report.decided == cases);
    CHECK(ran.report.bad == 0);
}

}  // namespace
