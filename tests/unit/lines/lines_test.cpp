// Cases as lines of JSON: what is read, what is refused, and that nothing is lost.
#include "lines/digests.hpp"
#include "support/shelves.hpp"
#include "toprail/lines.hpp"
#include "toprail/telling.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>

namespace {

using namespace toprail;

const Date day = *Date::parse("2024-06-01");

struct Ran {
    LinesReport report;
    std::string out;
    std::vector<BadLine> bad;
    std::vector<BadLine> repeated;
};

/// The same for text in memory, of which nothing past its end may be read.
void hold_in_memory(const BulkPlan& plan, const std::string& text, LinesRun run, const Ran& ran) {
    const std::vector<char> exact(text.begin(), text.end());
    Ran other;
    LinesPorts ports;
    ports.write = [&](std::string_view more) {
        other.out += more;
        return true;
    };
    ports.bad = [&](const BadLine& bad) { other.bad.push_back(bad); };
    ports.repeated = [&](const BadLine& line) { other.repeated.push_back(line); };
    run.progress = nullptr;
    other.report = decide_lines(plan, std::string_view(exact.data(), exact.size()), ports, run);
    CHECK(other.out == ran.out);
    CHECK(other.report.lines == ran.report.lines);
    CHECK(other.report.decided == ran.report.decided);
    CHECK(other.report.bad == ran.report.bad);
    CHECK(other.report.undetermined == ran.report.undetermined);
    CHECK(other.report.no_answer == ran.report.no_answer);
    CHECK(other.report.ended_early == ran.report.ended_early);
    REQUIRE(other.bad.size() == ran.bad.size());
    for (std::size_t i = 0; i < ran.bad.size(); ++i) {
        CHECK(other.bad[i].line == ran.bad[i].line);
        CHECK(other.bad[i].says == ran.bad[i].says);
        CHECK(other.bad[i].name == ran.bad[i].name);
    }
    CHECK(other.report.repeated == ran.report.repeated);
    REQUIRE(other.repeated.size() == ran.repeated.size());
    for (std::size_t i = 0; i < ran.repeated.size(); ++i) {
        CHECK(other.repeated[i].line == ran.repeated[i].line);
        CHECK(other.repeated[i].name == ran.repeated[i].name);
    }
}

/// Hands the text over in pieces of that size, and in memory.
Ran run_over(const BulkPlan& plan, const std::string& text, const LinesRun& run = {},
             std::size_t piece = 64) {
    Ran ran;
    std::size_t at = 0;
    LinesPorts ports;
    ports.read = [&](char* to, std::size_t room) {
        const std::size_t size = std::min({piece, room, text.size() - at});
        text.copy(to, size, at);
        at += size;
        return size;
    };
    ports.write = [&](std::string_view more) {
        ran.out += more;
        return true;
    };
    ports.bad = [&](const BadLine& bad) { ran.bad.push_back(bad); };
    ports.repeated = [&](const BadLine& line) { ran.repeated.push_back(line); };
    ran.report = decide_lines(plan, ports, run);
    hold_in_memory(plan, text, run, ran);
    return ran;
}

const BulkPlan& tie_off() {
    static const BulkPlan plan = [] {
        BulkOptions how;
        how.authorities = {"us.federal.construction"};
        how.duties = {"tie-off"};
        return *plan_bulk(test::shipped_shelf(), day, how).plan;
    }();
    return plan;
}

/// A case of random values of some facts; now and then laid out otherwise.
struct Drawn {
    Facts facts;
    std::string line;
};

Drawn draw(std::mt19937& random, const std::vector<FactInfo>& known) {
    Drawn drawn;
    std::string facts;
    for (const FactInfo& fact : known) {
        if (random() % 4 == 0) {
            continue;
        }
        std::string value = "not known";
        std::string token;
        if (fact.type == "choice") {
            value = fact.values[random() % fact.values.size()];
        } else if (fact.type == "yes-no") {
            value = random() % 2 == 0 ? "yes" : "no";
            token = random() % 2 == 0 ? (value == "yes" ? "true" : "false") : "";
        } else if (fact.type == "length") {
            value = std::to_string(1 + random() % 30) + " " + (random() % 2 == 0 ? "ft" : "in");
        } else {
            token = random() % 2 == 0 ? "null" : "";
        }
        token = token.empty() ? "\"" + value + "\"" : token;
        if (random() % 50 == 0) {
            token = "{\"value\": " + token + ", \"from\": \"said so\"}";
        }
        facts += (facts.empty() ? "\"" : ",\"") + fact.name + "\":" + token;
        drawn.facts.set(fact.name, value);
    }
    drawn.line = "{\"case\":\"x\",\"facts\":{" + facts + "}}";
    return drawn;
}

TEST_CASE("lines: outcomes are those of one case at a time, on any threads") {
    std::mt19937 random(3);
    // Few facts, so that layouts come again; all values that they take are sensible.
    std::vector<FactInfo> known;
    for (const FactInfo& fact : test::shipped_shelf().facts()) {
        if (fact.name == "lift-mechanism" || fact.name == "guardrail" ||
            fact.name == "platform-height" || fact.name == "gate-open" || fact.name == "industry" ||
            fact.name == "mounting") {
            known.push_back(fact);
        }
    }
    REQUIRE(known.size() >= 5);
    std::string text;
    std::string expected;
    DecideOptions how;
    how.authorities = {"us.federal.construction"};
    constexpr std::size_t cases = 300;
    for (std::size_t i = 1; i <= cases; ++i) {
        const Drawn drawn = draw(random, known);
        text += drawn.line + (i % 7 == 0 ? "\r\n" : "\n");
        const Answer answer = test::shipped_shelf().decide(drawn.facts, day, how);
        REQUIRE_MESSAGE(answer.decision, drawn.line);
        const DutyDecision* const duty = answer.decision->duty("tie-off");
        expected += "{\"line\":" + std::to_string(i) + R"(,"case":"x","outcomes":{"tie-off":")" +
                    std::string(word(duty == nullptr ? Outcome::not_addressed : duty->outcome)) +
                    "\"}}\n";
    }
    for (const unsigned threads : {1U, 3U}) {
        LinesRun run;
        run.threads = threads;
        const Ran ran = run_over(tie_off(), text, run);
        CHECK(ran.bad.empty());
        CHECK(ran.out == expected);
        CHECK(ran.report.decided == cases);
        CHECK(ran.report.lines == cases);
    }
}

