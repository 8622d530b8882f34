// Every small shelf there is, up to stated bounds, one after the other.
//
// A shelf has one or two facts: a yes-no, a choice of two, a length with one figure that matters.
// Every fact may be said not to apply. Up to three provisions stand in up to two packs. Each has an
// effect on the one duty, on the one choice or on a length, a condition over the facts, and may
// displace one provision before it or, when it is an exception, relaxes one before it.
#pragma once

#include "toprail/shelf.hpp"

#include <cstddef>
#include <functional>
#include <string>
#include <vector>

namespace oracle {

struct SmallFact {
    std::string name;
    std::string definition;
    /// One sentence and its counterpart: not the same as its negation, where it does not apply.
    std::string sentence;
    std::string other_sentence;
    /// The last is unreadable; before it stand "not known", "does not apply" and the given values,
    /// one of each class.
    std::vector<std::string> states;
};

struct SmallShelf {
    std::vector<SmallFact> facts;
    std::vector<toprail::SourceText> texts;
};

struct SmallBounds {
    std::size_t provisions = 2;
    std::size_t facts = 2;
    /// Effects beyond required, not required and exception: bars a value, limits a length.
    bool choices_and_limits = true;
    /// Conditions beyond the sentences themselves: none, both, either.
    bool combined_conditions = true;
};

/// Calls `look` with every shelf inside the bounds that has exactly that many provisions. Two
/// shelves that differ in the names of the two authorities alone are asked once.
void for_small_shelves(const SmallBounds& bounds,
                       const std::function<void(const SmallShelf&)>& look);

}  // namespace oracle
