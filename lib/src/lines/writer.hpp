// Outcomes of a batch as text: a line of JSON, or a row of columns, for every case.
#pragma once

#include "lines/reader.hpp"
#include "toprail/lines.hpp"

#include <array>
#include <string>
#include <string_view>
#include <vector>

namespace toprail::lines {

/// Text that is written again and again into the same room.
struct Written {
    std::vector<char> room;
    std::size_t size = 0;

    [[nodiscard]] std::string_view text() const { return {room.data(), size}; }
};

/// Immutable: shared by threads.
class Writer {
  public:
    Writer(const BulkPlan& plan, LinesFormat format);

    /// What stands before the first case; may be empty.
    [[nodiscard]] std::string heading() const;
    /// Appends the first `count` cases. `outcomes` has a byte for each duty and case, `stride`
    /// cases of a duty together.
    void append(Written& out, const Batch& batch, std::size_t count, const std::uint8_t* outcomes,
                std::size_t stride) const;

  private:
    /// What is written for an outcome, and spare bytes after it.
    struct Word {
        std::string text;
        std::size_t size = 0;
    };

    void append_case(Written& out, const Batch& batch, std::size_t at, const std::uint8_t* outcomes,
                     std::size_t stride) const;
    void append_trouble(Written& out, const Batch& batch, std::size_t at,
                        const std::string& says) const;

    LinesFormat format_;
    std::vector<std::string> duties_;
    std::vector<std::array<Word, 6>> words_;  // per duty and outcome byte
    std::size_t most_ = 0;                    // bytes that a case takes without its name
};

}  // namespace toprail::lines
