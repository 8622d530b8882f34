// Entry point: report_odd_citations. Families of citations have a form of their own; only what
// breaks that form for certain is told.
#include "findings/text.hpp"
#include "shelf/checks.hpp"
#include "toprail/date.hpp"

#include <algorithm>
#include <optional>

namespace toprail {
namespace {

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}
bool is_word(char c) {
    return is_digit(c) || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

/// What is wrong with a citation: from where, how many bytes, and what to do.
struct Slip {
    std::size_t from = 0;
    std::size_t size = 1;
    std::string message;
    std::string help;
};

std::size_t digits_at(std::string_view text, std::size_t at) {
    std::size_t end = at;
    while (end < text.size() && is_digit(text[end])) {
        ++end;
    }
    return end - at;
}

// Where `lead` stands as words of their own, from `from` on.
std::size_t find_words(std::string_view text, std::string_view lead, std::size_t from) {
    for (std::size_t at = text.find(lead, from); at != std::string_view::npos;
         at = text.find(lead, at + 1)) {
        const std::size_t end = at + lead.size();
        if ((at == 0 || !is_word(text[at - 1])) && (end == text.size() || !is_word(text[end]))) {
            return at;
        }
    }
    return std::string_view::npos;
}

std::optional<Slip> brackets(std::string_view text) {
    std::vector<std::size_t> open;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] == '(') {
            open.push_back(i);
        } else if (text[i] == ')') {
            if (open.empty()) {
                return Slip{i, 1, "this bracket was never opened", "write (b)(2) in full"};
            }
            if (open.back() + 1 == i) {
                return Slip{i - 1, 2, "these brackets hold nothing", "name the paragraph in them"};
            }
            open.pop_back();
        }
    }
    if (!open.empty()) {
        return Slip{open.back(), 1, "this bracket is never closed", "write (b)(2) in full"};
    }
    return std::nullopt;
}

// "§§" stands before several sections: a list or a range follows.
std::optional<Slip> section_signs(std::string_view text) {
    static constexpr std::string_view sign = "\u00a7";
    const std::size_t first = text.find(sign);
    if (first == std::string_view::npos) {
        return std::nullopt;
    }
    std::size_t second = first + sign.size();
    while (second < text.size() && text[second] == ' ') {
        ++second;
    }
    if (text.substr(second, sign.size()) != sign) {
        return std::nullopt;
    }
    const std::string_view rest = text.substr(second);
    const bool several = rest.find_first_of(",-") != std::string_view::npos ||
                         find_words(rest, "and", 0) != std::string_view::npos ||
                         find_words(rest, "to", 0) != std::string_view::npos ||
                         find_words(rest, "through", 0) != std::string_view::npos;
    if (several && second == first + sign.size()) {
        return std::nullopt;
    }
    return Slip{first, second + sign.size() - first, "the section sign is doubled",
                "one sign stands before one section"};
}

std::optional<Slip> unfinished(std::string_view text) {
    const char last = text.empty() ? ' ' : text.back();
    if (last == ',' || last == '-' || last == '/' || last == ':' || last == '.') {
        // "art." and the like end in a stop of their own.
        if (last != '.' || (text.size() > 1 && is_digit(text[text.size() - 2]))) {
            return Slip{text.size() - 1, 1, "the citation breaks off here", "name the paragraph"};
        }
    }
    return std::nullopt;
}

/// A code that is cited as "title NAME section".
struct TitledCode {
    std::string_view name;
    std::string_view help;
};

constexpr TitledCode titled_codes[]{
    {"CFR", "a federal rule is cited with title and part, such as 29 CFR 1926.453(b)(2)(v)"},
    {"CCR", "a rule of the Californian code is cited with title and section, such as 8 CCR 3648"},
    {"U.S.C.", "a federal statute is cited with title and section, such as 29 U.S.C. 654(a)(1)"},
};

std::optional<Slip> titled(std::string_view text) {
    for (const TitledCode& code : titled_codes) {
        const std::size_t at = find_words(text, code.name, 0);
        if (at == std::string_view::npos) {
            continue;
        }
        if (at < 2 || text[at - 1] != ' ' || !is_digit(text[at - 2])) {
            return Slip{at, code.name.size(), "no title stands before " + std::string(code.name),
                        std::string(code.help)};
        }
        std::size_t after = at + code.name.size();
        const auto skip = [&](std::string_view word) {
            if (text.substr(after, word.size()) == word) {
                after += word.size();
            }
        };
        skip(" ");
        for (const std::string_view word :
             {"\u00a7\u00a7 ", "\u00a7 ", "part ", "parts ", "chapter ", "section ", "sections "}) {
            skip(word);
        }
        const std::size_t digits = digits_at(text, after);
        if (digits == 0) {
            return Slip{at, code.name.size(),
                        "no part or section follows " + std::string(code.name),
                        std::string(code.help)};
        }
        const std::size_t end = after + digits;
        if (end + 1 < text.size() && text[end] == ',' && is_digit(text[end + 1])) {
            return Slip{end, 1, "a comma stands where a stop parts the section from its part",
                        std::string(code.help)};
        }
        if (end < text.size() && text[end] == '.' &&
            (end + 1 == text.size() || !is_word(text[end + 1]))) {
            return Slip{end, 1, "no section follows this stop", std::string(code.help)};
        }
    }
    return std::nullopt;
}

