// Decision diagrams held against plain tables: one entry for every combination of classes.
#include "deciding/diagram.hpp"

#include <doctest/doctest.h>

#include <array>
#include <bitset>
#include <ostream>

using namespace toprail;

namespace {

using Ref = Diagrams::Ref;

constexpr std::array<std::size_t, 3> classes{2, 3, 4};
constexpr std::size_t combinations = 24;
using Table = std::bitset<combinations>;

// The class of a variable in a combination.
std::size_t class_in(std::size_t combination, std::size_t variable) {
    for (std::size_t v = 0; v < variable; ++v) {
        combination /= classes[v];
    }
    return combination % classes[variable];
}

struct Pair {
    Ref ref;
    Table table;
};

// Tests of one variable, and what comes of them by every operation, a few rounds deep.
class Grown {
  public:
    Grown() : diagrams(100'000) {
        all.push_back({Diagrams::never, Table{}});
        all.push_back({Diagrams::always, Table{}.set()});
        for (std::size_t v = 0; v < classes.size(); ++v) {
            diagrams.add_variable(classes[v]);
            for (std::size_t c = 0; c < classes[v]; ++c) {
                add_test(v, c);
            }
        }
        for (std::size_t i = 0; all.size() < 260; ++i) {
            // Any fixed walk over pairs will do.
            const Pair a = all[i * 7 % all.size()];
            const Pair b = all[i * 13 % all.size()];
            all.push_back({diagrams.both(a.ref, b.ref), a.table & b.table});
            all.push_back({diagrams.either(a.ref, b.ref), a.table | b.table});
            all.push_back({diagrams.differ(a.ref, b.ref), a.table ^ b.table});
            all.push_back({diagrams.negate(a.ref), ~a.table});
        }
    }

    // What a diagram says of one combination, read from its nodes.
    [[nodiscard]] bool says(Ref ref, std::size_t combination) const {
        while (ref > Diagrams::always) {
            const std::uint32_t variable = diagrams.top(ref);
            ref = diagrams.child(ref, static_cast<std::uint32_t>(class_in(combination, variable)));
        }
        return ref == Diagrams::always;
    }

    [[nodiscard]] Table table(Ref ref) const {
        Table table;
        for (std::size_t i = 0; i < combinations; ++i) {
            table[i] = says(ref, i);
        }
        return table;
    }

    Diagrams diagrams;
    std::vector<Pair> all;

  private:
    void add_test(std::size_t variable, std::size_t chosen) {
        std::vector<bool> true_for(classes[variable], false);
        true_for[chosen] = true;
        Table table;
        for (std::size_t i = 0; i < combinations; ++i) {
            table[i] = class_in(i, variable) == chosen;
        }
        all.push_back({diagrams.test(static_cast<std::uint32_t>(variable), true_for), table});
    }
};

// The table where one variable is known to have a class.
Table restricted(const Table& table, std::size_t variable, std::size_t value) {
    std::size_t step = 1;
    for (std::size_t v = 0; v < variable; ++v) {
        step *= classes[v];
    }
    Table result;
    for (std::size_t i = 0; i < combinations; ++i) {
        result[i] = table[i - class_in(i, variable) * step + value * step];
    }
    return result;
}

}  // namespace

TEST_CASE("diagrams: every operation is that of the tables, and equal tables are one diagram") {
    const Grown grown;
    std::size_t same = 0;
    for (const Pair& a : grown.all) {
        CHECK(grown.table(a.ref) == a.table);
        for (const Pair& b : grown.all) {
            CHECK((a.ref == b.ref) == (a.table == b.table));
            same += a.table == b.table ? 1U : 0U;
        }
    }
    // Tables of many kinds came up, or little was asked.
    CHECK(same < grown.all.size() * grown.all.size() / 4);
}

TEST_CASE(
    "diagrams: a fact that has its class, the facts that matter, and the share that is true") {
    Grown grown;
    for (const Pair& pair : grown.all) {
        std::vector<bool> used(classes.size(), false);
        grown.diagrams.mark_support(pair.ref, used);
        const std::uint64_t share = pair.table.count() * Diagrams::all_of_them / combinations;
        const std::uint64_t found = grown.diagrams.share(pair.ref);
        CHECK(found <= share);
        CHECK(found + classes.size() >= share);  // every variable may cut off less than one
        CHECK((found == Diagrams::all_of_them) == (pair.ref == Diagrams::always));
        for (std::size_t v = 0; v < classes.size(); ++v) {
            bool matters = false;
            for (std::size_t c = 0; c < classes[v]; ++c) {
                const Table expected = restricted(pair.table, v, c);
                const Ref ref = grown.diagrams.restrict_to(pair.ref, static_cast<std::uint32_t>(v),
                                                           static_cast<std::uint32_t>(c));
                CHECK(grown.table(ref) == expected);
                matters = matters || expected != restricted(pair.table, v, 0);
            }
            CHECK(used[v] == matters);
        }
    }
}

TEST_CASE("diagrams: the budget bounds nodes and their children") {
    // No node beyond it.
    Diagrams none(0);
    const std::uint32_t only = none.add_variable(2);
    CHECK_THROWS_AS(none.test(only, {true, false}), BudgetSpent);
    Diagrams two(2);
    const std::uint32_t small = two.add_variable(2);
    (void)two.test(small, {true, false});
    (void)two.test(small, {false, true});
    CHECK(two.test(small, {true, false}) == Diagrams::always + 1);
    const std::uint32_t next = two.add_variable(2);
    CHECK_THROWS_AS(two.test(next, {true, false}), BudgetSpent);
    // 64 children for a node of the budget.
    for (const std::size_t count : {std::size_t{64}, std::size_t{65}}) {
        Diagrams wide(1);
        std::vector<bool> true_for(count, true);
        true_for.front() = false;
        const std::uint32_t variable = wide.add_variable(count);
        if (count == 64) {
            CHECK(wide.test(variable, true_for) > Diagrams::always);
        } else {
            CHECK_THROWS_AS(wide.test(variable, true_for), BudgetSpent);
        }
    }
}

TEST_CASE("diagrams: the budget bounds the work, and nothing is done twice") {
    // 512 classes looked at for a node of the budget, whoever looks.
    Diagrams few(8);
    (void)few.add_variable(2);
    (void)few.add_variable(2);
    const Diagrams::Ref either = few.either(few.test(0, {false, true}), few.test(1, {false, true}));
    CHECK(few.restrict_to(either, 1, 0) == few.test(0, {false, true}));
    const auto restrict_for_good = [&] {
        for (int i = 0; i < 8 * 512; ++i) {
            (void)few.restrict_to(either, 1, 0);
        }
    };
    CHECK_THROWS_AS(restrict_for_good(), BudgetSpent);
    // An odd number of many facts: as many paths as fillings, and two nodes for each fact.
    constexpr std::uint32_t facts = 40;
    Diagrams many(10'000);
    std::vector<Diagrams::Ref> odd{Diagrams::never};
    for (std::uint32_t i = 0; i < facts; ++i) {
        (void)many.add_variable(2);
    }
    for (std::uint32_t i = facts; i > 0; --i) {
        odd.push_back(many.differ(odd.back(), many.test(i - 1, {false, true})));
    }
    const Diagrams::Ref even = many.restrict_to(odd.back(), facts - 1, 1);
    CHECK(even == many.negate(many.restrict_to(odd.back(), facts - 1, 0)));
    CHECK(many.share(odd.back()) == std::uint64_t{1} << 39U);  // a half
    std::vector<bool> used(facts, false);
    many.mark_support(odd.back(), used);
    CHECK(used == std::vector<bool>(facts, true));
}
