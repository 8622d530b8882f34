// Entry points: reach_of, widen.
#include "bulk/reach.hpp"

#include <optional>

namespace toprail::bulk {
namespace {

Reach reach_of_test(std::uint32_t fact, const Row& row) {
    Classes classes;
    for (std::size_t c = 0; c < rows_of_facts; ++c) {
        classes[c] = row[c] != value_false;
    }
    return classes.all() ? Reach{} : Reach{{fact, classes}};
}

void narrow(Reach& reach, const Reach& by) {
    for (const auto& [fact, classes] : by) {
        const auto [found, fresh] = reach.try_emplace(fact, classes);
        if (!fresh) {
            found->second &= classes;
        }
    }
}

}  // namespace

void widen(Reach& reach, const Reach& by) {
    for (auto each = reach.begin(); each != reach.end();) {
        const auto other = by.find(each->first);
        if (other == by.end()) {
            each = reach.erase(each);
            continue;
        }
        each->second |= other->second;
        each = each->second.all() ? reach.erase(each) : std::next(each);
    }
}

Reach reach_of(const Formula& formula, const std::vector<Reach>& of_parts) {
    std::optional<Reach> together;
    const auto add = [&](const Reach& operand) {
        if (!together) {
            together = operand;
        } else if (formula.any) {
            widen(*together, operand);
        } else {
            narrow(*together, operand);
        }
    };
    for (const auto& [fact, row] : formula.tests) {
        add(reach_of_test(fact, row));
    }
    for (const FormulaId part : formula.parts) {
        add(of_parts[part]);
    }
    return together.value_or(Reach{});
}

}  // namespace toprail::bulk
