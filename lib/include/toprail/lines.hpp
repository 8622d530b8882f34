// Cases as lines of JSON, decided in bulk: one case a line in, its outcomes out, in the same order.
// Part of toprail::lines, which needs simdjson; nothing else of the library does.
//
//   {"case": "lift-2", "facts": {"lift-mechanism": "scissor", "platform-height": "14 ft"}}
//
// A line has the shape of one case of a facts file: `case` and `says` may be left out, a fact may
// be
// {"value": ..., "from": ...}, and null counts as not known.
#pragma once

#include "toprail/bulk.hpp"

#include <cstddef>
#include <cstdint>
#include <functional>
#include <string>
#include <string_view>

namespace toprail {

enum class LinesFormat : std::uint8_t {
    /// {"line": 1, "case": "lift-2", "outcomes": {"tie-off": "required"}}, or
    /// {"line": 2, "case": "lift-3", "error": "..."}. A name that is not given, or cannot be read,
    /// is left out.
    lines,
    /// Comma-separated, after a line of headings: line, case, each duty, error.
    columns,
};

struct LinesRun {
    LinesFormat format = LinesFormat::lines;
    /// As in BulkRun. Progress is told of lines.
    bool search = true;
    std::size_t budget = DecideOptions{}.budget;
    unsigned threads = 1;
    std::function<void(std::size_t)> progress;
    std::string_view vectors;
    /// A line that cannot be used ends the run; otherwise it is reported and the next one read.
    bool stop_at_bad = false;
    /// Longer lines are bad. A thread that meets a long line holds room for some of its length.
    std::size_t line_bytes = std::size_t{1} << 20U;
    /// Lines also give `possible` and `act-as-if` for each duty that stays undetermined, as the
    /// JSON of a decision does. Not in columns.
    bool tell_possible = false;
    /// Lines also give the `cautions` of the case, which is then decided by itself as well, as
    /// Shelf::decide does: many times as slow. Not in columns.
    bool tell_cautions = false;
    /// How many names of cases are remembered, to report those that come again; 0: none. Each takes
    /// some 40 bytes.
    std::size_t names = 0;
    /// The run ends before the line after so many; 0: no limit.
    std::uint64_t most_lines = 0;
};

/// A line that could not be used.
struct BadLine {
    std::uint64_t line = 0;  // from 1
    std::string says;
    /// Of its case; empty when the line gives none that can be read.
    std::string name;
};

struct LinesReport {
    std::uint64_t lines = 0;  // read, blank ones included
    std::uint64_t decided = 0;
    std::uint64_t bad = 0;
    /// Cases in which some duty stays undetermined.
    std::uint64_t undetermined = 0;
    /// Cases without an answer: a day lies before the first edition of a governing authority.
    std::uint64_t no_answer = 0;
    /// Cases whose name stood on an earlier line, among the names that are remembered.
    std::uint64_t repeated = 0;
    /// The run ended before all was read: at a bad line, a limit, or output that was not taken.
    bool ended_early = false;
    bool output_failed = false;
    std::string_view vectors;
};

/// What a run reads, writes and reports through. Called from one thread at a time.
struct LinesPorts {
    /// Fills in at most so many bytes and says how many; 0: there are no more. Not asked where the
    /// text is handed in.
    std::function<std::size_t(char* to, std::size_t room)> read;
    /// False: the output is not taken, and the run ends.
    std::function<bool(std::string_view text)> write;
    /// May be null. In the order of lines.
    std::function<void(const BadLine&)> bad;
    /// May be null. Told of a case whose name stood on an earlier line; it is decided all the same.
    std::function<void(const BadLine&)> repeated;
};

/// Every line that is not blank gives one line of output. Outcomes are those of Shelf::decide, as
/// BulkPlan::decide gives them. Memory does not grow with the number of lines. Rethrows what a port
/// throws.
LinesReport decide_lines(const BulkPlan& plan, const LinesPorts& ports, const LinesRun& run = {});

/// The same for lines that stand in memory already, which saves a copy. The text must not change
/// during the run; nothing outside of it is read.
LinesReport decide_lines(const BulkPlan& plan, std::string_view text, const LinesPorts& ports,
                         const LinesRun& run = {});

}  // namespace toprail
