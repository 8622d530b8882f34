// Entry point: read_sentence.
#include "reading/sentence.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace toprail {
namespace {

struct Phrase {
    std::string_view words;
    Verb verb;
};

// Longer phrases come before those they begin with.
constexpr std::array<Phrase, 14> phrases{{
    {"is not one of", Verb::is_not_one_of},
    {"is one of", Verb::is_one_of},
    {"is more than", Verb::more_than},
    {"is at least", Verb::at_least},
    {"is at most", Verb::at_most},
    {"is less than", Verb::less_than},
    {"is exactly", Verb::exactly},
    {"is before", Verb::before},
    {"is on or before", Verb::on_or_before},
    {"is on or after", Verb::on_or_after},
    {"is after", Verb::after},
    {"is on", Verb::on_day},
    {"is not", Verb::is_not},
    {"is", Verb::is},
}};

constexpr std::string_view forms =
    "a sentence is NAME, not NAME, FACT is VALUE, FACT is one of [a, b], QUANTITY is more than 10 "
    "ft "
    "(at least, at most, less than, exactly) or DATE is on or after 2000-01-01";

// Splits into words by single or several spaces, with their offsets.
std::vector<Word> split(const Node& node) {
    std::vector<Word> words;
    const std::string& text = node.text;
    for (std::size_t at = 0; at < text.size();) {
        if (text[at] == ' ') {
            ++at;
            continue;
        }
        const std::size_t end = std::min(text.find(' ', at), text.size());
        words.push_back(
            {text.substr(at, end - at), node.span.part(at + (node.quoted ? 1 : 0), end - at)});
        at = end;
    }
    return words;
}

std::nullopt_t refuse(Findings& findings, const Span& span, std::string message,
                      std::string_view help = forms) {
    findings.add(Kind::bad_sentence, span, std::move(message)).help = help;
    return std::nullopt;
}

// How many of `words` from `from` on spell the phrase; 0 when they do not.
std::size_t phrase_length(const std::vector<Word>& words, std::size_t from,
                          std::string_view phrase) {
    std::size_t count = 0;
    while (!phrase.empty()) {
        const std::string_view word = phrase.substr(0, phrase.find(' '));
        if (from + count >= words.size() || words[from + count].text != word) {
            return 0;
        }
        ++count;
        phrase.remove_prefix(std::min(word.size() + 1, phrase.size()));
    }
    return count;
}

// "[a, b]" starting at words[from]: the values with their places.
std::optional<std::vector<Word>> read_values(const Node& node, const std::vector<Word>& words,
                                             std::size_t from, Findings& findings) {
    const std::size_t quote = node.quoted ? 1 : 0;
    const std::size_t start = words[from].span.column - node.span.column - quote;
    const std::string_view text = std::string_view(node.text).substr(start);
    if (text.size() < 2 || text.front() != '[' || text.back() != ']') {
        return refuse(findings, words[from].span, "the values stand in brackets: [a, b]");
    }
    std::vector<Word> values;
    std::size_t at = 1;
    while (at < text.size()) {
        const std::size_t end = text.find_first_of(",]", at);
        std::size_t first = at;
        std::size_t last = end;
        while (first < last && text[first] == ' ') {
            ++first;
        }
        while (last > first && text[last - 1] == ' ') {
            --last;
        }
        const Span span =
            node.span.part(start + quote + first, std::max<std::size_t>(last - first, 1));
        if (first == last || text.substr(first, last - first).find(' ') != std::string_view::npos) {
            return refuse(findings, span, "a value is missing or holds a space here");
        }
        values.push_back({std::string(text.substr(first, last - first)), span});
        at = end + 1;
    }
    return values;
}

// A figure may have several words ("5 ft 6 in"): they are joined again.
Word join(const std::vector<Word>& words, std::size_t from) {
    Word all = words[from];
    for (std::size_t i = from + 1; i < words.size(); ++i) {
        all.text += " " + words[i].text;
        all.span.length = words[i].span.column + words[i].span.length - all.span.column;
    }
    return all;
}

bool compares_figures(Verb verb) {
    return verb == Verb::more_than || verb == Verb::at_least || verb == Verb::at_most ||
           verb == Verb::less_than || verb == Verb::exactly;
}

bool read_objects(const Node& node, const std::vector<Word>& words, std::size_t from,
                  Sentence& sentence, Findings& findings) {
    if (from >= words.size()) {
        refuse(findings, words.back().span,
               "something must follow \"" + std::string(words_of(sentence.verb)) + "\"");
        return false;
    }
    if (sentence.verb == Verb::is_one_of || sentence.verb == Verb::is_not_one_of) {
        auto values = read_values(node, words, from, findings);
        if (!values) {
            return false;
        }
        sentence.objects = std::move(*values);
        return true;
    }
    const Word object = join(words, from);
    if (!compares_figures(sentence.verb) && from + 1 < words.size()) {
        refuse(findings, words[from + 1].span,
               "one value is expected after \"" + std::string(words_of(sentence.verb)) + "\"");
        return false;
    }
    sentence.objects.push_back(object);
    return true;
}

}  // namespace

