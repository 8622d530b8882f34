// Telling a decision: text for people, JSON for programs. Pure functions; thread-safe.
#pragma once

#include <string>

#include "toprail/decision.hpp"
#include "toprail/shelf.hpp"

namespace toprail {

/// answer: outcomes and cautions. reasons: and the provisions they rest on, in a few words each.
/// everything: every provision considered, with what made it stand or fall.
enum class Length { answer, reasons, everything };

/// A decision sheet of plain text, lines of at most about 100 characters.
std::string tell_text(const Decision& decision, const std::string& case_name,
                      const std::string& says = {}, Length length = Length::reasons);

/// Appends one JSON object to `out`. Keys stand in a fixed order; equal decisions give equal bytes.
/// The keys are described in the README under "JSON".
void append_json(std::string& out, const Decision& decision, const std::string& case_name);

/// Appends findings as a JSON array.
void append_json(std::string& out, const std::vector<Finding>& findings);

}  // namespace toprail
