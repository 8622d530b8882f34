// What is measured, by room. Each registers benchmarks with Google Benchmark, whose items are
// cases, and adds the rows that tell their ratios.
#pragma once

#include "subject.hpp"
#include "table.hpp"

namespace bench {

void measure_one_case(const Subject& subject, Table& table);
void measure_bulk(const Subject& subject, Table& table);
/// False when the lines are not read alike.
bool measure_lines(const Subject& subject, Table& table);
void measure_growth(Table& table);

/// Times of their own, outside Google Benchmark: a distribution, long work, work beside other work.
void measure_settling(const Subject& shipped, Table& table);
void measure_loading(const std::string& rulepacks, Times& times, Table& table);
void measure_swap(const Subject& subject, Times& times, Table& table);

}  // namespace bench
