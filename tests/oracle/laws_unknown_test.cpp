// Laws about facts that are not known: learning one never widens an answer, the answer is all that
// the fillings lead to and no more, and the facts said to settle a duty are the ones that do.

#include "oracle/laws.hpp"

#include <doctest/doctest.h>

#include <iostream>
#include <map>

namespace {

using oracle::Ground;
using oracle::is_exact;
using oracle::possible;
using oracle::settled_by;
using oracle::TestCase;
using oracle::World;
using toprail::Decision;
using toprail::Outcome;

/// Past so many fillings a case is left out of the law that decides every one of them.
constexpr std::size_t most_whole_fillings = 48;

struct Figures {
    std::size_t shelves = 0;
    std::size_t asked = 0;
    std::size_t spoke = 0;
};

void print(const char* law, const Figures& figures, const char* asked, const char* spoke) {
    std::cout << "law, " << law << ": " << figures.shelves << " shelves, " << figures.asked << " "
              << asked << ", " << figures.spoke << " " << spoke << "\n";
    CHECK(figures.spoke > figures.shelves / 20);
}

/// Calls `look` with every case of the world that has an answer, and that answer.
template <typename Look>
void for_answers(const World& world, const Ground& ground, Look look) {
    for (const TestCase& test_case : oracle::cases_of(world, ground.oracle)) {
        const auto answer = ask(ground.shelf, test_case);
        if (answer.decision) {
            look(test_case, *answer.decision);
        }
    }
}

void check_narrowing(const Ground& ground, const TestCase& test_case, const Decision& before,
                     Figures& figures) {
    for (const auto& [fact, about] : ground.oracle.model().facts) {
        if (!oracle::is_unknown(test_case, fact)) {
            continue;
        }
        for (const std::string& value : classes_of(ground, test_case, fact)) {
            const TestCase filled = with(test_case, fact, value);
            const auto after = ask(ground.shelf, filled);
            if (!after.decision) {
                continue;  // the value picks a day before some first edition
            }
            for (const std::string& duty : ground.oracle.model().duties) {
                const auto wide = possible(before, duty);
                const auto narrow = possible(*after.decision, duty);
                ++figures.asked;
                figures.spoke += narrow.size() < wide.size() ? 1U : 0U;
                if (is_exact(*after.decision, duty) &&
                    !std::includes(wide.begin(), wide.end(), narrow.begin(), narrow.end())) {
                    broken("learning a fact widened " + duty, filled, fact + " was learnt");
                }
            }
        }
    }
}

/// Of one choice: the values that some answer leaves, and those that all of them leave.
struct Left {
    std::set<std::string> some;
    std::set<std::string> all;
    std::size_t answers = 0;

    void see(const toprail::ChoiceDecision& choice) {
        const std::set<std::string> admissible(choice.admissible.begin(), choice.admissible.end());
        some.insert(admissible.begin(), admissible.end());
        for (const auto& [value, by] : choice.open) {
            some.insert(value);
        }
        if (answers++ == 0) {
            all = admissible;
        }
        std::erase_if(all, [&](const std::string& value) { return admissible.count(value) == 0; });
    }
};

/// What the answers to all fillings of one fact come to together.
struct Union {
    std::map<std::string, std::set<Outcome>> possible;
    std::map<std::string, Left> left;
    std::size_t answers = 0;
    bool exact = true;

