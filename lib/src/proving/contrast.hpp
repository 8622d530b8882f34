// Two sides held against each other, answer by answer: where they differ, in few regions.
#pragma once

#include "proving/answers.hpp"
#include "proving/bureau.hpp"
#include "proving/regions.hpp"

#include <map>
#include <string>
#include <vector>

namespace toprail {

struct Side {
    const Law* law = nullptr;
    const Bench* bench = nullptr;
};

/// Gathers the differences of many pairs of sides. Differences that an authority shares with an
/// earlier one, as what it adopted, are entered once. Not thread-safe; everything handed in must
/// outlive it.
class Contrast {
  public:
    /// `looser_only`: only what the second side asks less is a difference.
    Contrast(Bureau& bureau, bool looser_only, Comparison& comparison)
        : bureau_(bureau),
          looser_only_(looser_only),
          comparison_(comparison) {}

    /// `authority`: whose answers these are. `days`: good days for examples.
    void hold(const Side& before, const Side& after, const Subject& subject,
              const std::string& authority, const std::vector<Date>& days);

    /// Everything that was held came out equal, or not, for sure.
    [[nodiscard]] bool all_settled() const { return all_settled_; }

  private:
    // NOLINTNEXTLINE(cppcoreguidelines-pro-type-member-init): an expression has no empty value.
    struct Pair {
        const State& before;
        const State& after;
        z3::expr differs;
        /// The cases of `differs` in which the second side asks less.
        z3::expr less;
    };
    // A region that was entered, for later authorities to be held against.
    struct Entered {
        std::size_t region;
        z3::expr holds;
    };

    Asks way_of(const Pair& pair, const Box& box);
    void hold_pair(const Side& before, const Side& after, const Subject& subject,
                   const std::string& authority, const std::vector<Date>& days, const Pair& pair);
    bool shared(const std::vector<Entered>& entered, const z3::expr& differs,
                const std::string& authority);
    Simplified example_of(const Side& before, const Side& after, const Subject& subject,
                          const Pair& pair, const FilledCase& found, const std::vector<Date>& days);
    void enter(const Side& before, const Side& after, const Subject& subject,
               const std::string& authority, const std::vector<Date>& days, const Pair& pair,
               const Box& box, std::vector<std::string> where, std::vector<Entered>& entered);
    void enter_rest(const Subject& subject, const std::string& authority, const Pair& pair,
                    const Simplified& simplified, const Labels& labels);

    Bureau& bureau_;
    bool looser_only_;
    Comparison& comparison_;
    std::map<std::string, std::vector<Entered>> entered_;  // by subject and both texts
    bool all_settled_ = true;
};

/// The work date and facts fit both sides.
z3::expr both_hold(Bureau& bureau, const Law& a, const Law& b);

}  // namespace toprail
