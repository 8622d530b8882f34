// Entry point: Diagrams. Recursion goes once per variable at most, and a case has no more variables
// than the vocabulary has facts.
#include "deciding/diagram.hpp"

#include <algorithm>
#include <limits>

namespace toprail {

namespace {

// Per node of the budget: far more than variables of a few classes need.
constexpr std::size_t children_per_node = 64;
constexpr std::size_t work_per_node = 512;

// Nodes and children are numbered in 32 bits, so a larger budget would not buy more.
constexpr std::size_t most_numbered = std::numeric_limits<std::uint32_t>::max() - 2;

std::size_t times(std::size_t a, std::size_t b) {
    constexpr std::size_t most = std::numeric_limits<std::size_t>::max();
    return a > most / b ? most : a * b;
}

}  // namespace

Diagrams::Diagrams(std::size_t budget)
    : budget_(std::min(budget, most_numbered)),
      most_children_(std::min(times(budget, children_per_node), most_numbered)),
      work_left_(times(budget, work_per_node)) {}

void Diagrams::work_on(std::uint32_t variable) {
    if (work_left_ < classes_[variable]) {
        throw BudgetSpent{};
    }
    work_left_ -= classes_[variable];
}

std::uint32_t Diagrams::add_variable(std::size_t classes) {
    classes_.push_back(classes);
    return static_cast<std::uint32_t>(classes_.size() - 1);
}

Diagrams::Ref Diagrams::make(std::uint32_t variable, const std::vector<Ref>& children) {
    if (std::all_of(children.begin(), children.end(), [&](Ref c) { return c == children[0]; })) {
        return children[0];
    }
    std::uint64_t hash = variable + 0x9E3779B97F4A7C15ULL;
    for (const Ref c : children) {
        hash = (hash ^ c) * 0x100000001B3ULL;
        hash ^= hash >> 29U;
    }
    const auto [begin, end] = unique_.equal_range(hash);
    for (auto it = begin; it != end; ++it) {
        const Node& node = nodes_[it->second - 2];
        if (node.variable == variable &&
            std::equal(children.begin(), children.end(), &children_[node.first])) {
            return it->second;
        }
    }
    if (nodes_.size() >= budget_ || children.size() > most_children_ - children_.size()) {
        throw BudgetSpent{};
    }
    nodes_.push_back({variable, static_cast<std::uint32_t>(children_.size())});
    children_.insert(children_.end(), children.begin(), children.end());
    const Ref ref = static_cast<Ref>(nodes_.size() + 1);
    unique_.emplace(hash, ref);
    return ref;
}

Diagrams::Ref Diagrams::test(std::uint32_t variable, const std::vector<bool>& true_for) {
    std::vector<Ref> children;
    children.reserve(true_for.size());
    for (const bool t : true_for) {
        children.push_back(t ? always : never);
    }
    return make(variable, children);
}

Diagrams::Ref Diagrams::both(Ref a, Ref b) {
    if (a == never || b == never) {
        return never;
    }
    if (a == always || a == b) {
        return b;
    }
    if (b == always) {
        return a;
    }
    if (a > b) {
        std::swap(a, b);
    }
    const std::uint64_t key = (static_cast<std::uint64_t>(a) << 32U) | b;
    if (const auto found = both_.find(key); found != both_.end()) {
        return found->second;
    }
    const std::uint32_t variable = std::min(level(a), level(b));
    work_on(variable);
    std::vector<Ref> children(classes_[variable]);
    for (std::uint32_t v = 0; v < children.size(); ++v) {
        children[v] = both(descend(a, variable, v), descend(b, variable, v));
    }
    const Ref result = make(variable, children);
    both_.emplace(key, result);
    return result;
}

Diagrams::Ref Diagrams::negate(Ref a) {
    if (a < 2) {
        return 1 - a;
    }
    if (const auto found = negated_.find(a); found != negated_.end()) {
        return found->second;
    }
    const std::uint32_t variable = top(a);
    work_on(variable);
    std::vector<Ref> children(classes_[variable]);
    for (std::uint32_t v = 0; v < children.size(); ++v) {
        children[v] = negate(child(a, v));
    }
    const Ref result = make(variable, children);
    negated_.emplace(a, result);
    negated_.emplace(result, a);
    return result;
}

Diagrams::Ref Diagrams::either(Ref a, Ref b) {
    return negate(both(negate(a), negate(b)));
}

Diagrams::Ref Diagrams::restrict_to(Ref a, std::uint32_t variable, std::uint32_t value) {
    std::unordered_map<Ref, Ref> done;
    const auto go = [&](const auto& self, Ref at) -> Ref {
        if (level(at) > variable) {
            return at;
        }
        if (level(at) == variable) {
            return child(at, value);
        }
        if (const auto found = done.find(at); found != done.end()) {
            return found->second;
        }
        const std::uint32_t own = top(at);
        work_on(own);
        std::vector<Ref> children(classes_[own]);
        for (std::uint32_t v = 0; v < children.size(); ++v) {
            children[v] = self(self, child(at, v));
        }
        const Ref result = make(own, children);
        done.emplace(at, result);
        return result;
    };
    return go(go, a);
}

void Diagrams::mark_support(Ref a, std::vector<bool>& used) const {
    std::vector<bool> seen(nodes_.size() + 2, false);
    std::vector<Ref> open{a};
    while (!open.empty()) {
        const Ref at = open.back();
        open.pop_back();
        if (at < 2 || seen[at]) {
            continue;
        }
        seen[at] = true;
        used[top(at)] = true;
        for (std::uint32_t v = 0; v < classes_[top(at)]; ++v) {
            open.push_back(child(at, v));
        }
    }
}

std::uint64_t Diagrams::share(Ref a) const {
    std::unordered_map<Ref, std::uint64_t> done{{never, 0}, {always, all_of_them}};
    const auto go = [&](const auto& self, Ref at) -> std::uint64_t {
        if (const auto found = done.find(at); found != done.end()) {
            return found->second;
        }
        std::uint64_t sum = 0;
        const std::size_t count = classes_[top(at)];
        for (std::uint32_t v = 0; v < count; ++v) {
            sum += self(self, child(at, v));
        }
        const std::uint64_t result = sum / count;
        done.emplace(at, result);
        return result;
    };
    return go(go, a);
}

}  // namespace toprail
