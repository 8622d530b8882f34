// What an answer rests on, and what to keep in mind with it. Internal; pure functions.
#pragma once

#include "toprail/decision.hpp"

#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace toprail {

/// The provisions that some answer rests on, or may come to rest on, and those by which the
/// authorities govern. Remarks decide nothing. Receipts of format 1 hold what this gives.
std::set<std::string> grounds_of(const Decision& decision);

/// The provisions that the first duty of the vocabulary rests on, which is the question people come
/// with: its own, those that displaced others of its own, and those by which their authorities
/// govern.
std::set<std::string> headline_grounds(const Decision& decision);

/// How some of the cautions begin, or read: receipts of format 1 do not hold them.
inline constexpr std::string_view named_alone = "decided under the authorities that were named: ";
inline constexpr std::string_view without_edition = "not in force: ";
inline constexpr std::string_view adopted_later = "adopted text begins later: ";
inline constexpr std::string_view no_rule_looks =
    "no rule on the shelf looks at what was answered with yes: ";
inline constexpr std::string_view no_law =
    "no law or manual on the shelf governs this case: ask a competent person which does";

inline constexpr std::string_view at_odds = "facts at odds: ";
inline constexpr std::string_view at_odds_end =
    "; find out which is so before anybody relies on this answer";
inline constexpr std::string_view no_value = "no value: ";

/// Some of `in_all` things, each in a sentence.
struct Sentences {
    static constexpr std::size_t most = 50;
    std::vector<std::string> told;
    std::size_t in_all = 0;
};

/// What the decision does not hold, and cautions tell of.
struct ToCaution {
    /// Facts that cannot be true together.
    Sentences at_odds;
    /// Quantities that something hinges on and that have no value, with their formulas.
    Sentences without_value;
    /// Sentences on authorities that have no edition for the day.
    std::vector<std::string> not_in_force;
    /// Facts that no rule looks at.
    std::vector<std::string> unheeded;
};

std::vector<std::string> tell_cautions(const Decision& decision, const ToCaution& also);

}  // namespace toprail
