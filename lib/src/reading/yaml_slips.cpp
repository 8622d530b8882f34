// Entry point: report_yaml_slip. The parser names the place where it could not go on, which is
// often behind the slip itself: brackets, quotes and the lines above are looked at again here.
#include "reading/yaml_slips.hpp"

#include <yaml-cpp/exceptions.h>

#include <algorithm>
#include <set>
#include <string>
#include <vector>

namespace toprail {
namespace {

constexpr auto none = std::string_view::npos;

struct Spot {
    std::uint32_t line = 0;
    std::uint32_t column = 0;
};

struct Bracket {
    char closing = ']';
    Spot at;

    friend bool operator==(const Bracket& a, const Bracket& b) {
        return a.at.line == b.at.line && a.at.column == b.at.column;
    }
};

/// Which brackets and quotes are open at a place.
struct Nesting {
    std::vector<Bracket> open;
    /// The last quoted text: where it begins and, unless it is still open, ends.
    Spot quote;
    Spot quote_end;
};

std::size_t indent_of(std::string_view line) {
    const std::size_t at = line.find_first_not_of(' ');
    return at == none ? line.size() : at;
}

bool is_item(std::string_view line) {
    const std::string_view rest = line.substr(indent_of(line));
    return rest == "-" || rest.starts_with("- ");
}

// The column at which the keys of this line's entry begin: behind the hyphens of a list.
std::size_t entry_indent(std::string_view line) {
    std::size_t at = indent_of(line);
    while (is_item(line.substr(at)) && at + 2 <= line.size()) {
        at += 2 + indent_of(line.substr(at + 2));
    }
    return at;
}

std::size_t key_end(std::string_view text) {
    for (std::size_t at = text.find(':'); at != none; at = text.find(':', at + 1)) {
        if (at + 1 == text.size() || text[at + 1] == ' ') {
            return at;
        }
    }
    return none;
}

bool says_something(std::string_view line) {
    const std::size_t at = line.find_first_not_of(" \t");
    return at != none && line[at] != '#';
}

/// Walks through the text up to a place. Plain texts, comments and quotes are told apart as far as
/// brackets need it; indented block texts are not.
class Walk {
  public:
    explicit Walk(const Source& source) : source_(source) {}

    void to(Spot end) {
        for (; line_ <= end.line; ++line_, column_ = 0) {
            const std::string_view line = source_.line(line_);
            const std::size_t stop = line_ == end.line ? end.column - 1 : line.size();
            for (; column_ < std::min(stop, line.size()); ++column_) {
                if (!take(line)) {
                    column_ = line.size();
                }
            }
            if (line_ == end.line) {
                return;
            }
        }
    }

    [[nodiscard]] const Nesting& nesting() const { return nesting_; }

  private:
    // False when the rest of the line is a comment.
    bool take(std::string_view line) {
        const char c = line[column_];
        const Spot here{line_, static_cast<std::uint32_t>(column_ + 1)};
        if (quote_ != 0) {
            take_quoted(line, here);
            return true;
        }
        const bool begins =
            column_ == 0 || std::string_view(" [{,:").find(line[column_ - 1]) != none;
        if (c == '#' && begins) {
            return false;
        }
        if ((c == '"' || c == '\'') && begins) {
            quote_ = c;
            nesting_.quote = here;
            nesting_.quote_end = {};
        } else if ((c == '[' || c == '{') && (begins || !nesting_.open.empty())) {
            nesting_.open.push_back({c == '[' ? ']' : '}', here});
        } else if ((c == ']' || c == '}') && !nesting_.open.empty() &&
                   nesting_.open.back().closing == c) {
            nesting_.open.pop_back();
        }
        return true;
    }

    void take_quoted(std::string_view line, Spot here) {
        const char c = line[column_];
        const bool doubled = c == '\'' && column_ + 1 < line.size() && line[column_ + 1] == '\'';
        if (quote_ == '"' ? c == '\\' : doubled) {
            ++column_;
        } else if (c == quote_) {
            quote_ = 0;
            nesting_.quote_end = here;
        }
    }

    const Source& source_;
    Nesting nesting_;
    std::uint32_t line_ = 1;
    std::size_t column_ = 0;
    char quote_ = 0;
};

class Slip {
  public:
    Slip(const Source& source, Spot at, std::string_view seen, Findings& findings)
        : source_(source),
          at_(at),
          seen_(seen),
          findings_(findings) {}

    void report() {
        if (at_.line == 0 ||
            !(tab() || character() || quote() || bracket() || entry() || layout())) {
            add(at_, "the text does not follow YAML from here on",
                "look at the indentation and at brackets, quotes and colons on this line and the "
                "one above");
        }
    }

