// Replaces a file in one step: whoever reads it sees the old text or the new one, never a part.
#pragma once

#include <string>

namespace toprail::command {

/// Keeps the permissions and follows links. Throws Unusable with a message printed when the new
/// text cannot be stored whole; the old file then stays as it was.
void replace_file(const std::string& path, const std::string& text);

}  // namespace toprail::command
