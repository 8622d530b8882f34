// Facts handed in by a host: what is refused, what is kept, and what taking one away does.
#include "reading/facts_node.hpp"
#include "shelf/shelf_data.hpp"
#include "support/small_shelf.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace toprail;
using namespace toprail::test;

namespace {

std::vector<std::string> codes(const Answer& answer) {
    std::vector<std::string> all;
    for (const Finding& finding : answer.findings) {
        all.emplace_back(finding.code);
    }
    return all;
}

}  // namespace

TEST_CASE("facts: an unreadable one leaves no decision and no guess") {
    const Shelf shelf = small_shelf(requires_tie_off("rule"));
    for (const auto& [fact, text, code] :
         std::initializer_list<std::tuple<const char*, const char*, const char*>>{
             {"mechanism", "crane", "unreadable-fact"},
             {"mechanism", "Boom", "unreadable-fact"},
             {"gate-open", "maybe", "unreadable-fact"},
             {"height", "14", "unreadable-fact"},
             {"height", "14 lb", "unreadable-fact"},
             {"height", "", "unreadable-fact"},
             {"height", "nan ft", "unreadable-fact"},
             {"height", "501 ft", "out-of-range"},
             {"height", "-1 in", "out-of-range"},
             {"persons", "1.5", "unreadable-fact"},
             {"persons", "21", "out-of-range"},
             {"made-on", "2024-06-31", "unreadable-fact"},
             {"height", "does not apply", "cannot-be-absent"},
             {"hieght", "14 ft", "unknown-fact"},
             {"tie-off", "yes", "unknown-fact"},
             {"reach", "3 ft", "unknown-fact"}}) {
        const char* const name = fact;  // Clang 14: a lambda may not take a binding
        const char* const value = text;
        CAPTURE(name);
        CAPTURE(value);
        const Answer answer = shelf.decide(facts_of({{name, value}}), day("2024-06-01"));
        CHECK_FALSE(answer.decision);
        CHECK(codes(answer) == std::vector<std::string>{code});
    }
}

TEST_CASE("facts: what is refused is told with what would be taken") {
    const Shelf shelf = small_shelf(requires_tie_off("rule"));
    const auto told = [&shelf](const char* fact, const char* text) {
        const Answer answer = shelf.decide(facts_of({{fact, text}}), day("2024-06-01"));
        REQUIRE(answer.findings.size() == 1);
        return answer.findings[0].message + ": " + answer.findings[0].help;
    };
    for (const auto& [fact, text, message] :
         std::initializer_list<std::tuple<const char*, const char*, const char*>>{
             {"mechanism", "crane",
              "\"crane\" is no value of mechanism: it takes boom, scissor or mast, or \"not "
              "known\""},
             {"mechanism", "scisor", "\"scisor\" is no value of mechanism: did you mean scissor?"},
             {"gate-open", "maybe",
              "\"maybe\" is no value of gate-open: it takes yes or no, or \"not known\""},
             {"height", "14",
              "\"14\" is no value of height: it takes a number with a unit (in, ft, yd, mm, cm, m "
              "or km), or \"not known\""},
             {"height", "501 ft", "\"501 ft\" is no sensible height: it lies from 0 ft to 500 ft"},
             {"depth", "-1 ft", "\"-1 ft\" is no sensible depth: it is at least 0 ft"},
             {"persons", "1.5",
              "\"1.5\" is no value of persons: it takes a whole number, or \"not known\""},
             {"made-on", "6/1/2024",
              "\"6/1/2024\" is no value of made-on: write an existing day as year-month-day, such "
              "as 2024-06-01, or \"not known\""},
             {"made-on", "2024.6.1",
              "\"2024.6.1\" is no value of made-on: write 2024-06-01, or \"not known\""},
             {"mechanism", "does not apply",
              "\"mechanism\" always applies: it takes boom, scissor or mast, or \"not known\""},
             {"hieght", "14 ft", "no fact is called \"hieght\": did you mean height?"},
             {"q", "3 ft", "no fact is called \"q\": the facts are listed in the vocabularies"}}) {
        const char* const name = fact;  // Clang 14: a lambda may not take a binding
        const char* const value = text;
        CHECK(told(name, value) == message);
    }
}

