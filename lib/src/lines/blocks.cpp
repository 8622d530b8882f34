// Entry point: Blocks.
#include "lines/blocks.hpp"

#include <algorithm>
#include <cstring>

namespace toprail::lines {
namespace {

// Enough that taking turns costs nothing.
constexpr std::size_t least_block_bytes = std::size_t{1} << 20U;

}  // namespace

Blocks::Blocks(std::function<std::size_t(char*, std::size_t)> read, std::size_t line_bytes,
               std::size_t padding)
    : read_(std::move(read)),
      // Room for one whole line and its end.
      block_bytes_(std::max(least_block_bytes, line_bytes + 2)),
      padding_(padding) {}

void Blocks::fill(Block& block, std::size_t from) {
    block.size = from;
    while (!ended_ && block.size < block_bytes_) {
        const std::size_t more = read_(block.room.data() + block.size, block_bytes_ - block.size);
        ended_ = more == 0;
        block.size += more;
    }
}

bool Blocks::next(Block& block) {
    block.room.resize(block_bytes_ + padding_);
    std::copy(rest_.begin(), rest_.end(), block.room.begin());
    fill(block, rest_.size());
    rest_.clear();
    block.too_long = false;
    block.first_line = line_;
    if (block.size == 0) {
        return false;
    }
    const std::string_view text = block.text();
    const std::size_t last = text.rfind('\n');
    if (last == std::string_view::npos) {
        if (!ended_) {
            return skip_line(block);
        }
        ++line_;
        return true;
    }
    if (!ended_) {
        rest_.assign(text.begin() + static_cast<std::ptrdiff_t>(last) + 1, text.end());
        block.size = last + 1;
    }
    line_ += static_cast<std::uint64_t>(std::count(
        block.room.begin(), block.room.begin() + static_cast<std::ptrdiff_t>(block.size), '\n'));
    return true;
}

// No end of line in a whole block: reads on, keeping nothing, until there is one.
bool Blocks::skip_line(Block& block) {
    block.too_long = true;
    ++line_;
    for (;;) {
        const std::string_view text = block.text();
        const std::size_t end = text.find('\n');
        if (end != std::string_view::npos) {
            rest_.assign(text.begin() + static_cast<std::ptrdiff_t>(end) + 1, text.end());
            break;
        }
        if (ended_) {
            break;
        }
        fill(block, 0);
    }
    block.size = 0;
    return true;
}

}  // namespace toprail::lines