TEST_CASE("lines: many blocks keep their order on several threads") {
    std::string text;
    std::size_t lines = 0;
    while (text.size() < (std::size_t{5} << 20U)) {
        text += "{\"case\":\"" + std::to_string(++lines) +
                R"(","facts":{"guardrail":"complete"}})" + "\n";
    }
    LinesRun run;
    run.search = false;
    const Ran one = run_over(tie_off(), text, run, 1U << 20U);
    run.threads = 4;
    std::size_t told = 0;
    run.progress = [&told](std::size_t done) {
        CHECK(done >= told);
        told = done;
    };
    const Ran several = run_over(tie_off(), text, run, 1U << 20U);
    CHECK(several.out == one.out);
    CHECK(told == lines);
    CHECK(static_cast<std::size_t>(std::count(one.out.begin(), one.out.end(), '\n')) == lines);
}

TEST_CASE("lines: a bad line is told with its number, and the others are decided") {
    const std::string good = R"({"facts":{"guardrail":"complete"}})";
    const std::vector<std::pair<std::string, std::string>> bad{
        {R"({"facts":{"guardrail":"complet"}})", "did you mean complete"},
        {R"({"facts":{"gardrail":"complete"}})", "did you mean guardrail"},
        {R"({"facts":{"guardrail":["complete"]}})", "list or a map"},
        {R"({"facts":{"guardrail":"complete","guardrail":"complete"}})", "twice"},
        {R"({"facts":{"guardrail":"complete"},"facts":{}})", "twice"},
        {R"({"facts":{"guardrail":"complete"}} {})", ""},
        {R"({"facts":{"guardrail":"complete"})", ""},
        {R"({"facts":{"guardrail":"compl)", ""},
        {R"({"facts":{"guardrail":{"from":"me"}}})", "without a value"},
        {R"({"case":"x"})", "facts"},
        {R"({"case":7,"facts":{}})", "takes a text"},
        {R"({"side":"x","facts":{}})", "no key"},
        {R"([])", "the line is a list; a line holds one case"},
        {R"("x")", "the line is a text; a line holds one case"},
        {R"(17)", "does not begin with {"},
        {"\xEF\xBB\xBF{\"facts\":{}}", "byte order mark"},
        {"{\"facts\":{\"guardrail\":\"\xff\"}}", ""},
        {R"({"facts":{"platform-height":14}})", "platform-height"},
        {R"({"facts":{"gate-open":"perhaps"}})", "yes or no"},
    };
    for (const auto& [bad_line, says] : bad) {
        const std::string line = bad_line;  // Clang 14 captures no binding
        CAPTURE(line);
        const Ran ran = run_over(tie_off(), good + "\n\n" + good + "\n" + line + "\n" + good);
        CHECK(ran.report.lines == 5);
        CHECK(ran.report.decided == 3);
        CHECK(ran.report.bad == 1);
        REQUIRE(ran.bad.size() == 1);
        CHECK(ran.bad.front().line == 4);
        CHECK_MESSAGE(ran.bad.front().says.find(says) != std::string::npos, ran.bad.front().says);
        CHECK(std::count(ran.out.begin(), ran.out.end(), '\n') == 4);
        const std::string named = line == R"({"case":"x"})" ? R"("case":"x",)" : "";
        CHECK(ran.out.find("{\"line\":4," + named + "\"error\":") != std::string::npos);
        LinesRun run;
        run.stop_at_bad = true;
        const Ran stopped = run_over(tie_off(), good + "\n" + line + "\n" + good, run);
        CHECK(stopped.report.ended_early);
        CHECK(stopped.report.decided == 1);
        CHECK(stopped.report.lines == 2);
    }
}

