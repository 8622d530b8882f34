// What must hold of every text that people or programs are shown, whatever the packs, facts and
// receipts hold that it tells of. Each gives back what is wrong, or nothing.
#pragma once

#include "findings/text.hpp"

#include <nlohmann/json.hpp>

#include <array>
#include <optional>
#include <string>
#include <string_view>

namespace toprail::test {

/// A terminal, a page or an editor shows it as it stands: valid UTF-8 and nothing that hides or
/// turns what follows.
inline std::string trouble_on_screen(std::string_view text) {
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t start = at;
        const std::optional<char32_t> c = next_valid_code_point(text, at);
        if (!c || hides_text(*c) || *c == U'\r') {
            return "shown raw: " + shown(text.substr(start, at - start)) + " at byte " +
                   std::to_string(start);
        }
    }
    return {};
}

/// The same, and JSON.
inline std::string trouble_in_json(std::string_view text) {
    if (!nlohmann::json::accept(text.begin(), text.end())) {
        return "this is not JSON";
    }
    return trouble_on_screen(text);
}

/// The same, and every mark is one of the page's own: none came in with a text.
inline std::string trouble_in_html(std::string_view page) {
    static constexpr std::array<std::string_view, 30> own{
        "!DOCTYPE", "html",    "head",   "meta",    "title", "style", "body", "header",
        "main",     "section", "h1",     "h2",      "h3",    "p",     "ul",   "li",
        "br",       "cite",    "table",  "caption", "thead", "tbody", "tr",   "th",
        "td",       "wbr",     "footer", "b",       "em",    "span"};
    for (std::size_t at = page.find('<'); at != std::string_view::npos; at = page.find('<', at)) {
        const std::size_t end = page.find('>', at);
        if (end == std::string_view::npos) {
            return "a mark does not end";
        }
        std::string_view mark = page.substr(at + 1, end - at - 1);
        if (mark.starts_with('/')) {
            mark.remove_prefix(1);
        }
        const std::string_view name = mark.substr(0, mark.find(' '));
        bool known = false;
        for (const std::string_view each : own) {
            known = known || each == name;
        }
        if (!known || mark.find('<') != std::string_view::npos) {
            return "a mark that is not the page's own: " + shown(mark);
        }
        at = end + 1;
    }
    return trouble_on_screen(page);
}

}  // namespace toprail::test
