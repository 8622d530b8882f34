// Entry point: Blocks.
#include "lines/blocks.hpp"

#include "lines/one_line.hpp"

#include <algorithm>
#include <cstring>

namespace toprail::lines {

Blocks::Blocks(Read read, std::size_t line_bytes, std::size_t padding)
    : read_(std::move(read)),
      // Room for one whole line and its end.
      most_bytes_(std::max(block_bytes, line_bytes + 2)),
      padding_(padding) {}

Blocks::Blocks(std::string_view text, std::size_t line_bytes, std::size_t padding)
    : text_(text),
      most_bytes_(std::max(block_bytes, line_bytes + 2)),
      padding_(padding) {}

bool Blocks::next(Block& block) {
    block.lines.clear();
    block.too_long = false;
    block.in_place = false;
    block.first_line = line_;
    return read_ ? next_read(block) : next_of_text(block);
}

bool Blocks::next_read(Block& block) {
    std::size_t size = rest_.size();
    for (std::size_t wanted = std::max(block_bytes, size);; wanted = 2 * wanted) {
        wanted = std::min(wanted, most_bytes_);
        block.room.resize(std::max(block.room.size(), wanted + padding_));
        std::copy(rest_.begin(), rest_.end(), block.room.begin());
        rest_.clear();
        size = fill(block, size, wanted);
        const std::size_t end = std::string_view(block.room.data(), size).rfind('\n');
        if (ended_ || end != std::string_view::npos) {
            const std::size_t whole = ended_ ? size : end + 1;
            const auto begin = block.room.begin() + static_cast<std::ptrdiff_t>(whole);
            rest_.assign(begin, block.room.begin() + static_cast<std::ptrdiff_t>(size));
            size = whole;
            break;
        }
        if (size == most_bytes_) {
            skip_line(block, size);
            return true;
        }
    }
    block.room_end = block.room.data() + block.room.size();
    find_lines(block, {block.room.data(), size});
    return size != 0;
}

std::size_t Blocks::fill(Block& block, std::size_t size, std::size_t wanted) {
    while (!ended_ && size < wanted) {
        const std::size_t more = read_(block.room.data() + size, wanted - size);
        ended_ = more == 0;
        size += more;
    }
    return size;
}

// No end of line in the largest block: reads on, keeping nothing, until there is one.
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
        size = fill(block, 0, most_bytes_);
    }
}

bool Blocks::next_of_text(Block& block) {
    if (text_.empty()) {
        return false;
    }
    const auto whole_lines = [this](std::size_t most) {
        return text_.substr(0, text_.substr(0, most).rfind('\n') + 1);
    };
    // Where there is room behind it the text is read where it stands.
    const std::size_t padded = text_.size() - std::min(padding_, text_.size());
    std::string_view text = whole_lines(std::min(block_bytes, padded));
    if (!text.empty()) {
        block.room_end = text_.data() + text_.size();
        block.in_place = true;
        find_lines(block, text);
        text_.remove_prefix(text.size());
        return true;
    }
    text = text_.size() <= block_bytes ? text_ : whole_lines(block_bytes);
    if (text.empty()) {
        const std::size_t end = text_.find('\n', block_bytes);
        text = end == std::string_view::npos ? text_ : text_.substr(0, end + 1);
    }
    text_.remove_prefix(text.size());
    if (text.size() > most_bytes_) {
        block.too_long = true;
        ++line_;
        return true;
    }
    block.room.resize(std::max(block.room.size(), text.size() + padding_));
    block.room_end = block.room.data() + block.room.size();
    text.copy(block.room.data(), text.size());
    find_lines(block, {block.room.data(), text.size()});
    return true;
}

void Blocks::find_lines(Block& block, std::string_view text) {
    const char* const end = text.data() + text.size();
    const bool marked = line_ == 1 && text.starts_with(byte_order_mark);
    for (const char* at = text.data() + (marked ? byte_order_mark.size() : 0); at != end; ++line_) {
        const auto* const found =
            static_cast<const char*>(std::memchr(at, '\n', static_cast<std::size_t>(end - at)));
        const char* const stop = found == nullptr ? end : found;
        block.lines.push_back({at, stop != at && stop[-1] == '\r' ? stop - 1 : stop});
        at = found == nullptr ? end : found + 1;
    }
}

}  // namespace toprail::lines
