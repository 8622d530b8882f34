// What is seldom wanted of a line, read from its text again.
#pragma once

#include "toprail/facts.hpp"

#include <string>
#include <string_view>

namespace toprail::lines {

/// Put before a text by editors, where it says nothing.
inline constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

/// Why a line that is not JSON of the right shape is none; `trouble` is what its parser says.
std::string not_a_case(std::string_view line, std::string_view trouble);

/// The name of the case in a line that may not be used; empty when none can be read.
std::string name_in(std::string_view line);

/// The facts of a line. Precondition: a Reader takes the line.
Facts facts_in(std::string_view line);

/// A name as it stands between quotes in JSON, with its escapes resolved.
std::string unescaped(std::string_view name);

}  // namespace toprail::lines