TEST_CASE("facts: every unusable one is told, not only the first") {
    const Shelf shelf = small_shelf(requires_tie_off("rule"));
    const Answer answer =
        shelf.decide(facts_of({{"hieght", "1 ft"}, {"mechanism", "crane"}, {"persons", "99"}}),
                     day("2024-06-01"));
    CHECK(codes(answer) ==
          std::vector<std::string>{"unknown-fact", "unreadable-fact", "out-of-range"});
    CHECK(answer.findings.front().help == "did you mean height?");
}

TEST_CASE("facts: what a host hands in without bounds is refused, and not told back") {
    const Shelf shelf = small_shelf(requires_tie_off("rule"));
    const std::string most(20'000, 'a');
    const auto told = [&shelf](const char* name, const std::string& value,
                               const std::string& from) {
        Facts facts;
        facts.set(name, value, from);
        const Answer answer = shelf.decide(facts, day("2024-06-01"));
        CHECK_FALSE(answer.decision);
        return codes(answer).front() + ": " + answer.findings.front().message;
    };
    CHECK(told("height", most + "a", "") ==
          "long-text: the name, value or source of \"height\" is too long");
    CHECK(told("height", "14 ft", most + "a") ==
          "long-text: the name, value or source of \"height\" is too long");
    CHECK(told((most + "a").c_str(), "14 ft", "") ==
          "long-text: the name, value or source of a fact is too long");
    CHECK(told(most.c_str(), "14 ft", "").starts_with("unknown-fact: "));
    CHECK(told("height", most, "").starts_with("unreadable-fact: "));
    Facts sourced;
    sourced.set("height", "14 ft", most);
    CHECK(shelf.decide(sourced, day("2024-06-01")).decision);
}

TEST_CASE("facts: of a name that stands twice no value is chosen") {
    const Shelf shelf = small_shelf(requires_tie_off("rule"));
    FactEntry low{"height", FactState::given, "5 ft", {}, {}, {}};
    FactEntry high = low;
    high.text = "50 ft";
    const Answer answer = shelf.decide(Facts({low, high}), day("2024-06-01"));
    CHECK_FALSE(answer.decision);
    CHECK(codes(answer) == std::vector<std::string>{"duplicate-key"});
    CHECK(shelf.decide(Facts({high}), day("2024-06-01")).decision);
}

TEST_CASE("facts: the decision keeps the person's own figure and its source") {
    const Shelf shelf = small_shelf(requires_tie_off("rule", "height is more than 10 ft"));
    Facts facts;
    facts.set("height", "3.2 m", "tape measure");
    const Decision decision = decided(shelf, facts);
    REQUIRE(decision.facts.size() == 1);
    CHECK(decision.facts.front().text == "3.2 m");
    CHECK(decision.facts.front().from == "tape measure");
    REQUIRE(decision.trail.size() == 1);
    REQUIRE(decision.trail.front().because.size() == 1);
    CHECK(decision.trail.front().because.front().says.find("3.2 m") != std::string::npos);
    CHECK(decision.trail.front().because.front().says.find("10 ft") != std::string::npos);
    CHECK(decision.trail.front().because.front().facts == std::vector<std::string>{"height"});
}

TEST_CASE("facts: the order in which they are given changes nothing") {
    const Shelf shelf = small_shelf(
        requires_tie_off("rule", "{all-of: [gate-open, height is more than 1 ft, roofed]}"));
    const Decision one =
        decided(shelf, {{"gate-open", "yes"}, {"height", "2 ft"}, {"roofed", "no"}});
    const Decision other =
        decided(shelf, {{"roofed", "no"}, {"height", "2 ft"}, {"gate-open", "yes"}});
    REQUIRE(one.facts.size() == other.facts.size());
    for (std::size_t i = 0; i < one.facts.size(); ++i) {
        CHECK(one.facts[i].name == other.facts[i].name);
    }
    CHECK(tie_off(one).outcome == tie_off(other).outcome);
}

// Take one fact out of a shipped worked case. The answer may stay, when another fact decides it
// too; if it turns, then into "undetermined", which names that fact, and no other one that was
// given.
TEST_CASE("facts: one line taken out of a worked case is asked for by name") {
    const Shelf& shelf = shipped_shelf();
    std::size_t turned = 0;
    std::size_t alone = 0;  // of those, the fact is the only one named
    std::size_t stayed = 0;
    for (const char* pack_id : {"us.federal.scaffolds", "us.federal.vehicle-mounted-platforms",
                                "us.federal.construction-fall-protection"}) {
        for (const Rulepack& pack : shelf.data().model.packs) {
            if (pack.id != pack_id) {
                continue;
            }
            for (const WorkedCase& worked : pack.cases) {
                Findings ignored;
                const Facts whole = read_fact_entries(*worked.facts, ignored);
                DecideOptions options;
                options.authorities = {pack.id};
                const std::string on = (worked.on ? *worked.on : *pack.verified_through).text();
                const Decision before = decided(shelf, whole, on, options);
                for (const FactEntry& entry : whole.entries()) {
                    Facts less = whole;
                    less.remove(entry.name);
                    const Decision after = decided(shelf, less, on, options);
                    for (const DutyDecision& duty : before.duties) {
                        if (duty.outcome == Outcome::undetermined) {
                            continue;
                        }
                        const DutyDecision* now = after.duty(duty.duty);
                        REQUIRE(now != nullptr);
                        if (now->outcome == duty.outcome) {
                            ++stayed;
                            continue;
                        }
                        ++turned;
                        CHECK_MESSAGE(now->outcome == Outcome::undetermined, pack.id, ": ",
                                      worked.name, " without ", entry.name);
                        const auto named = [&](const std::string& name) {
                            return std::count(now->settled_by.begin(), now->settled_by.end(),
                                              name) == 1;
                        };
                        CHECK_MESSAGE(named(entry.name), pack.id, ": ", worked.name, " without ",
                                      entry.name);
                        for (const FactEntry& other : less.entries()) {
                            CHECK_MESSAGE(
                                (other.state == FactState::not_known || !named(other.name)),
                                pack.id, ": ", worked.name, " names ", other.name);
                        }
                        alone += now->settled_by.size() == 1 ? 1U : 0U;
                        CHECK(std::count(now->possible.begin(), now->possible.end(),
                                         duty.outcome) == 1);
                    }
                }
            }
        }
    }
    CHECK(turned > 0);
    CHECK(alone > 0);
    CHECK(stayed > 0);
}

TEST_CASE("facts: a check finds what deciding would find, and nothing where it would answer") {
    const Shelf shelf =
        shelf_of({small_vocabulary(), small_pack("provisions:\n" + requires_tie_off("rule"))});
    DecideOptions stranger;
    stranger.authorities = {"test.other"};
    for (const auto& [facts, on, how] : std::vector<std::tuple<Facts, const char*, DecideOptions>>{
             {facts_of({{"height", "14 ft"}}), "2024-06-01", {}},
             {facts_of({{"height", "14"}}), "2024-06-01", {}},
             {facts_of({{"hieght", "14 ft"}, {"gate-open", "maybe"}}), "2024-06-01", {}},
             {facts_of({{"height", "14 ft"}}), "1999-12-31", {}},
             {facts_of({{"height", "14 ft"}}), "2024-06-01", stranger}}) {
        const Answer answer = shelf.decide(facts, day(on), how);
        const std::vector<Finding> found = shelf.check(facts, day(on), how);
        CHECK(has_error(found) == !answer.decision);
        CHECK(told(found) == told(answer.findings));
    }
}