    void see(const Ground& ground, const Decision& decision) {
        ++answers;
        for (const std::string& duty : ground.oracle.model().duties) {
            const auto more = oracle::possible(decision, duty);
            possible[duty].insert(more.begin(), more.end());
            exact = exact && is_exact(decision, duty);
        }
        for (const auto& choice : decision.choices) {
            left[choice.choice].see(choice);
            exact = exact && choice.exact;
        }
    }
};

void check_union(const Ground& ground, const TestCase& test_case, const std::string& fact,
                 const Decision& whole, Figures& figures) {
    Union parts;
    for (const std::string& value : classes_of(ground, test_case, fact)) {
        const auto part = ask(ground.shelf, with(test_case, fact, value));
        if (part.decision) {
            parts.see(ground, *part.decision);
        }
    }
    Union one;
    one.see(ground, whole);
    if (parts.answers == 0 || !parts.exact || !one.exact) {
        return;
    }
    for (const std::string& duty : ground.oracle.model().duties) {
        const auto wide = possible(whole, duty);
        ++figures.asked;
        figures.spoke += settled_by(whole, duty).count(fact);
        if (wide != parts.possible[duty]) {
            broken(duty + " is not the union over the values of " + fact, test_case, {});
        }
    }
    for (const auto& [choice, left] : one.left) {
        const Left& others = parts.left[choice];
        // A pack that governs under some values alone lists its choices only there.
        if (others.answers == parts.answers &&
            (left.some != others.some || left.all != others.all)) {
            broken(choice + " is not the union over the values of " + fact, test_case, {});
        }
    }
}

/// Every filling of the facts that are not known, each with the answer to it.
struct Whole {
    std::vector<std::string> facts;
    std::vector<std::vector<std::string>> values;
    std::vector<std::optional<Decision>> decisions;
};

std::optional<Whole> decide_all(const Ground& ground, const TestCase& test_case) {
    Whole whole;
    std::size_t count = 1;
    for (const auto& [fact, about] : ground.oracle.model().facts) {
        if (oracle::is_unknown(test_case, fact)) {
            whole.facts.push_back(fact);
            whole.values.push_back(classes_of(ground, test_case, fact));
            count *= whole.values.back().size();
        }
    }
    if (count == 0 || count > most_whole_fillings) {
        return std::nullopt;
    }
    for (std::size_t number = 0; number < count; ++number) {
        TestCase filled = test_case;
        std::size_t rest = number;
        for (std::size_t i = 0; i < whole.facts.size(); ++i) {
            filled.facts.set(whole.facts[i], whole.values[i][rest % whole.values[i].size()]);
            rest /= whole.values[i].size();
        }
        whole.decisions.push_back(ask(ground.shelf, filled).decision);
    }
    return whole;
}

/// The facts of which two values, all else equal, lead to different outcomes of the duty.
std::set<std::string> that_matter(const Whole& whole, const std::string& duty) {
    std::set<std::string> facts;
    std::size_t stride = 1;
    for (std::size_t i = 0; i < whole.facts.size(); ++i) {
        const std::size_t block = stride * whole.values[i].size();
        for (std::size_t at = 0; at < whole.decisions.size(); ++at) {
            const std::size_t other = at - at % block + at % stride;
            const auto& one = whole.decisions[at];
            for (std::size_t next = other; next < other + block; next += stride) {
                const auto& two = whole.decisions[next];
                if (one && two && possible(*one, duty) != possible(*two, duty)) {
                    facts.insert(whole.facts[i]);
                }
            }
        }
        stride = block;
    }
    return facts;
}

void check_settling(const Ground& ground, const TestCase& test_case, const Decision& decision,
                    Figures& figures) {
    const auto whole = decide_all(ground, test_case);
    if (!whole) {
        return;
    }
    for (const std::string& duty : ground.oracle.model().duties) {
        std::set<Outcome> reached;
        for (const auto& filled : whole->decisions) {
            if (filled && possible(*filled, duty).size() != 1) {
                broken(duty + " is undetermined with every fact known", test_case, {});
            }
            if (filled) {
                reached.merge(possible(*filled, duty));
            }
        }
        if (!is_exact(decision, duty)) {
            continue;
        }
        const auto settling = settled_by(decision, duty);
        ++figures.asked;
        figures.spoke += settling.size();
        if (reached != possible(decision, duty)) {
            broken(duty + " is not what its fillings lead to", test_case, {});
        }
        if (settling != that_matter(*whole, duty)) {
            broken("other facts settle " + duty + " than those listed", test_case, {});
        }
    }
}

TEST_CASE("law: learning a fact only narrows what is possible") {
    Figures figures;
    CHECK(oracle::law_holds(oracle::worlds(10), 1000, [&](const World& world) {
        const Ground ground = oracle::ground_of(oracle::texts_of(world));
        ++figures.shelves;
        for_answers(world, ground, [&](const TestCase& test_case, const Decision& decision) {
            check_narrowing(ground, test_case, decision, figures);
        });
    }));
    print("a fact more", figures, "duties held against themselves", "narrower than before");
}

TEST_CASE("law: an answer is the union over the values of any fact that is not known") {
    Figures figures;
    CHECK(oracle::law_holds(oracle::worlds(10), 1000, [&](const World& world) {
        const Ground ground = oracle::ground_of(oracle::texts_of(world));
        ++figures.shelves;
        for_answers(world, ground, [&](const TestCase& test_case, const Decision& decision) {
            for (const auto& [fact, about] : ground.oracle.model().facts) {
                if (oracle::is_unknown(test_case, fact)) {
                    check_union(ground, test_case, fact, decision, figures);
                }
            }
        });
    }));
    print("the union over one fact", figures, "duties", "times over a fact that settles the duty");
}

TEST_CASE("law: the facts that settle a duty are those of which two values lead apart") {
    Figures figures;
    CHECK(oracle::law_holds(oracle::worlds(20), 1000, [&](const World& world) {
        const Ground ground = oracle::ground_of(oracle::texts_of(world));
        ++figures.shelves;
        for_answers(world, ground, [&](const TestCase& test_case, const Decision& decision) {
            check_settling(ground, test_case, decision, figures);
        });
    }));
    print("settling facts", figures, "duties over all their fillings", "settling facts");
}

}  // namespace
