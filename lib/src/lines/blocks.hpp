// Input cut into blocks of whole lines.
#pragma once

#include "lines/abreast.hpp"

#include <cstdint>
#include <functional>
#include <string_view>
#include <vector>

namespace toprail::lines {

/// A block has so many bytes, unless a single line has more: enough that taking turns costs little,
/// and what one holds stays in the nearer caches.
inline constexpr std::size_t block_bytes = std::size_t{1} << 18U;

struct Block {
    std::vector<char> room;    // where the text stands, unless it stands in memory already
    std::vector<Piece> lines;  // their ends (LF, CR LF) and a first byte order mark left out
    /// So far bytes can be read, beyond the last line.
    const char* room_end = nullptr;
    std::uint64_t first_line = 1;
    /// It stands for a line that is longer than allowed, and for nothing else.
    bool too_long = false;
    /// It is read where the text stands; the next one begins where it ends.
    bool in_place = false;
};

/// Not thread-safe.
class Blocks {
  public:
    using Read = std::function<std::size_t(char*, std::size_t)>;

    /// `padding` bytes past each line can be read. Of a line that is longer than allowed some may
    /// be left out.
    Blocks(Read read, std::size_t line_bytes, std::size_t padding);
    /// Of text that stands in memory, and stays there: it is copied only near its end.
    Blocks(std::string_view text, std::size_t line_bytes, std::size_t padding);

    /// Fills in the next block, in the room it has already; false when there are no more.
    bool next(Block& block);

  private:
    bool next_read(Block& block);
    std::size_t fill(Block& block, std::size_t size, std::size_t wanted);
    void skip_line(Block& block, std::size_t size);
    bool next_of_text(Block& block);
    void find_lines(Block& block, std::string_view text);

    Read read_;
    std::string_view text_;   // what is left of it
    std::size_t most_bytes_;  // of a block
    std::size_t padding_;
    std::vector<char> rest_;  // read already, of lines that the last block did not hold
    std::uint64_t line_ = 1;
    bool ended_ = false;
};

}  // namespace toprail::lines
