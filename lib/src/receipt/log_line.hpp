// One line of a receipt log: written and read without building a tree, since a line may be long.
// Internal.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace toprail {

struct LogLine {
    std::string_view before;
    std::string_view digest;
    std::string_view entry;
    std::uint64_t number = 0;
};

/// The digest of the entry before the first.
std::string log_start();

std::string log_digest(std::string_view before, std::uint64_t number, std::string_view entry);

/// The line with its end; sets `digest`.
std::string write_log_line(std::string_view before, std::uint64_t number, std::string_view entry,
                           std::string& digest);

/// Reads a line without its end. Empty when it has another shape or its digest does not fit. The
/// views point into `line`.
std::optional<LogLine> read_log_line(std::string_view line);

/// Whether the bytes after the last line end are no torn line but a whole entry whose line end was
/// altered: they begin with a valid entry and go on. An append that was cut short has nothing after
/// its closing brace.
bool line_end_altered(std::string_view unfinished);

/// Whether an append that was cut short may have left these bytes: they begin as an entry does, or,
/// behind another entry, were never written and are zero. Other bytes are no torn line: the file
/// may be no log at all.
bool may_be_torn(std::string_view unfinished, bool behind_an_entry);

/// Receipts are one line of text; anything that could break the log apart is refused.
bool fits_in_log(std::string_view receipt);

}  // namespace toprail
