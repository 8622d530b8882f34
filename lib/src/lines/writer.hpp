// Outcomes of a batch as text: a line of JSON, or a row of columns, for every case.
#pragma once

#include "lines/reader.hpp"
#include "toprail/lines.hpp"

#include <array>
#include <span>
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
    void append(Written& out, const Batch& batch, std::size_t count, const Outcomes& outcomes,
                std::span<const BadLine> bad) const;

  private:
    /// What is written for an outcome, and spare bytes after it.
    struct Word {
        std::string text;
        std::size_t size = 0;
    };
    /// What is written for a duty that stays undetermined; a comma stands first.
    struct Open {
        std::string possible;
        std::string act_as_if;
    };

    void append_case(Written& out, const Batch& batch, std::size_t at, const std::uint8_t* outcomes,
                     std::size_t stride) const;
    void append_more(Written& out, std::size_t at, const Outcomes& outcomes) const;
    [[nodiscard]] std::string possible_of(std::size_t at, const Outcomes& outcomes) const;
    void append_trouble(Written& out, const BadLine& bad) const;

    LinesFormat format_;
    std::vector<std::string> duties_;
    std::vector<std::array<Word, 6>> words_;  // per duty and outcome byte
    std::vector<std::array<Open, 16>> open_;  // per duty and set of outcomes, as bits
    std::size_t most_ = 0;                    // bytes that a case takes without its name
};

}  // namespace toprail::lines
