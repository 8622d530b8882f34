// Entry point: read_tree. yaml-cpp's events are turned into Nodes; its node tree is never built,
// since it accepts repeated keys silently and walking aliases in it may never end.
#include "reading/tree.hpp"

#include "findings/text.hpp"
#include "reading/yaml_slips.hpp"

#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/exceptions.h>
#include <yaml-cpp/mark.h>
#include <yaml-cpp/parser.h>

#include <algorithm>
#include <sstream>
#include <unordered_set>

namespace toprail {
namespace {

// Thrown to leave yaml-cpp's parser once a limit is passed; caught in read_tree.
struct Enough {};

class TreeBuilder final : public YAML::EventHandler {
  public:
    TreeBuilder(const Source& source, const Limits& limits, Findings& findings)
        : source_(source),
          limits_(limits),
          findings_(findings) {}

    std::optional<Node> take() { return std::move(root_); }

    void OnDocumentStart(const YAML::Mark& /*mark*/) override {}
    void OnDocumentEnd() override {}

    void OnNull(const YAML::Mark& mark, YAML::anchor_t anchor) override {
        report_anchor(mark, anchor);
        Node node;
        node.span = span_at(mark, 0);
        place(std::move(node));
    }

    void OnAlias(const YAML::Mark& mark, YAML::anchor_t /*anchor*/) override {
        // yaml-cpp gives the place of the anchor's own node for some aliases; the asterisk is
        // searched.
        const Span span = word_at(mark);
        findings_.add(Kind::alias, span, "an alias stands here").help =
            "write the value out; rulepacks have no aliases, so that each line says what it means";
        Node node;
        node.span = span;
        place(std::move(node));
    }

    void OnScalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                  const std::string& value) override {
        report_anchor(mark, anchor);
        report_tag(mark, tag);
        Node node;
        node.span = scalar_span(mark, value);
        node.quoted = tag == "!";
        report_open_quote(mark);
        if (value.size() > limits_.text) {
            findings_.add(Kind::long_text, node.span,
                          "this text has " + std::to_string(value.size()) + " bytes; at most " +
                              std::to_string(limits_.text) + " are read");
        } else {
            report_hidden(node.span, value);
            node.text = value;
        }
        place(std::move(node));
    }

    void OnSequenceStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                         YAML::EmitterStyle::value /*style*/) override {
        open(mark, tag, anchor, Node::Shape::list);
    }
    void OnSequenceEnd() override { close(); }

