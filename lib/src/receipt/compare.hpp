// What differs between two receipts of one case. Internal.
#pragma once

#include "receipt/tree.hpp"
#include "toprail/replay.hpp"

#include <vector>

namespace toprail {

/// What is told of a provision, in a step that differs, when only the other receipt weighs it.
inline constexpr const char* not_weighed = "not weighed";

/// What stands in place of a caution on the side that does not have it.
inline constexpr const char* not_told = "not told";

/// Duties, choices and limits that came out differently.
std::vector<Difference> conclusions_that_differ(const Json& was, const Json& now);

/// Conclusions that are the same and rest on other provisions, or on provisions that changed.
std::vector<Difference> grounds_that_differ(const Json& was, const Json& now);

/// Cautions that were told then and are not now, or the other way round.
std::vector<Difference> cautions_that_differ(const Json& was, const Json& now);

/// Steps and their wording.
std::vector<Difference> steps_that_differ(const Json& was, const Json& now);

/// Packs, vocabularies and engine that are not the same, in words.
std::vector<std::string> causes_of_difference(const Json& was, const Json& now);

}  // namespace toprail
