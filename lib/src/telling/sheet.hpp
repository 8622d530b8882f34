// Lays text out in lines of at most 100 characters.
#pragma once

#include <string>
#include <string_view>

namespace toprail {

class Sheet {
  public:
    /// The name that a sheet begins with; continued lines stand where no other line begins.
    void title(std::string_view text);
    /// A line of text at an indent; continued lines are indented two further. Line ends in the
    /// text become spaces, and runs of them one: only the sheet itself begins
    /// lines and lays them out.
    void line(std::size_t indent, std::string_view text);
    /// A word in a column of its own, then text; continued lines stand under the text.
    void entry(std::string_view word, std::string_view text);
    void blank() { text_ += '\n'; }
    std::string take() { return std::move(text_); }

  private:
    void wrap(const std::string& first, std::size_t hang, std::string_view text);

    std::string text_;
};

}  // namespace toprail
