// The smallest changes of facts that give another outcome.
#include "support/small_shelf.hpp"
#include "toprail/changes.hpp"

namespace toprail::test {
namespace {

const Shelf& hall() {
    static const Shelf shelf = shelf_of({{"words.yaml", R"(vocabulary: hall
title: Words of an invented hall
standings:
  regulation: {rank: 2, may: [require, relax, limit, explain]}
facts:
  machine: {type: choice, values: [boom, scissor, mast], reads: m, ask: m, why: w}
  height: {type: length, unit: ft, from: 0 ft, to: 500 ft, reads: h, ask: h, why: w}
  rails: {type: yes-no, reads: r, ask: r, why: w}
  night: {type: yes-no, may-not-apply: yes, reads: n, ask: n, why: w}
  made: {type: date, reads: d, ask: d, why: w}
duties:
  tie-off: {asks: t, reads: t}
  lamp: {asks: l, reads: l}
  plate: {asks: p, reads: p}
  never: {asks: n, reads: n}
)"},
                                         {"rules.yaml", R"(rulepack: hall.rules
title: Rules of the hall
format: 1
standing: regulation
vocabulary: [hall]
edition: {from: 2020-01-01, verified-through: 2025-01-01, picked-by: work-date}
provisions:
  - {id: boom, cite: Hall 1, source: read, where: machine is boom, gist: g, duty: tie-off, calls-for: required}
  - {id: high, cite: Hall 2, source: read, where: height is more than 10 ft, gist: g, duty: tie-off, calls-for: required}
  - {id: lamp, cite: Hall 3, source: read, where: {all-of: [night, height is at least 6 ft]}, gist: g, duty: lamp, calls-for: required}
  - {id: plate, cite: Hall 4, source: read, where: made is on or after 2010-01-01, gist: g, duty: plate, calls-for: required}
  - {id: never, cite: Hall 5, source: read, where: {all-of: [rails, not rails]}, gist: g, duty: never, calls-for: required}
)"}});
    return shelf;
}

Facts low() {
    return facts_of({{"machine", "scissor"},
                     {"height", "5 ft"},
                     {"rails", "yes"},
                     {"night", "no"},
                     {"made", "2005-05-05"}});
}

Changes changes(const std::string& duty, std::size_t tries = 20'000) {
    return smallest_changes(hall(), low(), day("2024-06-01"), duty, {}, tries);
}

TEST_CASE("changes: each single fact that gives another outcome, with what it brings in") {
    const Changes found = changes("tie-off");
    CHECK(found.findings.empty());
    CHECK(found.outcome == Outcome::not_addressed);
    CHECK(found.size == 1);
    CHECK(found.proved_smallest);
    CHECK(found.complete);
    REQUIRE(found.changes.size() == 2);
    const Change& machine = found.changes[0];
    CHECK(machine.facts[0].fact == "machine");
    CHECK(machine.facts[0].was == "scissor");
    CHECK(machine.facts[0].now == "machine is boom");
    CHECK(machine.outcome == Outcome::required);
    CHECK(machine.brings_in == std::vector<std::string>{"hall.rules/boom (Hall 1)"});
    CHECK(found.changes[1].facts[0].now == "height is more than 10 ft");
    CHECK(found.changes[1].brings_in == std::vector<std::string>{"hall.rules/high (Hall 2)"});
}

TEST_CASE("changes: pairs where no single fact does it") {
    const Changes found = changes("lamp");
    CHECK(found.size == 2);
    CHECK(found.proved_smallest);
    // Two classes of heights from 6 ft on: the threshold and what lies above it.
    REQUIRE(found.changes.size() >= 1);
    for (const Change& change : found.changes) {
        REQUIRE(change.facts.size() == 2);
        CHECK(change.facts[0].fact == "height");
        CHECK(change.facts[1].now == "night is yes");
        CHECK(change.outcome == Outcome::required);
    }
}

TEST_CASE("changes: days are told as days") {
    const Changes found = changes("plate");
    REQUIRE(found.changes.size() == 1);
    CHECK(found.changes[0].facts[0].now == "made is on or after 2010-01-01");
}

TEST_CASE("changes: an outcome that nothing can change is proved to be one") {
    const Changes found = changes("never");
    CHECK(found.size == 0);
    CHECK(found.changes.empty());
    CHECK(found.proved_smallest);
}

TEST_CASE("changes: a required duty falls away, and the provision with it") {
    Facts facts = low();
    facts.set("height", "12 ft");
    const Changes found = smallest_changes(hall(), facts, day("2024-06-01"), "tie-off");
    REQUIRE(found.changes.size() == 1);
    CHECK(found.changes[0].facts[0].now == "height is at most 10 ft");
    CHECK(found.changes[0].takes_away == std::vector<std::string>{"hall.rules/high (Hall 2)"});
}

TEST_CASE("changes: of an open outcome those are told that decide it") {
    const Shelf shelf =
        small_shelf(requires_tie_off("rule", "{all-of: [gate-open, height is more than 10 ft]}"));
    const Changes found =
        smallest_changes(shelf, facts_of({{"height", "12 ft"}}), day("2024-06-01"), "tie-off");
    CHECK(found.outcome == Outcome::undetermined);
    REQUIRE(found.changes.size() == 1);
    REQUIRE(found.changes[0].facts.size() == 1);
    CHECK(found.changes[0].facts[0].now == "height is at most 10 ft");
    CHECK(found.changes[0].outcome == Outcome::not_addressed);
}

TEST_CASE("changes: a search that was cut short claims nothing") {
    const Changes found = changes("lamp", 8);
    CHECK_FALSE(found.proved_smallest);
    CHECK_FALSE(found.complete);
}

TEST_CASE("changes: an unknown duty and unusable facts are findings") {
    CHECK(has_error(changes("tie-of").findings));
    Facts facts = low();
    facts.set("height", "tall");
    CHECK(has_error(smallest_changes(hall(), facts, day("2024-06-01"), "tie-off").findings));
}

}  // namespace
}  // namespace toprail::test
