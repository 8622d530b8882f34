// Entry point: Sheet.
#include "telling/sheet.hpp"

#include "findings/text.hpp"

#include <algorithm>

namespace toprail {
namespace {

constexpr std::size_t width = 100;
constexpr std::size_t word_column = 2;
constexpr std::size_t text_column = 24;
// Where no other line of a sheet begins.
constexpr std::size_t title_hang = 16;

}  // namespace

void Sheet::wrap(const std::string& first, std::size_t hang, std::string_view text) {
    std::size_t used = count_characters(first);
    text_ += first;
    bool fresh = true;
    while (!text.empty()) {
        const std::string_view word = text.substr(0, text.find(' '));
        text.remove_prefix(std::min(word.size() + 1, text.size()));
        const std::size_t size = count_characters(word);
        // A run of blanks is one: no text can lay itself out as the sheet does.
        if (word.empty()) {
            continue;
        }
        if (!fresh && used + 1 + size > width) {
            text_ += '\n';
            text_ += std::string(hang, ' ');
            used = hang;
            fresh = true;
        }
        if (!fresh) {
            text_ += ' ';
            ++used;
        }
        text_ += word;
        used += size;
        fresh = false;
    }
    text_ += '\n';
}

void Sheet::title(std::string_view text) {
    wrap({}, title_hang, shown_on_one_line(text));
}

void Sheet::line(std::size_t indent, std::string_view text) {
    wrap(std::string(indent, ' '), indent + 2, shown_on_one_line(text));
}

void Sheet::entry(std::string_view word, std::string_view text) {
    std::string first(word_column, ' ');
    first += shown_on_one_line(word);
    const std::size_t used = count_characters(first);
    first += std::string(used + 2 <= text_column ? text_column - used : 2, ' ');
    wrap(std::move(first), text_column, shown_on_one_line(text));
}

}  // namespace toprail
