// One case by strips, on every kind of vectors there is, held against truth tables of three values
// applied to the circuit gate by gate.
#include "bulk/lower_strips.hpp"
#include "bulk/run.hpp"
#include "toprail/bulk.hpp"

#include <doctest/doctest.h>

#include <random>
#include <string_view>
#include <vector>

namespace {

using namespace toprail;
using namespace toprail::bulk;

/// As in single_facts.hpp, but by the definitions alone.
std::uint8_t value_of(const std::vector<Gate>& gates, Literal literal,
                      const std::vector<std::uint8_t>& bytes, std::vector<int>& known) {
    int& value = known[literal / 2];
    const Gate& gate = gates[literal / 2];
    if (value < 0 && gate.kind == Gate::Kind::constant) {
        value = literal / 2 == 0 ? value_false : value_open;
    } else if (value < 0 && gate.kind == Gate::Kind::leaf) {
        const std::uint8_t byte = bytes[gate.fact];
        const bool unset = byte >= byte_does_not_apply;
        if (gate.leaf == leaf_given) {
            value = unset ? value_false : value_true;
        } else if (gate.leaf == leaf_applies) {
            value = byte == byte_not_known ? value_open : unset ? value_false : value_true;
        } else {
            value = unset ? value_open : (byte >> gate.leaf) % 2 == 1 ? value_true : value_false;
        }
    } else if (value < 0) {
        bool some_open = false;
        bool some_false = false;
        for (const Literal operand : gate.operands) {
            const std::uint8_t each = value_of(gates, operand, bytes, known);
            some_open = some_open || each == value_open;
            some_false = some_false || each == value_false;
        }
        known[literal / 2] = some_false ? value_false : some_open ? value_open : value_true;
    }
    const auto plain = static_cast<std::uint8_t>(known[literal / 2]);
    return literal % 2 == 0 || plain == value_open ? plain
                                                   : static_cast<std::uint8_t>(value_true - plain);
}

struct Rules {
    Circuit circuit;
    std::vector<std::size_t> classes;
    std::vector<OutcomeRoots> roots;
    std::vector<StatusRoots> rows;

