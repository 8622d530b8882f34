// Entry points: finding_explanations, render_about, nearest_code.
#include "toprail/about.hpp"

#include "findings/about_parts.hpp"
#include "findings/collector.hpp"
#include "findings/text.hpp"

#include <algorithm>

namespace toprail {
namespace {

constexpr std::size_t line_width = 80;

std::string wrapped(std::string_view text) {
    std::string out;
    std::size_t column = 0;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find(' '), text.size());
        if (column > 0 && column + 1 + end > line_width) {
            out += "\n";
            column = 0;
        } else if (column > 0) {
            out += " ";
            ++column;
        }
        out += text.substr(0, end);
        column += end;
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return out + "\n";
}

std::string indented(std::string_view text) {
    std::string out;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        out += "    " + shown(text.substr(0, end)) + "\n";
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return out;
}

std::string_view file_of(ExampleOf example) {
    switch (example) {
    case ExampleOf::vocabulary:
        return "a vocabulary";
    case ExampleOf::facts:
        return "a facts file";
    case ExampleOf::list:
        return "the list of a shelf";
    case ExampleOf::rulepack:
    case ExampleOf::none:
        break;
    }
    return "a rulepack";
}

}  // namespace

const std::vector<FindingAbout>& finding_explanations() {
    static const std::vector<FindingAbout> all = [] {
        std::vector<FindingAbout> joined;
        for (const auto& part :
             {about_text(), about_shape(), about_names(), about_shelf(), about_meaning()}) {
            joined.insert(joined.end(), part.begin(), part.end());
        }
        return joined;
    }();
    return all;
}

std::string render_about(std::string_view code) {
    const auto& kinds = finding_kinds();
    const auto kind = std::find_if(kinds.begin(), kinds.end(),
                                   [code](const FindingKind& k) { return k.code == code; });
    const auto& all = finding_explanations();
    const auto about = std::find_if(all.begin(), all.end(),
                                    [code](const FindingAbout& a) { return a.code == code; });
    if (kind == kinds.end() || about == all.end()) {
        return {};
    }
    std::string text = std::string(code) + " (" + std::string(word(kind->severity)) +
                       "): " + std::string(kind->meaning) + "\n\n" + wrapped(about->explains);
    if (about->example != ExampleOf::none) {
        text += "\nBefore, in " + std::string(file_of(about->example)) + ":\n\n" +
                indented(about->before) + "\nAfter:\n\n" + indented(about->after);
    }
    return text;
}

std::string nearest_code(std::string_view code) {
    std::vector<std::string> codes;
    for (const FindingKind& kind : finding_kinds()) {
        codes.emplace_back(kind.code);
    }
    return nearest(code, codes);
}

}  // namespace toprail
