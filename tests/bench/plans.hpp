// The plans that are measured, and their cases.
#pragma once

#include "toprail/bulk.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace bench {

/// The day for which everything is decided.
toprail::Date day();

toprail::Shelf shipped(const std::string& folder);
/// The duty to be tied off, which every set of rules has. Throws std::runtime_error.
toprail::BulkPlan plan_of(const toprail::Shelf& shelf, bool statuses);

/// Made-up cases as class bytes, the same on every machine: by case and by fact.
struct Cases {
    std::size_t facts = 0;
    std::size_t count = 0;
    std::vector<std::uint8_t> rows;
    std::vector<std::vector<std::uint8_t>> columns;

    [[nodiscard]] const std::uint8_t* row(std::size_t i) const { return rows.data() + i * facts; }
    [[nodiscard]] std::vector<const std::uint8_t*> pointers() const;
    [[nodiscard]] std::vector<toprail::BulkColumn> spans() const;
};

/// A tenth of the facts is not known. `different`: how many cases there are before they come again;
/// 0: all are drawn anew.
Cases draw_cases(const toprail::BulkPlan& plan, std::size_t count, std::size_t different = 0);

}  // namespace bench
