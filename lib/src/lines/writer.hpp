// Outcomes of a batch as text: a line of JSON, or a row of columns, for every case.
#pragma once

#include "lines/reader.hpp"
#include "toprail/lines.hpp"

#include <array>
#include <string>
#include <vector>

namespace toprail::lines {

/// Immutable: shared by threads.
class Writer {
  public:
    Writer(const BulkPlan& plan, LinesFormat format);

    /// What stands before the first case; may be empty.
    [[nodiscard]] std::string heading() const;
    /// Appends the first `count` cases. `outcomes` has a byte for each duty and case, `stride`
    /// cases of a duty together.
    void append(std::string& out, const Batch& batch, std::size_t count,
                const std::uint8_t* outcomes, std::size_t stride) const;

  private:
    void append_case(std::string& out, const Batch& batch, std::size_t at,
                     const std::uint8_t* outcomes, std::size_t stride) const;
    void append_trouble(std::string& out, const Batch& batch, std::size_t at,
                        const std::string& says) const;

    LinesFormat format_;
    std::vector<std::string> duties_;
    // Per duty, what is written for each outcome byte.
    std::vector<std::array<std::string, 6>> words_;
};

}  // namespace toprail::lines
