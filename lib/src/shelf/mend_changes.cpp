// Entry points: trap_changes, unused_changes, never_true_changes.
#include "shelf/mend_changes.hpp"

#include "shelf/checks.hpp"
#include "shelf/each_tree.hpp"
#include "shelf/yaml_traps.hpp"

#include <algorithm>
#include <limits>
#include <map>
#include <optional>
#include <set>
#include <tuple>
#include <utility>

namespace toprail {
namespace {

bool is_blank_or_comment(std::string_view line) {
    const std::size_t first = line.find_first_not_of(' ');
    return first == std::string_view::npos || line[first] == '#';
}

std::size_t indent_of(std::string_view line) {
    return std::min(line.find_first_not_of(' '), line.size());
}

using Bytes = std::pair<std::size_t, std::size_t>;  // from, to

// The lines of a block entry that begins with a key: its own and all that are indented further.
// Blank lines and comments behind it stay, since they may speak of what follows. Empty when the key
// does not stand first on its line.
std::optional<Bytes> block_at(const Source& source, const Span& key) {
    const std::size_t indent = key.column - 1;
    if (indent_of(source.line(key.line)) != indent) {
        return std::nullopt;
    }
    std::uint32_t last = key.line;
    const auto lines = static_cast<std::uint32_t>(
        std::count(source.bytes().begin(), source.bytes().end(), '\n') + 1);
    for (std::uint32_t at = key.line + 1; at <= lines; ++at) {
        const std::string_view line = source.line(at);
        if (is_blank_or_comment(line)) {
            continue;
        }
        if (indent_of(line) <= indent) {
            break;
        }
        last = at;
    }
    return Bytes{source.offset(key.line, 1), source.offset(last + 1, 1)};
}

// The line of a list item that holds nothing but the sentence.
std::optional<Bytes> item_at(const Source& source, const Span& sentence) {
    const std::string_view line = source.line(sentence.line);
    const std::size_t dash = indent_of(line);
    const std::string_view rest = line.substr(std::min(dash + 1, line.size()));
    const bool item = dash < line.size() && line[dash] == '-' && rest.starts_with(' ') &&
                      dash + 1 + indent_of(rest) + 1 == sentence.column;
    const std::string_view behind =
        line.substr(std::min<std::size_t>(sentence.column - 1 + sentence.length, line.size()));
    if (!item || !is_blank_or_comment(behind)) {
        return std::nullopt;
    }
    return Bytes{source.offset(sentence.line, 1), source.offset(sentence.line + 1, 1)};
}

TextChange taken_out(const Source& source, const Bytes& bytes, std::string says) {
    return {&source, bytes.first, bytes.second - bytes.first, {}, "took out " + std::move(says)};
}

}  // namespace

std::vector<TextChange> trap_changes(const ShelfData& data) {
    std::vector<TextChange> changes;
    for (const YamlTrap& trap : find_yaml_traps(data.model)) {
        const Source& source = *trap.span.source;
        const std::size_t from = source.offset(trap.span.line, trap.span.column);
        const std::string was = source.bytes().substr(from, trap.span.length);
        changes.push_back(
            {&source, from, trap.span.length, trap.instead, was + " is now " + trap.instead});
    }
    return changes;
}

// A map that loses its last entry would be left as a key without value, so that one stays.
// Quantities that nothing uses stay, too: decisions tell them.
std::vector<TextChange> unused_changes(const ShelfData& data) {
    std::vector<TextChange> changes;
    std::map<const Source*, std::size_t> left;
    for (const Condition& condition : data.model.conditions) {
        ++left[condition.span.source];
    }
    const auto [begin, end] = boost::vertices(data.graph);
    for (auto it = begin; it != end; ++it) {
        const Vertex& vertex = data.graph[*it];
        if (vertex.kind != VertexKind::condition || boost::in_degree(*it, data.graph) > 0) {
            continue;
        }
        const Condition& condition = data.model.conditions[vertex.index];
        const Source& source = *condition.span.source;
        const auto block = block_at(source, condition.span);
        if (block && left[&source] > 1) {
            --left[&source];
            changes.push_back(taken_out(
                source, *block, "the condition \"" + condition.name + "\", which decides nothing"));
        }
    }
    return changes;
}

std::vector<TextChange> never_true_changes(const ShelfData& data) {
    // All of them: this is no list for people.
    Findings findings(std::numeric_limits<std::size_t>::max());
    report_never_true(data, findings);
    std::set<std::tuple<std::string, std::uint32_t, std::uint32_t>> never;
    for (const Finding& finding : findings.all()) {
        if (finding.code == "never-true") {
            never.emplace(finding.place.file, finding.place.line, finding.place.column);
        }
    }
    std::vector<TextChange> changes;
    each_tree(data.model, [&](const ConditionTree& tree) {
        if (tree.shape != ConditionTree::Shape::any_of || tree.parts.size() < 2) {
            return;
        }
        for (const ConditionTree& part : tree.parts) {
            if (part.shape != ConditionTree::Shape::sentence) {
                continue;
            }
            const Span& span = part.sentence.whole.span;
            const Place place = place_of(span);
            const auto item = never.contains({place.file, place.line, place.column})
                                  ? item_at(*span.source, span)
                                  : std::nullopt;
            if (item) {
                changes.push_back(taken_out(*span.source, *item,
                                            "the alternative \"" + part.sentence.whole.text +
                                                "\", which is never true"));
                return;
            }
        }
    });
    return changes;
}

}  // namespace toprail
