// What each kind of finding means, at length, with an example before and after.
// Constant data that ships in the library; thread-safe.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace toprail {

/// Which file the example of a finding is taken from; list: the list of what a folder must hold.
/// none: no short text shows it.
enum class ExampleOf { none, rulepack, vocabulary, facts, list };

/// The top-level keys that matter for the finding; those left out stay as they were. A line that
/// reads `other_file_mark` parts two files.
struct FindingAbout {
    std::string_view code;
    /// Full sentences: what it means, why it matters, what to do.
    std::string_view explains;
    ExampleOf example = ExampleOf::none;
    std::string_view before;
    std::string_view after;
};

inline constexpr std::string_view other_file_mark = "# and in another file";

/// One entry for each of finding_kinds(), in the same order.
const std::vector<FindingAbout>& finding_explanations();

/// The kind with that code as people read it, lines of at most 80 characters; empty when no kind
/// has that code.
std::string render_about(std::string_view code);

/// The code among finding_kinds() that is nearest to `code`, or empty when none is near.
std::string nearest_code(std::string_view code);

}  // namespace toprail
