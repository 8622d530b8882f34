// Input cut into blocks of whole lines.
#pragma once

#include <cstdint>
#include <functional>
#include <string_view>
#include <vector>

namespace toprail::lines {

struct Block {
    std::vector<char> room;
    std::size_t size = 0;
    std::uint64_t first_line = 1;
    /// It holds the beginning of a line that is longer than allowed, and nothing else.
    bool too_long = false;

    [[nodiscard]] std::string_view text() const { return {room.data(), size}; }
};

/// Not thread-safe.
class Blocks {
  public:
    /// `padding` bytes past each block's text can be read.
    Blocks(std::function<std::size_t(char*, std::size_t)> read, std::size_t line_bytes,
           std::size_t padding);

    /// Fills in the next block, in the room it has already; false when there are no more.
    bool next(Block& block);

  private:
    void fill(Block& block, std::size_t from);
    bool skip_line(Block& block);

    std::function<std::size_t(char*, std::size_t)> read_;
    std::size_t block_bytes_;
    std::size_t padding_;
    std::vector<char> rest_;  // read already, of lines that the last block did not hold
    std::uint64_t line_ = 1;
    bool ended_ = false;
};

}  // namespace toprail::lines