std::vector<FactInfo> some_facts() {
    std::vector<FactInfo> known;
    for (const FactInfo& fact : test::shipped_shelf().facts()) {
        if (fact.name == "lift-mechanism" || fact.name == "guardrail" ||
            fact.name == "platform-height" || fact.name == "gate-open" || fact.name == "mounting") {
            known.push_back(fact);
        }
    }
    return known;
}

TEST_CASE("lines: possible outcomes, what to act as if and cautions are those of the case alone") {
    std::mt19937 random(5);
    const std::vector<FactInfo> known = some_facts();
    DecideOptions how;
    how.authorities = {"us.federal.construction"};
    std::string text;
    std::string possible;
    std::string cautions;
    std::size_t open = 0;
    constexpr std::size_t cases = 40;
    for (std::size_t i = 1; i <= cases; ++i) {
        const Drawn drawn = draw(random, known);
        text += drawn.line + "\n";
        const Answer answer = test::shipped_shelf().decide(drawn.facts, day, how);
        REQUIRE_MESSAGE(answer.decision, drawn.line);
        const DutyDecision& duty = *answer.decision->duty("tie-off");
        std::string start = "{\"line\":" + std::to_string(i) +
                            R"(,"case":"x","outcomes":{"tie-off":")" +
                            std::string(word(duty.outcome)) + "\"}";
        if (duty.outcome == Outcome::undetermined) {
            ++open;
            start += R"(,"possible":{"tie-off":[)";
            for (const Outcome each : duty.possible) {
                start +=
                    (each == duty.possible.front() ? "\"" : ",\"") + std::string(word(each)) + "\"";
            }
            start += R"(]},"act-as-if":{"tie-off":")" + std::string(word(duty.act_as_if)) + "\"}";
        }
        possible += start + "}\n";
        std::string decision;
        append_json(decision, *answer.decision, "x");
        const std::size_t from = decision.find(",\"cautions\":[");
        REQUIRE(from != std::string::npos);
        cautions += start + decision.substr(from, decision.find("],\"packs\"") + 1 - from) + "}\n";
    }
    CHECK(open > 5);
    CHECK(open < cases);
    LinesRun run;
    run.tell_possible = true;
    CHECK(run_over(tie_off(), text, run).out == possible);
    run.tell_cautions = true;
    run.threads = 2;
    CHECK(run_over(tie_off(), text, run).out == cautions);
    // Where nobody searches, nothing is ruled out.
    LinesRun quick;
    quick.tell_possible = true;
    quick.search = false;
    CHECK(run_over(tie_off(), "{\"facts\":{}}\n", quick)
              .out.find(
                  R"("possible":{"tie-off":["required","required with exception","not required",)"
                  R"("not addressed"]},"act-as-if":{"tie-off":"required"})") != std::string::npos);
}