std::optional<Sentence> read_sentence(const Node& node, Findings& findings) {
    if (!node.is_text()) {
        return refuse(findings, node.span,
                      "a sentence is expected here, not " + std::string(describe(node.shape)));
    }
    const std::vector<Word> words = split(node);
    if (words.empty()) {
        return refuse(findings, node.span, "a sentence is missing here");
    }
    for (std::size_t i = 0; i < words.size(); ++i) {
        const bool of_a_day = i > 0 && words[i - 1].text == "on";  // "is on or before"
        if (words[i].text == "and" || (words[i].text == "or" && !of_a_day)) {
            return refuse(findings, words[i].span, "one sentence holds one comparison",
                          "put the parts under all-of (and) or any-of (or)");
        }
    }
    Sentence sentence;
    sentence.whole = {node.text, node.span};
    std::size_t at = 0;
    if (words[0].text == "not") {
        sentence.negated = true;
        at = 1;
    }
    if (at >= words.size()) {
        return refuse(findings, words.back().span, "a name must follow \"not\"");
    }
    sentence.subject = words[at++];
    if (!is_name(sentence.subject.text)) {
        return refuse(findings, sentence.subject.span,
                      "\"" + sentence.subject.text +
                          "\" is not a name of lower-case words and hyphens");
    }
    if (at == words.size()) {
        return sentence;
    }
    if (sentence.negated) {
        return refuse(findings, words[at].span, "\"not\" stands before a name alone",
                      "write FACT is not VALUE, or turn the comparison round");
    }
    for (const Phrase& phrase : phrases) {
        if (const std::size_t length = phrase_length(words, at, phrase.words)) {
            sentence.verb = phrase.verb;
            if (!read_objects(node, words, at + length, sentence, findings)) {
                return std::nullopt;
            }
            return sentence;
        }
    }
    return refuse(findings, words[at].span, "\"" + words[at].text + "\" cannot follow a name here");
}

std::string_view words_of(Verb verb) {
    for (const Phrase& phrase : phrases) {
        if (phrase.verb == verb) {
            return phrase.words;
        }
    }
    return "holds";
}

bool is_name(std::string_view text) {
    constexpr std::size_t longest = 80;
    const auto letter = [](char c) { return c >= 'a' && c <= 'z'; };
    if (text.empty() || text.size() > longest || !letter(text.front()) || text.back() == '-') {
        return false;
    }
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        if (!letter(c) && !(c >= '0' && c <= '9') && (c != '-' || text[i - 1] == '-')) {
            return false;
        }
    }
    return true;
}

bool is_dotted_name(std::string_view text) {
    while (true) {
        const std::size_t dot = text.find('.');
        if (!is_name(text.substr(0, dot))) {
            return false;
        }
        if (dot == std::string_view::npos) {
            return true;
        }
        text.remove_prefix(dot + 1);
    }
}

}  // namespace toprail
