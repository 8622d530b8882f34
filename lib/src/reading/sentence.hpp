// Condition sentences: "platform-height is more than 10 ft". Syntax only; names are not looked up
// here.
#pragma once

#include "findings/collector.hpp"
#include "reading/tree.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace toprail {

/// A word or figure of a sentence, with its place.
struct Word {
    std::string text;
    Span span;
};

enum class Verb {
    holds,          // NAME
    is,             // NAME is VALUE
    is_not,         // NAME is not VALUE
    is_one_of,      // NAME is one of [..]
    is_not_one_of,  // NAME is not one of [..]
    more_than,
    at_least,
    at_most,
    less_than,
    exactly,
    before,
    on_or_before,
    on_or_after,
    after,
    on_day,
};

struct Sentence {
    Verb verb = Verb::holds;
    /// `not NAME`
    bool negated = false;
    Word subject;
    /// The values, the figure, the quantity name or the day; empty for `holds`.
    std::vector<Word> objects;
    /// The whole sentence as written.
    Word whole;
};

/// Reads a sentence from a text node; reports a finding and gives nothing when it is not one.
std::optional<Sentence> read_sentence(const Node& node, Findings& findings);

/// The verb as written: "is more than".
std::string_view words_of(Verb verb);

/// True for a name: lower-case letters and digits, words joined by single hyphens, a letter first.
bool is_name(std::string_view text);

/// True for names joined by dots, as authorities have.
bool is_dotted_name(std::string_view text);

}  // namespace toprail