    void OnMapStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                    YAML::EmitterStyle::value /*style*/) override {
        open(mark, tag, anchor, Node::Shape::map);
    }
    void OnMapEnd() override { close(); }

  private:
    struct Frame {
        Node node;
        bool waiting_for_key = true;
        bool skip_value = false;
        std::string key;
        Span key_span;
        std::unordered_set<std::string> seen;
    };

    Span span_at(const YAML::Mark& mark, std::size_t length) const {
        return {&source_, static_cast<std::uint32_t>(mark.line + 1),
                static_cast<std::uint32_t>(mark.column + 1), static_cast<std::uint32_t>(length)};
    }

    [[nodiscard]] std::string_view rest_of_line(const YAML::Mark& mark) const {
        const std::string_view line = source_.line(static_cast<std::uint32_t>(mark.line + 1));
        return line.substr(
            std::min<std::size_t>(static_cast<std::size_t>(mark.column), line.size()));
    }

    Span word_at(const YAML::Mark& mark) const {
        const std::string_view rest = rest_of_line(mark);
        const std::size_t end = rest.find_first_of(" ,]}");
        return span_at(mark, end == std::string_view::npos ? rest.size() : end);
    }

    Span scalar_span(const YAML::Mark& mark, const std::string& value) const {
        const std::string_view rest = rest_of_line(mark);
        if (!rest.empty() && (rest.front() == '"' || rest.front() == '\'')) {
            const std::size_t end = rest.find(rest.front(), 1);
            return span_at(mark, end == std::string_view::npos ? rest.size() : end + 1);
        }
        return span_at(mark, std::min(value.size(), rest.size()));
    }

    void report_anchor(const YAML::Mark& mark, YAML::anchor_t anchor) {
        if (anchor != 0) {
            findings_.add(Kind::anchor, word_at(mark), "an anchor stands here").help =
                "leave the anchor out and write the value where it is needed";
        }
    }

    // yaml-cpp takes the end of the text for the end of a quote that nobody closed.
    void report_open_quote(const YAML::Mark& mark) {
        const std::string& bytes = source_.bytes();
        std::size_t at = source_.offset(static_cast<std::uint32_t>(mark.line + 1),
                                        static_cast<std::uint32_t>(mark.column + 1));
        const char quote = at < bytes.size() ? bytes[at] : ' ';
        if (quote != '"' && quote != '\'') {
            return;
        }
        for (++at; at < bytes.size(); ++at) {
            const bool escape = bytes[at] == '\\' && quote == '"';
            const bool doubled = bytes[at] == quote && quote == '\'' && at + 1 < bytes.size() &&
                                 bytes[at + 1] == quote;
            if (escape || doubled) {
                ++at;
            } else if (bytes[at] == quote) {
                return;
            }
        }
        findings_.add(Kind::not_yaml, span_at(mark, 1), "this quote is never closed").help =
            "close it on the line where the text ends";
        throw Enough{};
    }

    // Escapes in double quotes bring in what the bytes of the file may not hold.
    void report_hidden(const Span& span, const std::string& value) {
        for (std::size_t at = 0; at < value.size();) {
            const std::size_t start = at;
            const auto c = next_valid_code_point(value, at);
            if (!c || hides_text(*c) || *c == '\r') {
                findings_
                    .add(Kind::control_character, span,
                         "the character " +
                             shown(std::string_view(value).substr(start, at - start)) +
                             " is invisible or changes how the text is shown")
                    .help = "take the escape out";
                return;
            }
        }
    }

    void report_tag(const YAML::Mark& mark, const std::string& tag) {
        if (!tag.empty() && tag != "?" && tag != "!") {
            findings_.add(Kind::tag, word_at(mark), "a tag stands here").help =
                "leave the tag out; the key already says what kind of value is expected";
        }
    }

    void open(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
              Node::Shape shape) {
        report_anchor(mark, anchor);
        report_tag(mark, tag);
        if (stack_.size() >= limits_.depth) {
            findings_.add(Kind::too_deep, span_at(mark, 1),
                          "more than " + std::to_string(limits_.depth) +
                              " levels of lists and maps");
            throw Enough{};
        }
        Frame frame;
        frame.node.shape = shape;
        frame.node.span = span_at(mark, 1);
        stack_.push_back(std::move(frame));
    }

    void close() {
        Node node = std::move(stack_.back().node);
        stack_.pop_back();
        place(std::move(node));
    }

    void place(Node node) {
        if (++count_ > limits_.nodes) {
            findings_.add(Kind::too_many_nodes, node.span,
                          "more than " + std::to_string(limits_.nodes) +
                              " keys and values in one file");
            throw Enough{};
        }
        if (stack_.empty()) {
            root_ = std::move(node);
            return;
        }
        Frame& frame = stack_.back();
        if (frame.node.is_list()) {
            frame.node.items.push_back(std::move(node));
        } else if (frame.waiting_for_key) {
            take_key(frame, node);
        } else {
            if (!frame.skip_value) {
                frame.node.entries.push_back(
                    {std::move(frame.key), frame.key_span, std::move(node)});
            }
            frame.waiting_for_key = true;
        }
    }

    void take_key(Frame& frame, const Node& node) {
        frame.waiting_for_key = false;
        frame.skip_value = false;
        frame.key = node.text;
        frame.key_span = node.span;
        if (!node.is_text()) {
            findings_.add(Kind::complex_key, node.span,
                          "a key is " + std::string(describe(node.shape)));
            frame.skip_value = true;
        } else if (node.text == "<<" && !node.quoted) {
            findings_.add(Kind::merge_key, node.span, "a merge key stands here").help =
                "write the keys out that it would copy";
            frame.skip_value = true;
        } else if (!frame.seen.insert(node.text).second) {
            const bool full = findings_.full(&source_);
            Finding& finding =
                findings_.add(Kind::duplicate_key, node.span,
                              "the key \"" + node.text + "\" stands twice in this map");
            if (!full) {
                const auto first =
                    std::find_if(frame.node.entries.begin(), frame.node.entries.end(),
                                 [&node](const Entry& entry) { return entry.key == node.text; });
                finding.others.push_back({place_of(first->key_span), "first"});
            }
            finding.help = "keep one of the two";
            frame.skip_value = true;
        }
    }

    const Source& source_;
    const Limits& limits_;
    Findings& findings_;
    std::vector<Frame> stack_;
    std::optional<Node> root_;
    std::size_t count_ = 0;
};

