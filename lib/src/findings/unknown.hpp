// Help with a name that is not known. Internal; a pure function.
#pragma once

#include <string>
#include <vector>

namespace toprail {

/// The nearest of the known names; all of them where they are few; otherwise those that begin alike
/// or share a word, or how many there are of each beginning. Empty when nothing of that helps.
std::string help_with_unknown(const std::string& name, std::vector<std::string> known);

}  // namespace toprail
