// Three-valued logic of one operation: the conjunction of any number of values, each as it is or
// negated. A value is a pair of planes, known-true and known-false; to negate is to swap the two,
// so only conjunctions cost anything. Equal gates are one gate.
#pragma once

#include <cstdint>
#include <map>
#include <utility>
#include <vector>

namespace toprail::bulk {

/// Gate number times two, plus one when negated.
using Literal = std::uint32_t;

inline constexpr Literal never = 0;
inline constexpr Literal always = 1;
/// Neither known to be true nor to be false, whatever the facts.
inline constexpr Literal open = 2;

inline constexpr Literal negate(Literal a) {
    return a == open ? a : a ^ 1U;
}

struct Gate {
    enum class Kind : std::uint8_t { constant, leaf, all };
    Kind kind = Kind::constant;
    std::uint8_t leaf = 0;
    std::uint32_t fact = 0;
    std::vector<Literal> operands;
};

/// Not thread-safe while it is built.
class Circuit {
  public:
    Circuit();

    /// A leaf of a fact's column (see LeafPlane).
    Literal leaf(std::uint32_t fact, std::uint8_t which);
    Literal all(std::vector<Literal> operands);
    Literal any(std::vector<Literal> operands);
    /// `high` where the bit is 1, `low` where it is 0. Precondition: they differ.
    Literal pick(Literal bit, Literal high, Literal low);

    [[nodiscard]] const std::vector<Gate>& gates() const { return gates_; }

  private:
    std::vector<Gate> gates_;
    std::map<std::pair<std::uint32_t, std::uint8_t>, Literal> leaves_;
    std::map<std::vector<Literal>, Literal> conjunctions_;
};

}  // namespace toprail::bulk
