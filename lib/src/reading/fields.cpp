// Entry point: Fields.
#include "reading/fields.hpp"

#include "findings/text.hpp"

#include <algorithm>

namespace toprail {
namespace {

constexpr std::string_view blanks = " \t\r\n";

// Where the first word starts that is one of these keys with its colon.
std::optional<std::size_t> key_in(std::string_view text, const std::vector<std::string>& keys) {
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = std::min(text.find_first_of(blanks, at), text.size());
        const std::string_view word = text.substr(at, end - at);
        const std::size_t colon = word.find(':');
        if (colon != std::string_view::npos &&
            std::find(keys.begin(), keys.end(), word.substr(0, colon)) != keys.end()) {
            return at;
        }
        at = end + 1;
    }
    return std::nullopt;
}

// The place of a piece that starts `at` bytes into a text. Lines of a text are folded and indented,
// so the marks in front of it are counted in the source; where escapes make that another place,
// it is that of the whole text.
Span place_in(const Node& text, std::size_t at, std::string_view piece) {
    const auto mark = [](char c) { return blanks.find(c) == std::string_view::npos; };
    auto before =
        std::count_if(text.text.begin(), text.text.begin() + static_cast<std::ptrdiff_t>(at), mark);
    const std::string_view bytes = text.span.source->bytes();
    const std::size_t start = text.span.source->offset(text.span.line, text.span.column);
    std::uint32_t line = text.span.line;
    std::size_t from = start + (text.quoted ? 1 : 0);
    if (start < bytes.size() && (bytes[start] == '|' || bytes[start] == '>')) {
        from = std::min(bytes.find('\n', start), bytes.size());
    }
    for (; from < bytes.size() && (before > 0 || !mark(bytes[from])); ++from) {
        before -= mark(bytes[from]) ? 1 : 0;
        line += bytes[from] == '\n' ? 1U : 0U;
    }
    if (from >= bytes.size() || !bytes.substr(from).starts_with(piece)) {
        return text.span;
    }
    const std::size_t first = text.span.source->offset(line, 1);
    return {text.span.source, line, static_cast<std::uint32_t>(from - first + 1),
            static_cast<std::uint32_t>(piece.size())};
}

}  // namespace

Fields::Fields(const Node& node, std::string what, Findings& findings)
    : node_(node),
      what_(std::move(what)),
      findings_(findings) {
    if (!node.is_map()) {
        findings.add(Kind::wrong_shape, node.span,
                     what_ + " is a map of keys and values; " + std::string(describe(node.shape)) +
                         " stands here");
    }
}

const Node* Fields::take(std::string_view key) {
    expected_.emplace_back(key);
    return node_.find(key);
}

const Node* Fields::require(std::string_view key) {
    const Node* node = take(key);
    if (node == nullptr && node_.is_map()) {
        findings_.add(Kind::missing_key, node_.span,
                      what_ + " has no \"" + std::string(key) + "\"");
    }
    return node;
}

const Node* Fields::shaped(std::string_view key, Node::Shape shape) {
    const Node* node = take(key);
    if (node != nullptr && node->shape != shape) {
        findings_.add(Kind::wrong_shape, node->span,
                      "\"" + std::string(key) + "\" takes " + std::string(describe(shape)) + "; " +
                          std::string(describe(node->shape)) + " stands here");
        return nullptr;
    }
    return node;
}

const Node* Fields::map(std::string_view key) {
    return shaped(key, Node::Shape::map);
}
const Node* Fields::list(std::string_view key) {
    return shaped(key, Node::Shape::list);
}

Word Fields::word(std::string_view key) {
    const Node* node = shaped(key, Node::Shape::text);
    return node == nullptr ? Word{} : Word{node->text, node->span};
}

std::string Fields::text(std::string_view key) {
    return word(key).text;
}

std::string Fields::require_text(std::string_view key) {
    const Node* node = require(key);
    if (node != nullptr && node->is_text() && blank(node->text)) {
        // What is empty has no place of its own: the parser names that of what follows.
        const auto entry = std::find_if(node_.entries.begin(), node_.entries.end(),
                                        [key](const Entry& each) { return each.key == key; });
        findings_.add(Kind::missing_key, entry->key_span, "\"" + std::string(key) + "\" is empty")
            .help = "write its text behind the colon; a text that begins with # needs quotes";
    }
    return text(key);
}

bool Fields::flag(std::string_view key) {
    const Node* node = take(key);
    if (node == nullptr) {
        return false;
    }
    if (node->is_text() && !node->quoted && (node->text == "yes" || node->text == "no")) {
        return node->text == "yes";
    }
    findings_.add(Kind::bad_value, node->span, "\"" + std::string(key) + "\" takes yes or no")
        .help = "write yes or no, without quotes";
    return false;
}

std::optional<Date> Fields::date(std::string_view key) {
    const Node* node = take(key);
    return node == nullptr ? std::nullopt : read_date(*node, findings_);
}

std::optional<Figure> Fields::figure(std::string_view key) {
    const Node* node = take(key);
    return node == nullptr ? std::nullopt : read_figure_node(*node, findings_);
}

std::vector<Word> Fields::words(std::string_view key) {
    const Node* node = take(key);
    std::vector<Word> words;
    if (node == nullptr) {
        return words;
    }
    if (node->is_text()) {
        words.push_back({node->text, node->span});
        return words;
    }
    if (node->is_map() || node->items.empty()) {
        findings_.add(node->is_map() ? Kind::wrong_shape : Kind::empty_list, node->span,
                      "\"" + std::string(key) + "\" takes a list with at least one entry");
        return words;
    }
    for (const Node& item : node->items) {
        if (item.is_text()) {
            words.push_back({item.text, item.span});
        } else {
            findings_.add(Kind::wrong_shape, item.span, "a text is expected in this list");
        }
    }
    return words;
}

