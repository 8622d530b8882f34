// Rows of the table: how our time stands to a rival's, both taken in the same run.
#pragma once

#include <map>
#include <string>
#include <vector>

namespace bench {

/// Seconds for one case (or whatever the row counts), medians of the repetitions.
using Times = std::map<std::string, double>;

struct TableRow {
    std::string what;
    std::string rules;
    std::string ours;  // names of times
    std::string theirs;
    std::string must;  // as asked for, in words; empty: told for comparison only
    std::string aim;
    /// Fewer is better and our time is divided by theirs, as in "at most 1.3 times as long".
    bool ours_over_theirs = false;
};

/// A value that is no ratio of two times.
struct Figure {
    std::string what;
    std::string rules;
    std::string value;
    std::string must;
    std::string aim;
};

class Table {
  public:
    void add(const TableRow& row) { rows_.push_back(row); }
    void add_figure(const Figure& figure) { figures_.push_back(figure); }
    /// Rows whose times are missing are left out.
    [[nodiscard]] std::string text(const Times& times) const;
    [[nodiscard]] std::string csv(const Times& times) const;

  private:
    std::vector<TableRow> rows_;
    std::vector<Figure> figures_;
};

/// Processor, compiler and flags, one a line.
std::string environment();

}  // namespace bench
