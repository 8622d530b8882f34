// Whether two programs decide every case alike, for an authority alone, as far as a worked case can
// tell: the status of every provision, duties, choices and limits.
#pragma once

#include "proving/asker.hpp"
#include "proving/law.hpp"
#include "toprail/proving.hpp"

namespace toprail {

/// Not thread-safe. Keeps one solver for all questions; the options must outlive it.
class Likeness {
  public:
    explicit Likeness(const ProveOptions& options);

    /// True: proved alike in every case whose facts are known, and so wherever the engine decides
    /// exactly. False: not so, or not settled within the time given. Precondition: `after` is
    /// `before` with a small change, so that provisions, duties and facts have the same handles.
    /// Throws Stopped when the host asks to stop.
    bool proved(const ShelfData& before, const ShelfData& after, AuthorityId authority);

  private:
    bool same(const z3::expr& a, const z3::expr& b);
    bool same_provisions(const Law& a, const Law& b);
    bool same_duties(const Law& a, const Law& b);
    bool same_choices(const Law& a, const Law& b);
    bool same_limits(const Law& a, const Law& b);

    z3::context context_;
    Variables variables_;
    Asker asker_;
};

}  // namespace toprail
