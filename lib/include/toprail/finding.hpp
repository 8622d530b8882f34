// Findings: what is wrong with a text, where, and what to do about it.
// Plain values that own everything they hold; thread-safe as any value is.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace toprail {

/// An error makes the text unusable; a warning does not; a note informs.
enum class Severity { error, warning, note };

/// A stretch of text. Lines and columns count from 1; a column counts characters, not bytes.
/// `line` is 0 when the finding concerns a file as a whole.
struct Place {
    std::string file;
    std::uint32_t line = 0;
    std::uint32_t column = 0;
    std::uint32_t length = 0;
    /// The source line, shortened when it is long.
    std::string text;
};

/// Another place that the finding speaks of, with what stands there.
struct OtherPlace {
    Place place;
    std::string says;
};

struct Finding {
    /// Stable code, such as "unknown-name"; the full list is `finding_kinds()`.
    std::string_view code;
    Severity severity = Severity::error;
    Place place;
    /// What was seen. Lower case, no final stop.
    std::string message;
    /// What to do, or empty.
    std::string help;
    std::vector<OtherPlace> others;
};

/// One kind of finding: its code, its usual severity and what it means in one sentence.
struct FindingKind {
    std::string_view code;
    Severity severity;
    std::string_view meaning;
};

/// All kinds, in the order in which they are documented.
const std::vector<FindingKind>& finding_kinds();

/// "error", "warning" or "note".
std::string_view word(Severity severity);

/// True when any finding is an error.
bool has_error(const std::vector<Finding>& findings);

/// The finding as people read it: place, message, the source line with the culprit marked, help.
/// Control and direction-changing characters from the source are shown as their code points.
std::string render_text(const Finding& finding);

}  // namespace toprail
