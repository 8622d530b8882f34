// Entry points: cases_of, some_value, show.

#include "oracle/breaks.hpp"
#include "oracle/world_builder.hpp"

#include <fmt/format.h>

namespace oracle {

namespace {

void give(TestCase& test_case, const Fact& fact, std::uint8_t pick) {
    test_case.facts.set(fact.name, some_value(fact, pick));
}

/// Gives values until the fillings are few enough and no comparison rests on two unknown numbers.
void settle_most(TestCase& test_case, const Oracle& oracle, std::uint8_t pick) {
    const auto& facts = oracle.model().facts;
    const auto unknown = [&](const std::string& name) {
        const auto* entry = test_case.facts.find(name);
        return entry == nullptr || entry->state == toprail::FactState::not_known;
    };
    for (const auto& group : facts_that_meet(oracle.model())) {
        bool free = true;
        for (const std::string& name : group) {
            if (unknown(name) && !free) {
                give(test_case, facts.at(name), pick);
            }
            free = free && !unknown(name);
        }
    }
    while (true) {
        std::size_t product = 1;
        std::size_t most = 0;
        const Fact* widest = nullptr;
        for (const auto& [name, fact] : facts) {
            const std::size_t count = oracle.values_of(test_case.facts, test_case.on, name).size();
            product *= count;
            if (unknown(name) && count > most) {
                most = count;
                widest = &fact;
            }
        }
        if (product <= most_fillings || widest == nullptr) {
            return;
        }
        give(test_case, *widest, pick);
    }
}

}  // namespace

std::string some_value(const Fact& fact, std::uint8_t pick) {
    static const Texts plain{"2", "0.5", "3", "1.5", "0.25", "7"};
    static const Texts feet{"5 ft",    "6 ft",  "72 in",     "4 ft",
                            "3.048 m", "12 ft", "2 ft 6 in", "1 mm"};
    static const Texts loads{"1,000 lbf", "8 kN", "900 lbf", "2 kN", "8000 N"};
    static const Texts spans{"5 min", "301 s", "6 min", "2 min"};
    static const Texts whole{"2", "1", "3"};
    static const Texts moments{"2010-01-01", "2009-12-31", "2012-07-01", "2005-06-30",
                               "2015-03-01", "2015-03-02", "2005-07-01"};
    static const Texts yes_no{"no", "yes"};
    const Texts& list = fact.type == Type::yes_no                     ? yes_no
                        : fact.type == Type::choice                   ? fact.values
                        : fact.type == Type::date                     ? moments
                        : fact.type == Type::count                    ? whole
                        : fact.dimension == toprail::length_dimension ? feet
                        : fact.dimension == toprail::force_dimension  ? loads
                        : fact.dimension == toprail::time_dimension   ? spans
                                                                      : plain;
    return list[pick % list.size()];
}

std::vector<TestCase> cases_of(const World& world, const Oracle& oracle) {
    static const Texts deciding{"2012-05-05", "2010-01-01", "2009-12-31", "2015-03-02",
                                "2005-06-30"};
    std::vector<TestCase> cases;
    for (const Tape& tape : world.cases) {
        Draw draw(tape);
        TestCase test_case;
        test_case.on = *Date::parse(draw.from(deciding));
        for (const auto& [authority, editions] : oracle.model().authorities) {
            if (draw.one_in(6)) {
                test_case.authorities.push_back(authority);
            }
        }
        for (const auto& [name, fact] : oracle.model().facts) {
            const std::size_t state = draw.pick(5);
            const auto pick = static_cast<std::uint8_t>(draw.pick(240));
            if (state == 4 && fact.may_not_apply) {
                test_case.facts.set(name, "does not apply");
            } else if (state >= 2) {
                give(test_case, fact, pick);
            }
        }
        settle_most(test_case, oracle, static_cast<std::uint8_t>(draw.pick(240)));
        cases.push_back(std::move(test_case));
    }
    return cases;
}

std::string show(const TestCase& test_case) {
    std::string text = fmt::format("decided on {}", test_case.on.text());
    for (const auto& authority : test_case.authorities) {
        text += ", under " + authority;
    }
    for (const auto& entry : test_case.facts.entries()) {
        text += fmt::format("\n  {}: {}", entry.name,
                            entry.state == toprail::FactState::does_not_apply ? "does not apply"
                                                                              : entry.text);
    }
    return text + "\n";
}

}  // namespace oracle