TEST_CASE("lines: a name that comes again is told, among those that are remembered") {
    const std::string text =
        "{\"case\":\"a\",\"facts\":{}}\n{\"case\":\"b \\u0041\",\"facts\":{}}\n"
        "{\"case\":\"a\",\"facts\":{}}\n{\"facts\":{}}\n{\"facts\":{}}\n"
        "{\"case\":\"b \\u0041\",\"facts\":{}}\n";
    LinesRun run;
    run.search = false;
    run.names = 10;
    Ran ran = run_over(tie_off(), text, run);
    CHECK(ran.report.repeated == 2);
    REQUIRE(ran.repeated.size() == 2);
    CHECK(ran.repeated.front().line == 3);
    CHECK(ran.repeated.front().name == "a");
    CHECK(ran.repeated.back().line == 6);
    CHECK(ran.repeated.back().name == "b A");
    CHECK(ran.report.decided == 6);
    run.names = 1;
    CHECK(run_over(tie_off(), text, run).report.repeated == 1);
    run.names = 0;
    CHECK(run_over(tie_off(), text, run).report.repeated == 0);
}

TEST_CASE("lines: digests of names are kept, and those that share a place take bounded time") {
    lines::Digests digests;
    std::mt19937_64 random(7);
    std::vector<std::uint64_t> all{0};
    for (std::size_t i = 0; i < 20'000; ++i) {
        all.push_back(random());
    }
    for (std::size_t i = 0; i < all.size(); i += 2) {
        CHECK(!digests.contains(all[i]));
        digests.insert(all[i]);
    }
    for (std::size_t i = 0; i < all.size(); ++i) {
        CHECK(digests.contains(all[i]) == (i % 2 == 0));
    }
    CHECK(digests.size() == all.size() / 2 + 1);
    lines::Digests crowded;
    for (std::uint64_t i = 1; i <= 5'000; ++i) {
        crowded.insert(i << 40U);
    }
    CHECK(crowded.contains(std::uint64_t{1} << 40U));
    CHECK(!crowded.contains(std::uint64_t{5'001} << 40U));
    CHECK(crowded.size() < 2'000);
}

TEST_CASE("lines: a byte order mark before the first line says nothing") {
    const Ran ran = run_over(tie_off(), "\xEF\xBB\xBF{\"case\":\"a\",\"facts\":{}}\n");
    CHECK(ran.bad.empty());
    CHECK(ran.report.decided == 1);
    CHECK(run_over(tie_off(), "\xEF\xBB\xBF").report.lines == 0);
    const Ran later = run_over(tie_off(), "\xEF\xBB\xBF\n\xEF\xBB\xBF{\"facts\":{}}\n");
    CHECK(later.report.lines == 2);
    CHECK(later.bad.size() == 1);
}

TEST_CASE("lines: what is told of a line is its own, among bad and blank ones in many blocks") {
    const auto line_of = [](std::size_t i) {
        const std::string name = "\"case\":\"n" + std::to_string(i % 5'000) + "\"";
        if (i % 71 == 0) {
            return std::string(i % 3, ' ');
        }
        return "{" + name + (i % 97 == 0 ? ",\"fact\"" : ",\"facts\"") +
               R"(:{"gate-open":"no","guardrail":"complete"}})" + (i % 2 == 0 ? "\r" : "");
    };
    constexpr std::size_t lines = 12'000;
    std::string text;
    std::vector<std::size_t> bad;
    std::vector<std::size_t> repeated;
    std::vector<bool> seen(5'000);
    for (std::size_t i = 1; i <= lines; ++i) {
        text += line_of(i) + "\n";
        if (i % 71 != 0 && i % 97 == 0) {
            bad.push_back(i);
        } else if (i % 71 != 0) {
            if (seen[i % 5'000]) {
                repeated.push_back(i);
            }
            seen[i % 5'000] = true;
        }
    }
    LinesRun run;
    run.search = false;
    run.names = lines;
    run.tell_possible = true;
    for (const unsigned threads : {1U, 3U}) {
        run.threads = threads;
        const Ran ran = run_over(tie_off(), text, run, 50'000);
        REQUIRE(ran.bad.size() == bad.size());
        for (std::size_t i = 0; i < bad.size(); ++i) {
            CHECK(ran.bad[i].line == bad[i]);
            CHECK(ran.bad[i].name == "n" + std::to_string(bad[i] % 5'000));
        }
        REQUIRE(ran.repeated.size() == repeated.size());
        for (std::size_t i = 0; i < repeated.size(); ++i) {
            CHECK(ran.repeated[i].line == repeated[i]);
            CHECK(ran.repeated[i].name == "n" + std::to_string(repeated[i] % 5'000));
        }
    }
}

TEST_CASE("lines: cautions are those of the line, whatever stands between") {
    const std::vector<std::string> cases = {
        R"({"facts":{}})", R"({"facts":{"guardrail":"complete","gate-open":"no"}})",
        R"({"facts":{"industry":"construction","lift-mechanism":"scissor"}})",
        R"({"facts":{"industry":"construction","lift-mechanism":"boom","lift-power":"unheard"}})",
        R"({"facts":{"industry":"construction","lift-mechanism":"boom"}})"};
    LinesRun run;
    run.tell_cautions = true;
    const auto told_of = [&run](const std::string& text) {
        const std::string out = run_over(tie_off(), text, run).out;
        std::vector<std::string> told;
        for (std::size_t at = 0; at < out.size(); at = out.find('\n', at) + 1) {
            const std::size_t from = out.find(',', at);
            told.push_back(out.substr(from, out.find('\n', at) - from));
        }
        return told;
    };
    std::string text;
    std::vector<std::string> alone;
    for (const std::string& line : cases) {
        text += "\n" + line + "\n{\"facts\":7}\r\n  \n";
        alone.push_back(told_of(line).front());
    }
    const std::vector<std::string> told = told_of(text);
    REQUIRE(told.size() == 2 * cases.size());
    for (std::size_t i = 0; i < cases.size(); ++i) {
        CHECK(told[2 * i] == alone[i]);
        CHECK(told[2 * i + 1].find("\"error\"") != std::string::npos);
    }
    CHECK(alone.front() != alone.back());
}

TEST_CASE("lines: limits on length and count") {
    const std::string good = R"({"facts":{"guardrail":"complete"}})";
    const std::string padded = R"({"says":")" + std::string(3'000'000, 'x') + R"(","facts":{}})";
    LinesRun run;
    run.line_bytes = 1'000;
    Ran ran = run_over(tie_off(), good + "\n" + padded + "\n" + good + "\n", run, 4'096);
    CHECK(ran.report.decided == 2);
    REQUIRE(ran.bad.size() == 1);
    CHECK(ran.bad.front().line == 2);
    CHECK(ran.bad.front().says.find("longer than 1000 bytes") != std::string::npos);
    ran = run_over(tie_off(), good + "\n" + padded, run, 4'096);
    CHECK(ran.report.decided == 1);
    CHECK(ran.bad.size() == 1);
    run.most_lines = 2;
    ran = run_over(tie_off(), good + "\n" + good + "\n" + good + "\n", run);
    CHECK(ran.report.decided == 2);
    CHECK(ran.report.ended_early);
    CHECK(run_over(tie_off(), "").report.lines == 0);
}

TEST_CASE("lines: long lines among short ones, up to the limit and beyond") {
    const std::string good = R"({"case":"x","facts":{"guardrail":"complete"}})"
                             "\n";
    const auto line_of = [](std::size_t bytes) {
        const std::string begin = R"({"facts":{"guardrail":"complete"},"says":")";
        return begin + std::string(bytes - begin.size() - 2, 'x') + "\"}\n";
    };
    constexpr std::size_t limit = 900'000;
    LinesRun run;
    run.search = false;
    run.line_bytes = limit;
    for (const std::size_t before : {0U, 1U, 5'000U, 6'000U}) {
        std::string text;
        for (std::size_t i = 0; i < before; ++i) {
            text += good;
        }
        for (const std::size_t bytes : {limit, limit + 1, limit - 1, limit * 2, limit / 3}) {
            text += line_of(bytes) + good + good;
        }
        for (const bool ended : {true, false}) {
            text += ended ? good : line_of(limit).substr(0, limit);
            const Ran ran = run_over(tie_off(), text, run, 100'000);
            CHECK(ran.report.lines == before + 15 + (ended ? 1 : 2));
            REQUIRE(ran.bad.size() == 2);
            CHECK(ran.bad[0].line == before + 4);
            CHECK(ran.bad[1].line == before + 10);
            CHECK(ran.report.decided == ran.report.lines - 2);
            CHECK(static_cast<std::size_t>(std::count(ran.out.begin(), ran.out.end(), '\n')) ==
                  ran.report.lines);
        }
    }
}

TEST_CASE("lines: names come back as they were, in lines and columns, and output may fail") {
    const std::string text =
        "{\"case\":\"a \\\"b\\\" \\u00e9, c\",\"facts\":{}}\n{\"facts\":{}}\n{}\n";
    LinesRun run;
    run.search = false;
    CHECK(run_over(tie_off(), text, run).out.find("\"case\":\"a \\\"b\\\" \\u00e9, c\"") !=
          std::string::npos);
    run.format = LinesFormat::columns;
    const Ran ran = run_over(tie_off(), text, run);
    CHECK(ran.out.starts_with("line,case,tie-off,error\n1,\"a \\\"\"b\\\"\" \\u00e9, c\","));
    CHECK(ran.out.find("\n2,,") != std::string::npos);
    CHECK(ran.out.find("\n3,,,\"") != std::string::npos);
    // C1, a change of direction, a line end of other scripts, DEL: a screen would obey them.
    const std::string hidden =
        "{\"case\":\"x\u00e9\\n\xC2\x9B\u202e\u2028\x7F\U000E0041\",\"facts\":{}}\n";
    const std::string shown = "x\u00e9\\n\\u009b\\u202e\\u2028\\u007f\\udb40\\udc41";
    CHECK(run_over(tie_off(), hidden, run).out.find("\n1,\"" + shown + "\",") != std::string::npos);
    run.format = LinesFormat::lines;
    CHECK(run_over(tie_off(), hidden, run).out.find("\"case\":\"" + shown + "\"") !=
          std::string::npos);
    LinesPorts ports;
    bool given = false;
    ports.read = [&](char* to, std::size_t) {
        const std::size_t size = given ? 0 : text.copy(to, text.size());
        given = true;
        return size;
    };
    ports.write = [](std::string_view) { return false; };
    CHECK(decide_lines(tie_off(), ports, run).output_failed);
}

}  // namespace
