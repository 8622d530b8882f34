// Outcomes of a batch as text: a line of JSON, or a row of columns, for every case.
#pragma once

#include "lines/reader.hpp"
#include "toprail/lines.hpp"

#include <array>
#include <span>
#include <string>
#include <vector>

namespace toprail::lines {

/// What was decided of a batch: a byte for each duty and case, `stride` cases of a duty together.
struct Outcomes {
    const std::uint8_t* bytes = nullptr;
    std::size_t stride = 0;
    /// Null unless it is to be told: for what stays undetermined, the bit of each Outcome that can
    /// be reached; none where that was not looked for.
    const std::uint8_t* possible = nullptr;
    /// Null unless they are to be told: per case.
    const std::vector<std::vector<std::string>>* cautions = nullptr;
};

/// Immutable: shared by threads.
class Writer {
  public:
    Writer(const BulkPlan& plan, LinesFormat format);

    /// What stands before the first case; may be empty.
    [[nodiscard]] std::string heading() const;
    /// Appends the first `count` cases; `bad` has one entry for each bad line among them, in order.
    void append(std::string& out, const Batch& batch, std::size_t count, const Outcomes& outcomes,
                std::span<const BadLine> bad) const;

  private:
    void append_case(std::string& out, const Batch& batch, std::size_t at,
                     const Outcomes& outcomes) const;
    void append_possible(std::string& out, std::size_t at, const Outcomes& outcomes) const;
    void append_trouble(std::string& out, const BadLine& bad) const;

    LinesFormat format_;
    std::vector<std::string> duties_;
    // Per duty, what is written for each outcome byte.
    std::vector<std::array<std::string, 6>> words_;
};

}  // namespace toprail::lines