  private:
    Finding& put(Spot spot, std::string message, std::string help) {
        Finding& finding = findings_.add(Kind::not_yaml, {&source_, spot.line, spot.column, 1},
                                         std::move(message));
        finding.help = std::move(help);
        return finding;
    }
    // Always true: the slip is told.
    bool add(Spot spot, std::string message, std::string help) {
        put(spot, std::move(message), std::move(help));
        return true;
    }

    [[nodiscard]] std::string_view line() const { return source_.line(at_.line); }
    [[nodiscard]] char here() const {
        return at_.column <= line().size() ? line()[at_.column - 1] : ' ';
    }
    static Spot spot(std::uint32_t line, std::size_t column_from_0) {
        return {line, static_cast<std::uint32_t>(column_from_0 + 1)};
    }

    // The number of the nearest line above that says something; 0 for none.
    [[nodiscard]] std::uint32_t above(std::uint32_t line) const {
        while (--line > 0 && !says_something(source_.line(line))) {
        }
        return line;
    }

    bool tab() {
        const std::size_t at = line().find_first_not_of(' ');
        return at != none && line()[at] == '\t' &&
               add(spot(at_.line, at), "a tab stands in the indentation",
                   "indent with spaces, two for each level");
    }

    bool character() {
        if (seen_.starts_with(YAML::ErrorMsg::INVALID_ESCAPE)) {
            const std::size_t stroke = line().substr(0, at_.column - 1).rfind('\\');
            return add(stroke == none ? at_ : spot(at_.line, stroke),
                       "a backslash begins something unknown inside double quotes",
                       "write it twice, or put the text into single quotes");
        }
        // "\ud83d\ude00": JSON writes characters beyond the first 65,536 in two halves.
        if (seen_.starts_with(YAML::ErrorMsg::INVALID_UNICODE)) {
            const std::size_t stroke = line().substr(0, at_.column - 1).rfind('\\');
            return add(stroke == none ? at_ : spot(at_.line, stroke),
                       "this escape is no character, or half of one",
                       "write the character itself: the file is UTF-8");
        }
        const bool first = seen_ == YAML::ErrorMsg::UNKNOWN_TOKEN ||
                           seen_.starts_with(YAML::ErrorMsg::UNKNOWN_ANCHOR) ||
                           seen_.starts_with("the referenced anchor");
        return first && says_something(line()) &&
               add(at_, std::string("a text cannot begin with \"") + here() + "\"",
                   "put the whole text into quotes");
    }

    // A bracket that another one contradicts, or that stays open for good.
    bool bracket() {
        Walk walk(source_);
        walk.to(at_);
        const std::vector<Bracket> open = walk.nesting().open;
        if (seen_ == YAML::ErrorMsg::FLOW_END) {
            return open.empty() ? add(at_, "this bracket closes nothing", "take it out")
                                : contradicted(open.back());
        }
        // Of a bracket that stays open to the end of the text the parser names the line alone.
        const bool in_brackets =
            seen_ == YAML::ErrorMsg::END_OF_MAP_FLOW || seen_ == YAML::ErrorMsg::END_OF_SEQ_FLOW;
        if (open.empty() && !in_brackets) {
            return false;
        }
        const std::string& bytes = source_.bytes();
        walk.to({static_cast<std::uint32_t>(std::count(bytes.begin(), bytes.end(), '\n') + 2), 1});
        const std::vector<Bracket>& left = walk.nesting().open;
        for (auto each = left.rbegin(); each != left.rend(); ++each) {
            if (open.empty() || std::find(open.begin(), open.end(), *each) != open.end()) {
                return unclosed(*each);
            }
        }
        return here() == ':' && add(at_, "a second colon stands in this entry",
                                    "put a comma between entries, and a text with a colon into "
                                    "quotes");
    }

    bool contradicted(const Bracket& bracket) {
        put(at_, "this bracket is of another kind than the one it would close",
            std::string("close that one with ") + bracket.closing + " first, or take this one out")
            .others.push_back(
                {place_of({&source_, bracket.at.line, bracket.at.column, 1}), "opened here"});
        return true;
    }

    bool unclosed(const Bracket& bracket) {
        return add(bracket.at, "this bracket is not closed",
                   std::string("close it with ") + bracket.closing + " where its list or map ends");
    }

