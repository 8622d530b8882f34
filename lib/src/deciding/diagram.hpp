// Decision diagrams over the unknown facts of one case. Each variable has a few classes of values;
// a diagram says for every combination of classes whether something is true. Diagrams are reduced
// and shared: two that mean the same are the same number, and one depends on exactly the variables
// in it.
#pragma once

#include <cstdint>
#include <unordered_map>
#include <vector>

namespace toprail {

/// Thrown when a case needs more nodes than its budget; caught by the evaluation that set it.
struct BudgetSpent {};

/// Not thread-safe; one per case.
class Diagrams {
  public:
    using Ref = std::uint32_t;
    static constexpr Ref never = 0;
    static constexpr Ref always = 1;

    /// The budget counts nodes. A node may have many children and be reached in many ways, so what
    /// is kept and done for each is bounded as well, in proportion.
    explicit Diagrams(std::size_t budget);

    /// A new variable with that many classes (at least 1). Later variables stand below earlier
    /// ones.
    std::uint32_t add_variable(std::size_t classes);
    [[nodiscard]] std::size_t classes(std::uint32_t variable) const { return classes_[variable]; }
    [[nodiscard]] std::size_t variables() const { return classes_.size(); }

    /// True for the classes that are marked.
    Ref test(std::uint32_t variable, const std::vector<bool>& true_for);
    Ref both(Ref a, Ref b);
    Ref either(Ref a, Ref b);
    Ref negate(Ref a);
    Ref differ(Ref a, Ref b) { return either(both(a, negate(b)), both(negate(a), b)); }
    /// `a` where the variable is known to have that class.
    Ref restrict_to(Ref a, std::uint32_t variable, std::uint32_t value);

    /// Marks in `used` (one flag per variable) every variable that `a` depends on.
    void mark_support(Ref a, std::vector<bool>& used) const;
    /// The share of all combinations for which `a` is true, every class of a variable weighing the
    /// same; `all_of_them` is the whole. Cut to a whole number: floating point keeps other last
    /// bits on other processors, and would settle differently there which of two shares is larger.
    [[nodiscard]] std::uint64_t share(Ref a) const;
    static constexpr std::uint64_t all_of_them = std::uint64_t{1} << 40U;

    /// The top variable and its children; precondition: `a` is neither never nor always.
    [[nodiscard]] std::uint32_t top(Ref a) const { return nodes_[a - 2].variable; }
    [[nodiscard]] Ref child(Ref a, std::uint32_t value) const {
        return children_[nodes_[a - 2].first + value];
    }

  private:
    struct Node {
        std::uint32_t variable;
        std::uint32_t first;
    };

    Ref make(std::uint32_t variable, const std::vector<Ref>& children);
    /// Takes note of work on one node of that variable. Throws BudgetSpent beyond the bound.
    void work_on(std::uint32_t variable);
    [[nodiscard]] std::uint32_t level(Ref a) const {
        return a < 2 ? static_cast<std::uint32_t>(classes_.size()) : top(a);
    }
    [[nodiscard]] Ref descend(Ref a, std::uint32_t variable, std::uint32_t value) const {
        return level(a) == variable ? child(a, value) : a;
    }

    std::size_t budget_;
    std::size_t most_children_;
    std::size_t work_left_;
    std::vector<std::size_t> classes_;
    std::vector<Node> nodes_;
    std::vector<Ref> children_;
    std::unordered_multimap<std::uint64_t, Ref> unique_;
    std::unordered_map<std::uint64_t, Ref> both_;
    std::unordered_map<Ref, Ref> negated_;
};

}  // namespace toprail
