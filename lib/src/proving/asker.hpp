// The one solver of a piece of work: each question is pushed, checked and popped.
#pragma once

#include "proving/variables.hpp"

#include <z3++.h>

#include <atomic>
#include <unordered_map>
#include <vector>

namespace toprail {

enum class Reply { impossible, possible, unsettled };

/// Thrown between questions once the host asks to stop; caught by the entry points.
struct Stopped {};

/// Not thread-safe. Context, variables and the flag must outlive it.
class Asker {
  public:
    Asker(z3::context& context, const Variables& variables, unsigned time_limit,
          const std::atomic<bool>* stop);

    /// Whether some case makes the term true. Asked again, it answers from memory.
    Reply ask(const z3::expr& term);
    /// The same with the case itself in `found` when it is possible.
    Reply ask(const z3::expr& term, FilledCase& found);

    /// Holds in every question asked until the matching release.
    void suppose(const z3::expr& term);
    void release();

    [[nodiscard]] std::size_t asked() const { return asked_; }
    [[nodiscard]] const Variables& variables() const { return variables_; }
    [[nodiscard]] z3::context& context() const { return context_; }

  private:
    Reply check(const z3::expr& term, FilledCase* found);

    z3::context& context_;
    const Variables& variables_;
    z3::solver solver_;
    const std::atomic<bool>* stop_;
    std::vector<z3::expr> supposed_;
    std::unordered_map<unsigned, std::pair<z3::expr, Reply>>
        known_;  // by the solver's id of the term
    std::size_t asked_ = 0;
};

}  // namespace toprail
