// `toprail decide --lines`: very many cases, one a line.
#pragma once

#include "commands.hpp"

#include <string>
#include <vector>

namespace toprail::command {

struct LinesOptions {
    bool lines = false;
    std::string as = "lines";
    std::vector<std::string> duties;
    unsigned threads = 1;
    bool stop_at_bad = false;
    std::size_t line_bytes = std::size_t{1} << 20U;
    std::uint64_t most_lines = 0;
    bool cautions = false;
};

void add_lines_options(CLI::App& verb, LinesOptions& options);

/// Whether what was read as a facts file is meant for --lines.
bool looks_like_lines(const std::string& file, const std::string& text);

/// Decides the lines of the file; "-" is the standard input. Gives an Exit.
int decide_lines_of(const std::string& file, const Shelf& shelf, Date on, const DecideOptions& how,
                    const LinesOptions& options);

}  // namespace toprail::command
