// Entry points: render_text, word, has_error.
#include "findings/text.hpp"
#include "toprail/finding.hpp"

#include <algorithm>
#include <cstdio>
#include <string>
#include <string_view>

namespace toprail {
namespace {

// Nobody sees that a space of another kind is not the plain one, and that is why many a text is
// refused, so findings show it.
std::string told(std::string_view text) {
    std::string out;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t start = at;
        const auto c = next_valid_code_point(text, at);
        const std::string_view raw = text.substr(start, at - start);
        if (c && odd_space(*c)) {
            char buffer[16];
            std::snprintf(buffer, sizeof buffer, "<U+%04X>", static_cast<unsigned>(*c));
            out += buffer;
        } else {
            out += shown_on_one_line(raw);
        }
    }
    return out;
}

std::string where(const Place& place) {
    std::string text = place.file.empty() ? std::string{} : shown_on_one_line(place.file);
    if (place.line != 0) {
        text += text.empty() ? "line " : ", line ";
        text += std::to_string(place.line) + ", column " + std::to_string(place.column);
    }
    return text;
}

// The source line with a run of tildes under the culprit. Characters that `shown` makes longer and
// tabs are counted as displayed, so that the tildes stand under what they mean.
std::string marked_line(const Place& place) {
    if (place.line == 0) {
        return {};
    }
    std::string displayed;
    std::string marks;
    std::uint32_t column = 1;
    for (std::size_t at = 0; at < place.text.size(); ++column) {
        const std::size_t start = at;
        next_code_point(place.text, at);
        const std::string_view raw = std::string_view(place.text).substr(start, at - start);
        const std::string piece = told(raw);
        displayed += piece;
        const bool inside = column >= place.column && column < place.column + place.length;
        marks += std::string(count_characters(piece), inside ? '~' : ' ');
    }
    // A place holds the beginning of a long line alone: what lies further right cannot be marked,
    // and a line may be as long as a file.
    constexpr std::uint32_t furthest = 200;
    if (place.column > column + furthest) {
        displayed += " ...";
    } else if (place.column >= column) {
        marks += std::string(place.column - column, ' ') + "~";
    }
    marks.erase(marks.find_last_not_of(' ') + 1);
    const std::string number = std::to_string(place.line);
    const std::string indent(std::max<std::size_t>(6, number.size() + 2) - number.size(), ' ');
    return indent + number + " | " + displayed + "\n" +
           (marks.empty() ? ""
                          : std::string(indent.size() + number.size(), ' ') + "   " + marks + "\n");
}

}  // namespace

std::string_view word(Severity severity) {
    switch (severity) {
    case Severity::error:
        return "error";
    case Severity::warning:
        return "warning";
    case Severity::note:
        break;
    }
    return "note";
}

bool has_error(const std::vector<Finding>& findings) {
    return std::any_of(findings.begin(), findings.end(),
                       [](const Finding& f) { return f.severity == Severity::error; });
}

std::string render_text(const Finding& finding) {
    std::string text;
    const std::string place = where(finding.place);
    if (!place.empty()) {
        text += place + ": ";
    }
    text += told(finding.message) + "  (" + std::string(word(finding.severity)) + ", " +
            std::string(finding.code) + ")\n";
    text += marked_line(finding.place);
    for (const OtherPlace& other : finding.others) {
        text +=
            "    " + told(other.says) + ": " + where(other.place) + "\n" + marked_line(other.place);
    }
    if (!finding.help.empty()) {
        text += "    help: " + told(finding.help) + "\n";
    }
    return text;
}

}  // namespace toprail
