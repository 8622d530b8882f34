// Says in plain words where a text stops being YAML, and what to do. Internal.
#pragma once

#include "findings/collector.hpp"

#include <string_view>

namespace toprail {

/// Adds the finding for a text that the parser refused at this place (line and column from 1, or 0
/// for none). `seen` is the parser's own message: it tells kinds of slips apart and is never shown.
void report_yaml_slip(const Source& source, std::uint32_t line, std::uint32_t column,
                      std::string_view seen, Findings& findings);

}  // namespace toprail