    [[nodiscard]] Strips strips(std::size_t most_bytes = most_strip_bytes) const {
        // Strips are to be the shorter way, whatever they cost.
        OneCase by_bytes = lower_one_case(circuit, roots, rows);
        by_bytes.operands.resize(10'000'000);
        return lower_strips(circuit, roots, rows, classes, by_bytes, most_bytes);
    }
};

Literal some_leaf(Rules& rules, std::mt19937& random) {
    const auto fact = static_cast<std::uint32_t>(random() % rules.classes.size());
    const std::uint8_t leaves[] = {0, 0, 0, 1, 1, 2, leaf_applies, leaf_given};
    const Literal leaf = rules.circuit.leaf(fact, leaves[random() % 8]);
    return random() % 2 == 0 ? leaf : negate(leaf);
}

Literal gate_over(Circuit& circuit, bool any, std::vector<Literal> operands) {
    return any ? circuit.any(std::move(operands)) : circuit.all(std::move(operands));
}

/// Gates over gates, some of them shared, some over constants.
Rules drawn_rules(std::mt19937& random, std::size_t gates) {
    Rules rules;
    for (std::size_t f = 0; f < 6 + random() % 8; ++f) {
        rules.classes.push_back(1 + random() % 8);
    }
    std::vector<Literal> made{open, never, always};
    for (std::size_t g = 0; g < gates; ++g) {
        std::vector<Literal> operands;
        for (std::size_t i = 0; i < 2 + random() % 4; ++i) {
            const Literal below = made[made.size() - 1 - random() % std::min(made.size(), gates)];
            operands.push_back(random() % 3 != 0   ? some_leaf(rules, random)
                               : random() % 2 == 0 ? below
                                                   : negate(below));
        }
        made.push_back(gate_over(rules.circuit, random() % 2 == 0, std::move(operands)));
    }
    const auto some = [&] { return made[random() % made.size()]; };
    for (std::size_t d = 0; d < 2; ++d) {
        std::vector<Literal> all;
        for (std::size_t i = 0; i < random() % 90; ++i) {
            all.push_back(rules.circuit.all({some(), some()}));
        }
        rules.roots.push_back({rules.circuit.any(all), some(), rules.circuit.any({some(), some()}),
                               random() % 3 == 0 ? some() : never});
    }
    rules.rows.push_back({rules.roots[0].required, rules.roots[1].required, never});
    for (std::size_t r = 0; r < random() % 40; ++r) {
        rules.rows.push_back({some(), random() % 2 == 0 ? never : some(), never});
    }
    return rules;
}

std::vector<std::uint8_t> drawn_case(const Rules& rules, std::mt19937& random) {
    std::vector<std::uint8_t> bytes;
    for (const std::size_t classes : rules.classes) {
        const std::size_t kind = random() % 8;
        bytes.push_back(kind == 0   ? byte_not_known
                        : kind == 1 ? byte_does_not_apply
                                    : static_cast<std::uint8_t>(random() % classes));
    }
    return bytes;
}

std::uint8_t outcome_of(const std::vector<std::uint8_t>& values) {
    const std::uint8_t outcomes[] = {0, 1, 2, byte_no_answer};
    for (const std::size_t i : {3U, 0U, 1U, 2U}) {
        if (values[i] != value_false) {
            return values[i] == value_open ? byte_open : outcomes[i];
        }
    }
    return 3;
}

/// The value of a row by strips.
std::uint8_t row_value(const std::vector<std::uint64_t>& words, std::uint32_t at) {
    const std::size_t pair = at / 64;
    if (2 * pair >= words.size()) {
        return value_false;
    }
    return static_cast<std::uint8_t>((words[2 * pair] >> at % 64 & 1U) |
                                     (words[2 * pair + 1] >> at % 64 & 1U) << 1U);
}

void hold_case(const Rules& rules, const Strips& strips, const std::vector<std::uint8_t>& bytes) {
    const std::vector<Gate>& gates = rules.circuit.gates();
    std::vector<int> known(gates.size(), -1);
    const auto expected = [&](Literal literal) { return value_of(gates, literal, bytes, known); };
    const StripsView view = strips.view();
    for (const std::string_view name : BulkPlan::vectors()) {
        const Kernel& kernel = kernel_named(name);
        REQUIRE(kernel.name == name);
        for (std::size_t d = 0; d < rules.roots.size(); ++d) {
            const OutcomeRoots& duty = rules.roots[d];
            const std::vector<std::uint8_t> values{expected(duty.required), expected(duty.excepted),
                                                   expected(duty.not_required),
                                                   expected(duty.no_answer)};
            const StripRange* const ranges = strips.outcomes[d].data();
            REQUIRE(kernel.outcome(view, ranges, bytes.data()) == outcome_of(values));
            for (std::size_t i = 0; i < 4; ++i) {
                REQUIRE(kernel.value(view, ranges[i], bytes.data()) == values[i]);
            }
        }
        if (strips.stands.empty()) {
            continue;
        }
        const std::size_t count = strips.strips.size() - strips.first_status_strip;
        std::vector<std::uint64_t> words(count * words_of_strip);
        kernel.write(view, strips.first_status_strip, count, bytes.data(), words.data());
        std::vector<std::uint8_t> stands;
        std::vector<std::uint8_t> displaced(rules.rows.size(), value_false);
        for (const std::uint32_t at : strips.stands) {
            stands.push_back(row_value(words, at));
        }
        for (const auto& each : strips.displaced) {
            displaced[each.row] = row_value(words, each.at);
        }
        for (const auto& each : strips.wide_stands) {
            REQUIRE(stands[each.row] == value_false);
            stands[each.row] = kernel.value(view, each.at, bytes.data());
        }
        for (const auto& each : strips.wide_displaced) {
            displaced[each.row] = kernel.value(view, each.at, bytes.data());
        }
        for (std::size_t r = 0; r < rules.rows.size(); ++r) {
            REQUIRE(stands[r] == expected(rules.rows[r].stands));
            REQUIRE(displaced[r] == expected(rules.rows[r].displaced));
        }
    }
}

TEST_CASE("strips: drawn rules come to what their truth tables say, on all vectors") {
    std::mt19937 random(17);
    std::size_t fit = 0;
    std::size_t with_statuses = 0;
    std::size_t wide = 0;
    for (std::size_t i = 0; i < 300; ++i) {
        const Rules rules = drawn_rules(random, 3 + random() % 60);
        const Strips strips = rules.strips();
        if (strips.outcomes.empty()) {
            continue;
        }
        ++fit;
        with_statuses += strips.stands.empty() ? 0U : 1U;
        wide += strips.wide_stands.size() + strips.wide_displaced.size();
        for (std::size_t c = 0; c < 60; ++c) {
            hold_case(rules, strips, drawn_case(rules, random));
        }
    }
    CHECK(fit > 200);
    CHECK(with_statuses > 100);
    CHECK(wide > 20);
}

/// Many demands, each in one of many places; some are the same everywhere.
Rules placed_rules(std::mt19937& random, std::size_t demands) {
    Rules rules;
    rules.classes = {100, 4, 4, 4, 4, 4, 4, 4};
    std::vector<Literal> places;
    for (std::size_t place = 0; place < 100; ++place) {
        std::vector<Literal> bits;
        for (std::uint8_t bit = 0; bit < 7; ++bit) {
            const Literal leaf = rules.circuit.leaf(0, bit);
            bits.push_back((place >> bit) % 2 == 1 ? leaf : negate(leaf));
        }
        places.push_back(rules.circuit.all(bits));
    }
    const auto leaf = [&] {
        return rules.circuit.leaf(static_cast<std::uint32_t>(1 + random() % 7),
                                  static_cast<std::uint8_t>(random() % 2));
    };
    std::vector<Literal> ways;
    for (std::size_t i = 0; i < demands; ++i) {
        std::vector<Literal> parts{
            leaf(), leaf(), negate(leaf()), rules.circuit.any({leaf(), negate(leaf())}),
            rules.circuit.any({leaf(), rules.circuit.all({leaf(), leaf()})})};
        if (i % 50 != 0) {
            parts.push_back(places[i % places.size()]);
        }
        ways.push_back(rules.circuit.all(std::move(parts)));
    }
    rules.roots.push_back({rules.circuit.any(std::move(ways)), never, never, never});
    return rules;
}

TEST_CASE("strips: those out of reach are passed over, and none that is not") {
    std::mt19937 random(5);
    for (const std::size_t demands : {300U, 9'000U}) {
        const Rules rules = placed_rules(random, demands);
        const Strips strips = rules.strips();
        REQUIRE(strips.outcomes.size() == 1);
        const StripRange& range = strips.outcomes[0][0];
        CHECK(range.reaches > 0);
        CHECK((range.strips_of_bit > 1) == (demands > 1'000));
        for (std::size_t c = 0; c < 200; ++c) {
            hold_case(rules, strips, drawn_case(rules, random));
        }
    }
}

TEST_CASE("strips: their rows are bounded") {
    std::mt19937 random(6);
    const Rules rules = placed_rules(random, 300);
    const Strips strips = rules.strips();
    REQUIRE_FALSE(strips.outcomes.empty());
    const std::size_t bytes = strips.rows.size() * sizeof(StripWords);
    CHECK_FALSE(rules.strips(bytes).outcomes.empty());
    CHECK(rules.strips(bytes / 2).outcomes.empty());
}

TEST_CASE("strips: where statuses find no room or no way, outcomes stand alone") {
    std::mt19937 random(11);
    Rules rules = drawn_rules(random, 40);
    while (rules.strips().stands.empty()) {
        rules = drawn_rules(random, 40);
    }
    const std::size_t most = rules.strips().rows.size() * sizeof(StripWords);
    std::size_t neither = 0;
    std::size_t alone = 0;
    std::size_t both = 0;
    for (std::size_t part = 0; part <= 64; ++part) {
        const Strips strips = rules.strips(most * part / 64);
        neither += strips.outcomes.empty() ? 1U : 0U;
        alone += !strips.outcomes.empty() && strips.stands.empty() ? 1U : 0U;
        both += strips.stands.empty() ? 0U : 1U;
        for (std::size_t c = 0; !strips.outcomes.empty() && c < 20; ++c) {
            hold_case(rules, strips, drawn_case(rules, random));
        }
    }
    CHECK(neither > 0);
    CHECK(alone > 0);
    CHECK(both > 0);

    // A status that fits in no word and cannot be parted, beside an outcome that is one fact.
    Rules parted;
    parted.classes.assign(13, 2);
    std::vector<Literal> pairs;
    for (std::uint32_t a = 0; a < 13; ++a) {
        for (std::uint32_t b = a + 1; b < 13; ++b) {
            pairs.push_back(
                parted.circuit.any({parted.circuit.leaf(a, 0), parted.circuit.leaf(b, 0)}));
        }
    }
    parted.roots.push_back({parted.circuit.leaf(0, 0), never, never, never});
    parted.rows.push_back({parted.circuit.all(std::move(pairs)), never, never});
    CHECK_FALSE(parted.strips().outcomes.empty());
    CHECK(parted.strips().stands.empty());
    Rules nothing;
    nothing.roots.push_back({always, never, never, never});
    CHECK(nothing.strips().outcomes.empty());
}

TEST_CASE("strips: what is wider than a word is parted where it can be") {
    std::mt19937 random(8);
    for (const bool can_be : {true, false}) {
        Rules rules;
        rules.classes.assign(14, 2);
        std::vector<Literal> pairs;
        for (std::uint32_t a = 0; a < 13; ++a) {
            for (std::uint32_t b = a + 1; b < 13; ++b) {
                const Literal either =
                    rules.circuit.any({rules.circuit.leaf(a, 0), rules.circuit.leaf(b, 0)});
                const Literal third = rules.circuit.leaf(13, 0);
                pairs.push_back(can_be ? rules.circuit.all({either, third}) : either);
            }
        }
        // "Any of many" under "all" can be parted; "all of many pairs" would be in too many.
        const Literal wide =
            can_be ? rules.circuit.all({rules.circuit.leaf(12, 0), rules.circuit.leaf(11, 0),
                                        rules.circuit.any(std::move(pairs))})
                   : rules.circuit.all(std::move(pairs));
        rules.roots.push_back({never, never, wide, never});
        rules.rows.push_back({wide, never, never});
        const Strips strips = rules.strips();
        INFO(can_be);
        REQUIRE(strips.outcomes.empty() != can_be);
        for (std::size_t c = 0; can_be && c < 300; ++c) {
            hold_case(rules, strips, drawn_case(rules, random));
        }
    }
}

TEST_CASE("strips: one that is full to the last bit leaves no room for the next demand") {
    std::mt19937 random(9);
    for (std::size_t count = 254; count < 259; ++count) {
        Rules rules;
        rules.classes.assign(26, 2);
        std::vector<Literal> pairs;
        for (std::uint32_t a = 0; a < 26; ++a) {
            for (std::uint32_t b = a + 1; b < 26; ++b) {
                pairs.push_back(
                    rules.circuit.all({rules.circuit.leaf(a, 0), rules.circuit.leaf(b, 0)}));
            }
        }
        std::vector<Literal> some(pairs.begin(), pairs.begin() + static_cast<int>(count));
        pairs.push_back(negate(rules.circuit.leaf(24, 0)));
        pairs.push_back(negate(rules.circuit.leaf(25, 0)));
        rules.roots.push_back({rules.circuit.any(std::move(pairs)), never, never,
                               rules.circuit.any(std::move(some))});
        const Strips strips = rules.strips();
        REQUIRE_FALSE(strips.outcomes.empty());
        for (std::size_t c = 0; c < 60; ++c) {
            // Nearly all of them no, lest some pair be always true.
            std::vector<std::uint8_t> bytes = drawn_case(rules, random);
            for (std::uint8_t& byte : bytes) {
                byte = random() % 8 == 0 ? byte : std::uint8_t{0};
            }
            hold_case(rules, strips, bytes);
        }
    }
}

}  // namespace
