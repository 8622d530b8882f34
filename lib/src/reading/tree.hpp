// The source tree: a YAML text as maps, lists and texts, each with its place.
// Built by read_tree, immutable afterwards; the Source must outlive it.
#pragma once

#include "findings/collector.hpp"
#include "toprail/limits.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace toprail {

struct Entry;

struct Node {
    enum class Shape { text, list, map };

    Shape shape = Shape::text;
    Span span;
    /// For texts only.
    std::string text;
    /// A text that stood in quotes: never a number, a date or yes/no by accident.
    bool quoted = false;
    std::vector<Node> items;
    std::vector<Entry> entries;

    [[nodiscard]] bool is_text() const { return shape == Shape::text; }
    [[nodiscard]] bool is_list() const { return shape == Shape::list; }
    [[nodiscard]] bool is_map() const { return shape == Shape::map; }
    /// The value under a key, or null.
    [[nodiscard]] const Node* find(std::string_view key) const;
};

struct Entry {
    std::string key;
    Span key_span;
    Node value;
};

/// "a list", "a map" or "a text".
std::string_view describe(Node::Shape shape);

/// Reads the text. Duplicate keys, aliases, anchors, tags, merge keys and everything past the
/// limits become findings; reading goes on after those that leave the rest readable. Empty when
/// there is no tree to look at.
std::optional<Node> read_tree(const Source& source, const Limits& limits, Findings& findings);

}  // namespace toprail