    // Text right behind a quote that closes: it closed too early, or a quote above never did.
    bool quote() {
        Walk walk(source_);
        walk.to(at_);
        const Spot from = walk.nesting().quote;
        const Spot end = walk.nesting().quote_end;
        if (end.line != at_.line || std::string_view(",:]}").find(here()) != none ||
            line().substr(end.column, at_.column - 1 - end.column).find_first_not_of(' ') != none) {
            return false;
        }
        if (from.line != end.line) {
            return add(from, "this quote is not closed on its line",
                       "close it where the text ends");
        }
        return add(end, "the quote closes here, and text follows",
                   line()[end.column - 1] == '"'
                       ? "put the whole text into single quotes, or take the quotes out"
                       : "put the whole text into double quotes, or write its apostrophe twice");
    }

    // A colon that cannot make a key of what stands before it.
    bool entry() {
        if (seen_ != YAML::ErrorMsg::MAP_VALUE) {
            return false;
        }
        const std::size_t start = entry_indent(line());
        if (start < at_.column && key_end(line().substr(start, at_.column - 1 - start)) != none) {
            return add(at_, "a second colon stands in this line",
                       "put the text behind the first colon into quotes");
        }
        const std::uint32_t before = above(at_.line);
        if (before == 0 || no_colon(before)) {
            return before != 0;
        }
        const std::size_t other = entry_indent(source_.line(before));
        return start != other &&
               add(spot(at_.line, start),
                   "this begins in column " + std::to_string(start + 1) +
                       ", what stands above it in column " + std::to_string(other + 1),
                   "the keys of one entry begin in one column; only what stands below a key "
                   "without a value is indented deeper");
    }

    // Reports a line that should hold a key and has no colon behind one.
    bool no_colon(std::uint32_t number) {
        const std::string_view whole = source_.line(number);
        const std::size_t start = entry_indent(whole);
        const std::string_view text = whole.substr(std::min(start, whole.size()));
        if (key_end(text) != none || text.find_first_of("[]{}\"'") == 0) {
            return false;
        }
        const std::uint32_t before = above(number);
        const std::string_view key = before == 0 ? "" : source_.line(before);
        const std::size_t sign = key.find_last_of(">|");
        if (sign != none && sign + 2 >= key.size() && sign > 0 && key[sign - 1] == ' ') {
            return add(spot(number, start), "this text is not indented deeper than its key",
                       "indent it by two more than the key above");
        }
        const std::size_t colon = text.find(':');
        return colon == none ? add(spot(number, start), "this line has no colon behind its key",
                                   "write key: value, with a space behind the colon")
                             : add(spot(number, start + colon), "this colon has no space behind it",
                                   "write key: value");
    }

    // A line that begins where nothing above it lets it begin.
    bool layout() {
        if (seen_ == YAML::ErrorMsg::BLOCK_ENTRY) {
            return add(at_, "a list begins behind a key on the same line",
                       "begin it on a line of its own, or write it as [a, b]");
        }
        const std::size_t indent = indent_of(line());
        const std::string_view rest = line().substr(indent);
        if (rest.size() > 1 && rest[0] == '-' && !is_item(rest)) {
            return add(spot(at_.line, indent), "a hyphen stands here without a space behind it",
                       "write a hyphen and a space before each entry of a list");
        }
        std::set<std::size_t> keys;
        std::set<std::size_t> items;
        std::size_t least = none;
        for (std::uint32_t at = above(at_.line); at > 0 && least > 0; at = above(at)) {
            const std::string_view other = source_.line(at);
            if (entry_indent(other) < least) {
                keys.insert(entry_indent(other));
            }
            if (is_item(other) && indent_of(other) < least) {
                items.insert(indent_of(other));
            }
            least = std::min(least, indent_of(other));
        }
        if (is_item(line()) && keys.contains(indent) && !items.contains(indent)) {
            return add(spot(at_.line, indent), "an entry of a list stands among keys",
                       "take the hyphen out, or indent the entry deeper, below its key");
        }
        if (says_something(line()) && no_colon(at_.line)) {
            return true;
        }
        keys.merge(items);
        if (keys.empty() || keys.contains(indent)) {
            return false;
        }
        std::vector<std::string> columns;
        for (const std::size_t each : keys) {
            columns.push_back(std::to_string(each + 1));
        }
        return add(spot(at_.line, indent),
                   "this begins in column " + std::to_string(indent + 1) +
                       ", where nothing above it begins",
                   "begin it in column " + list_or(columns) + ", as what it belongs to does");
    }

    const Source& source_;
    Spot at_;
    std::string_view seen_;
    Findings& findings_;
};

}  // namespace

void report_yaml_slip(const Source& source, std::uint32_t line, std::uint32_t column,
                      std::string_view seen, Findings& findings) {
    Slip(source, {line, std::max<std::uint32_t>(column, 1)}, seen, findings).report();
}

}  // namespace toprail
