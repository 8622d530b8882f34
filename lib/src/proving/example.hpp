// From what the solver found to a small case that the engine agrees with.
#pragma once

#include "proving/variables.hpp"
#include "shelf/shelf_data.hpp"
#include "toprail/proving.hpp"

#include <functional>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace toprail {

/// What the engine makes of a case: it shows what is claimed, shows the contrary, or leaves it
/// open.
enum class Seen { yes, no, open };

struct Situation {
    Facts facts;
    Date on = Date::from_days(0);
};

/// Decides for one authority, or by the rules on who governs. The quick way decides on a shelf cut
/// down to that authority and calls open what needs more than a first look; the thorough way is
/// what any host gets.
class Bench {
  public:
    Bench(Shelf quick, Shelf full, std::vector<std::string> authorities)
        : quick_(std::move(quick)),
          full_(std::move(full)),
          authorities_(std::move(authorities)) {}

    /// Empty when the facts do not fit: facts that this shelf does not know are left out.
    [[nodiscard]] std::optional<Decision> decide(const Situation& situation, bool thorough) const;
    [[nodiscard]] const Model& model() const { return full_.data().model; }

  private:
    Shelf quick_;
    Shelf full_;
    std::vector<std::string> authorities_;
};

using Shows = std::function<Seen(const Situation&, bool thorough)>;

struct Simplified {
    Seen seen = Seen::no;
    Situation situation;
    /// A value of the solver's case is a third or a root, say, which no figure tells: the engine
    /// was asked about another near it.
    bool rounded = false;
};

/// Fewer facts, rounder figures and, where it matters not, one of the `days` to decide on; what it
/// shows was decided the thorough way last.
Simplified simplify(const FilledCase& filled, const std::vector<Date>& days, const Shows& shows);

/// The days until which the editions of an authority were compared with their source (the first
/// days of those that never were), newest first.
std::vector<Date> usual_days(const Model& model, AuthorityId authority);

/// An example as text: a worked case where it has an authority, a facts file else.
struct Labels {
    std::string name;
    std::vector<std::pair<std::string, std::string>> answers;
    /// Keys of provisions that stand, and of those that are displaced.
    std::vector<std::string> stands;
    std::vector<std::string> displaced;
};
Example tell_example(const Situation& situation, const std::string& authority,
                     const Labels& labels);

}  // namespace toprail