std::optional<std::size_t> Fields::one_of(std::string_view key,
                                          const std::vector<std::string>& allowed) {
    const Node* node = take(key);
    if (node == nullptr) {
        return std::nullopt;
    }
    if (node->is_text()) {
        const auto found = std::find(allowed.begin(), allowed.end(), node->text);
        if (found != allowed.end()) {
            return static_cast<std::size_t>(found - allowed.begin());
        }
    }
    Finding& finding = findings_.add(
        Kind::bad_value, node->span,
        node->is_text() ? "\"" + node->text + "\" cannot stand under \"" + std::string(key) + "\""
                        : "\"" + std::string(key) + "\" takes one word");
    finding.help = "it takes " + list_or(allowed);
    return std::nullopt;
}

std::optional<std::size_t> Fields::require_one_of(std::string_view key,
                                                  const std::vector<std::string>& allowed) {
    if (take(key) == nullptr && node_.is_map()) {
        findings_.add(Kind::missing_key, node_.span, what_ + " has no \"" + std::string(key) + "\"")
            .help = "write " + std::string(key) + ": with " + list_or(allowed);
    }
    return one_of(key, allowed);
}

void Fields::finish() {
    for (const Entry& entry : node_.entries) {
        if (std::find(expected_.begin(), expected_.end(), entry.key) == expected_.end()) {
            const bool full = findings_.full(entry.key_span.source);
            Finding& finding = findings_.add(Kind::unknown_key, entry.key_span,
                                             "\"" + entry.key + "\" is not a key of " + what_);
            if (full) {
                continue;
            }
            const std::string near = nearest(entry.key, expected_);
            std::sort(expected_.begin(), expected_.end());
            expected_.erase(std::unique(expected_.begin(), expected_.end()), expected_.end());
            finding.help =
                near.empty() ? "its keys are " + list_or(expected_) : "did you mean " + near + "?";
        }
    }
}

void Fields::report_swallowed() {
    for (const Entry& entry : node_.entries) {
        report_swallowed(entry.key, entry.value);
        for (const Node& item : entry.value.items) {
            report_swallowed(entry.key, item);
        }
    }
}

void Fields::report_swallowed(const std::string& key, const Node& text) {
    const auto at = key_in(text.text, expected_);
    if (!at) {
        return;
    }
    const std::string held = text.text.substr(*at, text.text.find(':', *at) + 1 - *at);
    findings_
        .add(Kind::swallowed_key, place_in(text, *at, held),
             "the text holds \"" + held + "\"; was it meant as a key?")
        .help = "mind the indentation: a key stands straight below \"" + key +
                "\"; in a text leave the colon out";
}

std::string date_help(std::string_view text) {
    // Year first and in any of the usual separators is plain; 6/1/2024 is not.
    std::vector<std::string> groups(1);
    for (const char c : text) {
        if (c >= '0' && c <= '9') {
            groups.back() += c;
        } else if (c == '-' || c == '/' || c == '.') {
            groups.emplace_back();
        } else {
            groups.clear();
            break;
        }
    }
    if (groups.size() == 1 && groups[0].size() == 8) {
        groups = {groups[0].substr(0, 4), groups[0].substr(4, 2), groups[0].substr(6)};
    }
    if (groups.size() == 3 && groups[0].size() == 4) {
        std::string day = groups[0];
        for (std::size_t i = 1; i < groups.size(); ++i) {
            day += (groups[i].size() == 1 ? "-0" : "-") + groups[i];
        }
        if (Date::parse(day)) {
            return "write " + day;
        }
    }
    return "write an existing day as year-month-day, such as 2024-06-01";
}

std::optional<Date> read_date(const Node& node, Findings& findings) {
    const std::optional<Date> date = node.is_text() ? Date::parse(node.text) : std::nullopt;
    if (!date) {
        findings
            .add(Kind::bad_date, node.span,
                 node.is_text() ? "\"" + node.text + "\" is not a day" : "a day is expected here")
            .help = date_help(node.text);
    }
    return date;
}

std::optional<Figure> figure_of(const Word& word, Findings& findings) {
    FigureReading reading = read_figure(word.text);
    if (reading.figure) {
        return std::move(reading.figure);
    }
    switch (reading.trouble) {
    case FigureTrouble::unknown_unit:
        findings.add(Kind::unknown_unit, word.span, "\"" + reading.culprit + "\" is not a unit")
            .help = unit_meant(reading.culprit).empty()
                        ? "units are in ft yd mm cm m km, lb kg g, lbf N kN, s min h day, ft/s "
                          "ft/min m/s mph km/h, deg"
                        : "write " + std::string(unit_meant(reading.culprit));
        break;
    case FigureTrouble::mixed_units:
        findings.add(Kind::wrong_dimension, word.span,
                     "\"" + word.text + "\" mixes units of different kinds");
        break;
    case FigureTrouble::parts_out_of_order:
        findings
            .add(Kind::bad_figure, word.span,
                 "the parts of \"" + word.text + "\" do not go from larger to smaller units")
            .help = "write each unit once, the larger first, such as 5 ft 6 in";
        break;
    case FigureTrouble::not_a_figure:
        findings.add(Kind::bad_figure, word.span, "\"" + word.text + "\" is not a figure").help =
            "write a number and a unit, such as 10 ft";
        break;
    }
    return std::nullopt;
}

std::optional<Figure> read_figure_node(const Node& node, Findings& findings) {
    if (!node.is_text()) {
        findings.add(Kind::bad_figure, node.span, "a figure is expected here");
        return std::nullopt;
    }
    return figure_of({node.text, node.span}, findings);
}

}  // namespace toprail
