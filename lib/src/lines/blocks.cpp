// Entry point: Blocks.
#include "lines/blocks.hpp"

#include <algorithm>
#include <cstring>

namespace toprail::lines {
namespace {

// Enough that taking turns costs nothing.
constexpr std::size_t least_block_bytes = std::size_t{1} << 18U;

// Room for one whole line and its end.
std::size_t block_bytes_for(std::size_t line_bytes) {
    (void)line_bytes;
    return least_block_bytes;
}

}  // namespace

Blocks::Blocks(Read read, std::size_t line_bytes, std::size_t padding)
    : read_(std::move(read)),
      block_bytes_(block_bytes_for(line_bytes)),
      padding_(padding) {}

Blocks::Blocks(std::string_view text, std::size_t line_bytes, std::size_t padding)
    : text_(text),
      block_bytes_(block_bytes_for(line_bytes)),
      padding_(padding) {}

bool Blocks::next(Block& block) {
    block.lines.clear();
    block.too_long = false;
    block.first_line = line_;
    return read_ ? next_read(block) : next_of_text(block);
}

bool Blocks::next_read(Block& block) {
    block.room.resize(block_bytes_ + padding_);
    block.room_end = block.room.data() + block.room.size();
    std::copy(rest_.begin(), rest_.end(), block.room.begin());
    const std::size_t size = fill(block, rest_.size());
    rest_.clear();
    std::string_view text(block.room.data(), size);
    if (!ended_) {
        const std::size_t last = text.rfind('\n');
        if (last == std::string_view::npos) {
            skip_line(block, size);
            return true;
        }
        rest_.assign(text.begin() + static_cast<std::ptrdiff_t>(last) + 1, text.end());
        text = text.substr(0, last + 1);
    }
    find_lines(block, text);
    return !text.empty();
}

std::size_t Blocks::fill(Block& block, std::size_t from) {
    std::size_t size = from;
    while (!ended_ && size < block_bytes_) {
        const std::size_t more = read_(block.room.data() + size, block_bytes_ - size);
        ended_ = more == 0;
        size += more;
    }
    return size;
}

// No end of line in a whole block: reads on, keeping nothing, until there is one.
void Blocks::skip_line(Block& block, std::size_t size) {
    block.too_long = true;
    ++line_;
    for (;;) {
        const std::string_view text(block.room.data(), size);
        const std::size_t end = text.find('\n');
        if (end != std::string_view::npos) {
            rest_.assign(text.begin() + static_cast<std::ptrdiff_t>(end) + 1, text.end());
            return;
        }
        if (ended_) {
            return;
        }
        size = fill(block, 0);
    }
}

bool Blocks::next_of_text(Block& block) {
    if (text_.empty()) {
        return false;
    }
    const auto up_to_line_end = [this](std::size_t most) {
        return text_.substr(0, text_.substr(0, most).rfind('\n') + 1);
    };
    const std::size_t padded = text_.size() - std::min(padding_, text_.size());
    std::string_view text = up_to_line_end(std::min(block_bytes_, padded));
    if (!text.empty()) {
        block.room_end = text_.data() + text_.size();
        find_lines(block, text);
        text_.remove_prefix(text.size());
        return true;
    }
    text = text_.size() <= block_bytes_ ? text_ : up_to_line_end(block_bytes_);
    if (text.empty()) {
        block.too_long = true;
        ++line_;
        const std::size_t end = text_.find('\n', block_bytes_);
        text_.remove_prefix(end == std::string_view::npos ? text_.size() : end + 1);
        return true;
    }
    block.room.resize(text.size() + padding_);
    block.room_end = block.room.data() + block.room.size();
    text.copy(block.room.data(), text.size());
    find_lines(block, {block.room.data(), text.size()});
    text_.remove_prefix(text.size());
    return true;
}

void Blocks::find_lines(Block& block, std::string_view text) {
    const char* const end = text.data() + text.size();
    for (const char* at = text.data(); at != end; ++line_) {
        const auto* const found =
            static_cast<const char*>(std::memchr(at, '\n', static_cast<std::size_t>(end - at)));
        const char* const stop = found == nullptr ? end : found;
        block.lines.push_back({at, stop != at && stop[-1] == '\r' ? stop - 1 : stop});
        at = found == nullptr ? end : found + 1;
    }
}

}  // namespace toprail::lines
