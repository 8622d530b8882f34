// Facts as a host sets them, few and many.
#include "doctest/doctest.h"
#include "toprail/facts.hpp"

#include <algorithm>
#include <random>
#include <string>
#include <vector>

using namespace toprail;

TEST_CASE("facts: set, replace, remove, in the order of the first setting") {
    Facts facts;
    facts.set("b", "1").set("a", "not known").set("b", "2", "tape");
    REQUIRE(facts.entries().size() == 2);
    CHECK(facts.entries()[0].name == "b");
    CHECK(facts.entries()[0].text == "2");
    CHECK(facts.entries()[0].from == "tape");
    CHECK(facts.entries()[1].state == FactState::not_known);
    facts.remove("b");
    CHECK(facts.find("b") == nullptr);
    facts.remove("b");
    CHECK(facts.entries().size() == 1);
}

// Few are looked through, many are looked up: both must say the same as a plain list.
TEST_CASE("facts: any order of setting and removing, few and many") {
    std::mt19937 random(7);
    Facts facts;
    std::vector<FactEntry> plain;
    std::size_t most = 0;
    for (int step = 0; step < 6000; ++step) {
        const std::string name = "fact-" + std::to_string(random() % 150);
        const auto same = [&](const FactEntry& each) { return each.name == name; };
        // Grows and shrinks by turns, so that it passes from few to many and back.
        const bool growing = step / 1500 % 2 == 0;
        if (random() % 8 < (growing ? 7U : 2U)) {
            FactEntry entry;
            entry.name = name;
            entry.state = FactState::given;
            entry.text = std::to_string(step);
            facts.set(entry);
            const auto found = std::find_if(plain.begin(), plain.end(), same);
            if (found != plain.end()) {
                *found = entry;
            } else {
                plain.push_back(entry);
            }
        } else {
            facts.remove(name);
            std::erase_if(plain, same);
        }
        most = std::max(most, plain.size());
        const auto expected = std::find_if(plain.begin(), plain.end(), same);
        const FactEntry* found = facts.find(name);
        REQUIRE((found != nullptr) == (expected != plain.end()));
        REQUIRE((found == nullptr || found->text == expected->text));
        REQUIRE(facts.entries().size() == plain.size());
    }
    CHECK(most > 100);
    CHECK(plain.size() < 64);
    for (std::size_t i = 0; i < plain.size(); ++i) {
        CHECK(facts.entries()[i].name == plain[i].name);
    }
    const Facts copy(facts.entries());
    CHECK(copy.entries().size() == plain.size());
}

TEST_CASE("facts: made from many entries") {
    std::vector<FactEntry> entries(100);
    for (std::size_t i = 0; i < entries.size(); ++i) {
        entries[i].name = "fact-" + std::to_string(i);
    }
    Facts facts(entries);
    CHECK(facts.find("fact-99") == &facts.entries()[99]);
    CHECK(facts.find("fact-100") == nullptr);
    CHECK(Facts(facts).set("fact-99", "1").entries().size() == 100);
    CHECK(facts.find("fact-99")->text.empty());
}