Span span_of_offset(const Source& source, std::size_t offset) {
    const std::string_view before = std::string_view(source.bytes()).substr(0, offset);
    const auto lines = static_cast<std::uint32_t>(std::count(before.begin(), before.end(), '\n'));
    const std::size_t last = before.rfind('\n');
    const std::size_t start = last == std::string_view::npos ? 0 : last + 1;
    return {&source, lines + 1, static_cast<std::uint32_t>(offset - start + 1), 1};
}

// A list or map in brackets may turn out to be a key, so yaml-cpp keeps all of it, at some hundred
// bytes for each mark, before it tells of its beginning: by then no limit helps. Marks are counted
// wherever they stand, in comments and quotes too; no text that people write has so many.
bool brackets_sound(const Source& source, const Limits& limits, Findings& findings) {
    constexpr std::size_t most_open = 10'000;
    const std::string& bytes = source.bytes();
    std::size_t open = 0;
    std::size_t marks = 0;
    for (std::size_t at = 0; at < bytes.size(); ++at) {
        const char c = bytes[at];
        const bool opens = c == '[' || c == '{';
        const bool closes = c == ']' || c == '}';
        if (!opens && !closes && c != ',') {
            continue;
        }
        open += opens ? 1U : 0U;
        open -= closes && open > 0 ? 1U : 0U;
        if (open > most_open) {
            findings.add(Kind::too_deep, span_of_offset(source, at),
                         "more than " + std::to_string(most_open) + " brackets are open here");
            return false;
        }
        if (++marks > limits.nodes) {
            findings.add(Kind::too_many_nodes, span_of_offset(source, at),
                         "more than " + std::to_string(limits.nodes) +
                             " commas and brackets in one file");
            return false;
        }
    }
    return true;
}

// True when the bytes are safe to hand to the parser.
bool bytes_sound(const Source& source, const Limits& limits, Findings& findings) {
    const std::string& bytes = source.bytes();
    if (bytes.size() > limits.bytes) {
        findings.add(Kind::too_large, {&source, 0, 0, 0},
                     "the file has " + std::to_string(bytes.size()) + " bytes; at most " +
                         std::to_string(limits.bytes) + " are read");
        return false;
    }
    if (const auto bad = first_invalid_utf8(bytes)) {
        findings.add(Kind::not_utf8, span_of_offset(source, *bad), "these bytes are not UTF-8")
            .help = "save the file as UTF-8";
        return false;
    }
    for (std::size_t at = 0; at < bytes.size();) {
        const std::size_t start = at;
        if (hides_text(next_code_point(bytes, at))) {
            Span span = span_of_offset(source, start);
            span.length = static_cast<std::uint32_t>(at - start);
            findings
                .add(Kind::control_character, span,
                     "the character " + shown(std::string_view(bytes).substr(start, at - start)) +
                         " is invisible or changes how the line is shown")
                .help = "remove it";
            return false;
        }
    }
    return brackets_sound(source, limits, findings);
}

}  // namespace

const Node* Node::find(std::string_view key) const {
    for (const Entry& entry : entries) {
        if (entry.key == key) {
            return &entry.value;
        }
    }
    return nullptr;
}

std::string_view describe(Node::Shape shape) {
    switch (shape) {
    case Node::Shape::list:
        return "a list";
    case Node::Shape::map:
        return "a map";
    case Node::Shape::text:
        break;
    }
    return "a text";
}

std::optional<Node> read_tree(const Source& source, const Limits& limits, Findings& findings) {
    if (!bytes_sound(source, limits, findings)) {
        return std::nullopt;
    }
    TreeBuilder builder(source, limits, findings);
    std::istringstream stream(source.bytes());
    try {
        YAML::Parser parser(stream);
        if (!parser.HandleNextDocument(builder)) {
            findings.add(Kind::not_yaml, {&source, 0, 0, 0}, "the file holds nothing");
            return std::nullopt;
        }
        std::optional<Node> root = builder.take();
        TreeBuilder rest(source, limits, findings);
        if (parser.HandleNextDocument(rest)) {
            const std::optional<Node> second = rest.take();
            findings
                .add(Kind::several_documents, second ? second->span : Span{&source, 0, 0, 0},
                     "a second document begins here")
                .help = "put it into a file of its own";
        }
        return root;
    } catch (const Enough&) {
        return std::nullopt;
    } catch (const YAML::Exception& trouble) {
        const bool placed = trouble.mark.line >= 0;
        report_yaml_slip(source, placed ? static_cast<std::uint32_t>(trouble.mark.line + 1) : 0,
                         placed ? static_cast<std::uint32_t>(trouble.mark.column + 1) : 0,
                         trouble.msg, findings);
        return std::nullopt;
    }
}

}  // namespace toprail