/// A code whose sections are groups of digits: after `name`, `groups` of at least `least` digits
/// parted by `parted`.
struct GroupedCode {
    std::string_view name;
    char parted;
    std::size_t groups;
    std::size_t least;
    std::string_view help;
};

constexpr GroupedCode grouped_codes[]{
    {"WAC", '-', 2, 2, "a Washington rule is cited with its groups, such as WAC 296-869-60005"},
    {"OAR", '-', 2, 3, "an Oregon rule is cited with its groups, such as OAR 437-003-0073"},
    {"R", '.', 2, 2, "a Michigan rule is cited by part and rule, such as R 408.13211"},
    {"EM", '-', 3, 1, "the engineering manual is cited as EM 385-1-1 with the year, (2024)"},
};

std::optional<Slip> grouped(std::string_view text) {
    for (const GroupedCode& code : grouped_codes) {
        const std::size_t at = find_words(text, code.name, 0);
        const std::size_t first = at + code.name.size() + 1;
        // A lone letter R may begin many things; only before a figure is it a rule.
        if (at == std::string_view::npos || first >= text.size() || !is_digit(text[first]) ||
            text[first - 1] != ' ') {
            continue;
        }
        std::size_t end = first;
        for (std::size_t group = 0; group < code.groups; ++group) {
            if (group > 0) {
                if (end >= text.size() || text[end] != code.parted) {
                    return Slip{at, std::max(end, first) - at,
                                "the number of this " + std::string(code.name) +
                                    " rule is not complete",
                                std::string(code.help)};
                }
                ++end;
            }
            const std::size_t digits = digits_at(text, end);
            if (digits < code.least) {
                return Slip{at, end + digits - at,
                            "the number of this " + std::string(code.name) +
                                " rule is not complete",
                            std::string(code.help)};
            }
            end += digits;
        }
        if (code.name == "EM") {
            const std::string_view rest = text.substr(end);
            if (!rest.starts_with(" (") || digits_at(rest, 2) != 4) {
                return Slip{at, end - at, "this manual has several editions and none is named",
                            std::string(code.help)};
            }
        }
    }
    return std::nullopt;
}

// Letters are known by their day.
std::optional<Slip> letters(std::string_view text) {
    for (const std::string_view lead : {"OSHA letter ", "OSHA memo "}) {
        for (std::size_t at = text.find(lead); at != std::string_view::npos;
             at = text.find(lead, at + 1)) {
            const std::size_t from = at + lead.size();
            const std::size_t end = std::min(text.find_first_of(" ,;", from), text.size());
            const std::string_view day = text.substr(from, end - from);
            if (!day.empty() && is_digit(day.front()) && !Date::parse(day)) {
                return Slip{from, day.size(), "\"" + std::string(day) + "\" is not a day",
                            "letters are cited by their day, such as OSHA letter 1999-02-18"};
            }
        }
    }
    return std::nullopt;
}

void check(const Node& node, Findings& findings) {
    if (!node.is_text()) {
        return;
    }
    for (const auto rule : {brackets, section_signs, unfinished, titled, grouped, letters}) {
        if (const std::optional<Slip> slip = rule(node.text)) {
            // A text that runs over several lines, or has escapes, is marked as a whole.
            const bool as_written = node.span.length == node.text.size() + (node.quoted ? 2U : 0U);
            const std::string_view line = node.span.source->line(node.span.line);
            const bool here = as_written && line.find(node.text) != std::string_view::npos;
            const Span span =
                here ? node.span.part(slip->from + (node.quoted ? 1U : 0U), slip->size) : node.span;
            findings.add(Kind::odd_citation, span, slip->message).help = slip->help;
            return;  // one slip often makes the other forms fail too
        }
    }
}

void check_under(const Node* entries, Findings& findings) {
    if (entries == nullptr) {
        return;
    }
    const auto check_map = [&findings](const Node& map) {
        for (const std::string_view key : {"cite", "also-cite"}) {
            if (const Node* cite = map.find(key)) {
                check(*cite, findings);
                for (const Node& item : cite->items) {
                    check(item, findings);
                }
            }
        }
    };
    check_map(*entries);
    for (const Node& item : entries->items) {
        check_map(item);
    }
    for (const Entry& entry : entries->entries) {
        check_map(entry.value);
    }
}

}  // namespace

void report_odd_citations(const Model& model, Findings& findings) {
    for (const auto& tree : model.trees) {
        for (const std::string_view key : {"adopts", "provisions", "quantities"}) {
            check_under(tree->find(key), findings);
        }
    }
}

}  // namespace toprail
