// Laws about what an answer does not hang on: the order in which packs are written, the units in
// which figures are given, facts that no pack mentions, and the day inside one edition.

#include "oracle/laws.hpp"
#include "oracle/rewrite.hpp"
#include "toprail/telling.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <iostream>

namespace {

using oracle::essence;
using oracle::Ground;
using oracle::Rewriting;
using oracle::TestCase;
using oracle::World;
using Texts = std::vector<toprail::SourceText>;
using Seeded = std::pair<World, std::uint64_t>;

struct Figures {
    std::size_t shelves = 0;
    std::size_t asked = 0;
    std::size_t spoke = 0;
};

rc::Gen<Seeded> seeded_worlds(int cases) {
    return rc::gen::pair(oracle::worlds(cases), rc::gen::inRange<std::uint64_t>(0, 1'000'000));
}

/// Whether the answer says anything that a slip could change.
bool says_something(const toprail::Answer& answer) {
    return answer.decision &&
           std::any_of(
               answer.decision->duties.begin(), answer.decision->duties.end(),
               [](const auto& duty) { return duty.outcome != toprail::Outcome::not_addressed; });
}

Texts rewritten(Texts texts, Rewriting rewriting, std::uint64_t seed) {
    for (auto& text : texts) {
        text = oracle::rewritten(text, rewriting, seed++);
    }
    return texts;
}

bool texts_differ(const Texts& one, const Texts& other) {
    return !std::equal(one.begin(), one.end(), other.begin(), other.end(),
                       [](const auto& a, const auto& b) { return a.text == b.text; });
}

TestCase in_other_units(TestCase test_case, const Ground& ground, std::uint64_t seed) {
    const auto entries = test_case.facts.entries();
    for (const auto& entry : entries) {
        const auto& fact = ground.oracle.model().facts.at(entry.name);
        if (fact.type == oracle::Type::measured && entry.state == toprail::FactState::given) {
            test_case.facts.set(entry.name, oracle::in_other_units(entry.text, seed++));
        }
    }
    return test_case;
}

void check_rewriting(const Seeded& seeded, Rewriting rewriting, Figures& figures) {
    const auto& [world, seed] = seeded;
    const Texts texts = oracle::texts_of(world);
    const Ground ground = oracle::ground_of(texts);
    const Texts others = rewritten(texts, rewriting, seed);
    const Ground other = oracle::ground_of(others);
    const bool differs = texts_differ(others, rewritten(texts, Rewriting::nothing, seed));
    ++figures.shelves;
    for (const TestCase& test_case : oracle::cases_of(world, ground.oracle)) {
        const TestCase same =
            rewriting == Rewriting::units ? in_other_units(test_case, ground, seed) : test_case;
        const auto one = ask(ground.shelf, test_case);
        ++figures.asked;
        figures.spoke += differs && says_something(one) ? 1U : 0U;
        same_essence("another way of writing changes an answer", same, one, ask(other.shelf, same));
    }
}

void print(const std::string& law, const Figures& figures, const char* asked, const char* spoke) {
    std::cout << "law, " << law << ": " << figures.shelves << " shelves, " << figures.asked << " "
              << asked << ", " << figures.spoke << " " << spoke << "\n";
    CHECK(figures.spoke > figures.shelves / 4);
}

void rewriting_changes_nothing(const std::string& law, Rewriting rewriting) {
    Figures figures;
    CHECK(oracle::law_holds(seeded_worlds(20), 300, [&](const Seeded& seeded) {
        check_rewriting(seeded, rewriting, figures);
    }));
    print(law, figures, "cases", "of them rewritten and with a duty addressed");
}

TEST_CASE("law: the order of provisions changes nothing") {
    rewriting_changes_nothing("order of provisions", Rewriting::provision_order);
}

TEST_CASE("law: the order of keys changes nothing") {
    rewriting_changes_nothing("order of keys", Rewriting::key_order);
}

TEST_CASE("law: the order of the parts of a condition and of lists of names changes nothing") {
    rewriting_changes_nothing("order of parts", Rewriting::part_order);
}

TEST_CASE("law: the units of figures change nothing") {
    rewriting_changes_nothing("units", Rewriting::units);
}

TEST_CASE("law: the order of files changes nothing, to the byte") {
    Figures figures;
    CHECK(oracle::law_holds(oracle::worlds(20), 300, [&](const World& world) {
        Texts texts = oracle::texts_of(world);
        const Ground ground = oracle::ground_of(texts);
        std::reverse(texts.begin(), texts.end());
        const Ground reversed = oracle::ground_of(texts);
        ++figures.shelves;
        for (const TestCase& test_case : oracle::cases_of(world, ground.oracle)) {
            const auto one = ask(ground.shelf, test_case);
            const auto other = ask(reversed.shelf, test_case);
            same_essence("another order of files changes an answer", test_case, one, other);
            if (one.decision && other.decision) {
                std::string json;
                std::string other_json;
                append_json(json, *one.decision, "case");
                append_json(other_json, *other.decision, "case");
                ++figures.asked;
                figures.spoke += says_something(one) ? 1U : 0U;
                if (json != other_json) {
                    broken("another order of files changes the bytes", test_case,
                           json + "\n" + other_json);
                }
            }
        }
    }));
    print("order of files", figures, "cases", "of them with a duty addressed");
}

/// Facts that stand in no text but their own definition.
std::vector<std::string> unmentioned(const Texts& texts, const Ground& ground) {
    std::vector<std::string> facts;
    for (const auto& [name, fact] : ground.oracle.model().facts) {
        std::size_t times = 0;
        for (const auto& text : texts) {
            for (auto at = text.text.find(name); at != std::string::npos;
                 at = text.text.find(name, at + 1)) {
                ++times;
            }
        }
        if (times == 1) {
            facts.push_back(name);
        }
    }
    return facts;
}

TEST_CASE("law: a fact that no condition mentions changes nothing") {
    static const std::vector<std::pair<std::string, std::vector<std::string>>> kinds{
        {"type: yes-no", {"yes", "no"}},
        {"type: choice, values: [red, blue]", {"red", "blue"}},
        {"type: length, unit: ft, from: 0 ft", {"6 ft", "0 ft"}},
        {"type: count, from: 0, to: 3", {"0", "2"}},
        {"type: date", {"2005-06-30", "2015-03-02"}}};
    Figures figures;
    std::size_t idle = 0;
    CHECK(oracle::law_holds(seeded_worlds(15), 300, [&](const Seeded& seeded) {
        const auto& [world, seed] = seeded;
        const auto& [kind, values] = kinds[seed % kinds.size()];
        Texts texts = oracle::texts_of(world);
        const Ground without = oracle::ground_of(texts);
        const auto idle_facts = unmentioned(texts, without);
        texts.push_back(
            {"more.yaml", fmt::format("vocabulary: more\ntitle: More\nfacts:\n  bystander: {{{}, "
                                      "reads: r, ask: q, why: w, may-not-apply: yes}}\n",
                                      kind)});
        const Ground ground = oracle::ground_of(texts);
        ++figures.shelves;
        for (const TestCase& test_case : oracle::cases_of(world, without.oracle)) {
            const auto before = ask(without.shelf, test_case);
            for (const std::string& state :
                 {std::string("not known"), std::string("does not apply"), values[0], values[1]}) {
                same_essence("a bystander changes an answer", test_case, before,
                             ask(ground.shelf, with(test_case, "bystander", state)));
                ++figures.asked;
                figures.spoke += says_something(before) ? 1U : 0U;
            }
            for (const std::string& fact : idle_facts) {
                for (const std::string& value : classes_of(without, test_case, fact)) {
                    ++idle;
                    same_essence("a fact without a mention changes an answer", test_case, before,
                                 ask(without.shelf, with(test_case, fact, value)));
                }
            }
        }
    }));
    std::cout << "law, facts without a mention: " << idle << " values of the shelves' own facts\n";
    print("facts without a mention", figures, "answers with a bystander", "with a duty addressed");
    CHECK(idle > figures.shelves);
}

/// First days of the stretches between which something other than facts may turn over.
std::set<toprail::Date> turning_days(const oracle::Model& model) {
    std::set<toprail::Date> days;
    const auto add = [&](const oracle::Period& period) {
        if (period.from) {
            days.insert(*period.from);
        }
        if (period.until) {
            days.insert(toprail::Date::from_days(period.until->days() + 1));
        }
    };
    for (const auto& [authority, editions] : model.authorities) {
        for (const auto& edition : editions) {
            add(edition->period);
            for (const auto& provision : edition->provisions) {
                if (provision.in_force) {
                    add(*provision.in_force);
                }
            }
        }
    }
    return days;
}

TEST_CASE("law: a work date moved inside one edition and one time in force changes nothing") {
    Figures figures;
    std::size_t turned = 0;
    CHECK(oracle::law_holds(oracle::worlds(20), 300, [&](const World& world) {
        const Ground ground = oracle::ground_of(oracle::texts_of(world));
        const auto days = turning_days(ground.oracle.model());
        ++figures.shelves;
        for (const TestCase& test_case : oracle::cases_of(world, ground.oracle)) {
            const auto next = days.upper_bound(test_case.on);
            if (next == days.begin()) {
                continue;
            }
            const auto answer = ask(ground.shelf, test_case);
            TestCase moved = test_case;
            const int first = std::prev(next)->days();
            const int last = next == days.end() ? test_case.on.days() + 5000 : next->days() - 1;
            for (const int day : {first, (first + last) / 2, last}) {
                moved.on = toprail::Date::from_days(day);
                ++figures.asked;
                figures.spoke += moved.on != test_case.on && says_something(answer) ? 1U : 0U;
                same_essence("the day inside one edition changes an answer", moved, answer,
                             ask(ground.shelf, moved));
            }
            if (next != days.end()) {
                moved.on = *next;
                turned += essence(ask(ground.shelf, moved)) != essence(answer) ? 1U : 0U;
            }
        }
    }));
    print("the day inside one edition", figures, "days", "other days with a duty addressed");
    std::cout << "law, the day inside one edition: " << turned
              << " answers changed on the day after\n";
    CHECK(turned > 0);
}

}  // namespace
