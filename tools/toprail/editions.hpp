// What a file holds, so that an edited copy can take the place of the file it was copied from. Used
// by the verbs that look at single files.
#pragma once

#include <optional>
#include <string>

namespace toprail::command {

/// "us.state.oregon, edition of 2003-07-01" or "vocabulary lifts"; nothing for files that are
/// neither. Two files for which it is the same cannot stand on one shelf.
std::optional<std::string> held_in(const std::string& name, const std::string& text);

}  // namespace toprail::command
