// Entry points: rewritten, in_other_units.

#include "oracle/rewrite.hpp"

#include "findings/collector.hpp"
#include "oracle/model.hpp"
#include "quantity/unit.hpp"
#include "reading/tree.hpp"

#include <algorithm>
#include <random>

namespace oracle {

namespace {

using toprail::Node;
using Random = std::mt19937_64;

/// The shuffle of the standard library may differ from platform to platform.
template <typename List>
void shuffle(List& list, Random& random) {
    for (std::size_t left = list.size(); left > 1; --left) {
        std::swap(list[left - 1], list[random() % left]);
    }
}

bool is_set(const std::string& key) {
    static const std::set<std::string> sets{"all-of", "any-of",  "none-of",  "bars",
                                            "admits", "relaxes", "displaces"};
    return sets.count(key) != 0;
}

class Writer {
  public:
    Writer(Rewriting rewriting, std::uint64_t seed) : rewriting_(rewriting), random_(seed) {}

    void write(const Node& node, const std::string& key, bool root = false) {
        if (node.is_text()) {
            write_text(node);
        } else if (node.is_list()) {
            write_list(node.items, key);
        } else {
            write_map(node.entries, root);
        }
    }
    std::string text;

  private:
    void write_text(const Node& node) {
        const std::string words =
            rewriting_ == Rewriting::units ? in_other_units(node.text, random_()) : node.text;
        // No text of a world holds an apostrophe.
        text += node.quoted ? "'" + words + "'" : words;
    }

    void write_list(std::vector<Node> items, const std::string& key) {
        if (rewriting_ == Rewriting::provision_order
                ? key == "provisions"
                : rewriting_ == Rewriting::part_order && is_set(key)) {
            shuffle(items, random_);
        }
        text += "[";
        for (const Node& item : items) {
            write(item, {});
            text += ", ";
        }
        text += "]";
    }

    void write_map(std::vector<toprail::Entry> entries, bool root) {
        if (rewriting_ == Rewriting::key_order) {
            // The first key of a file says what it is.
            toprail::Entry first = entries.front();
            if (root) {
                entries.erase(entries.begin());
            }
            shuffle(entries, random_);
            if (root) {
                entries.insert(entries.begin(), std::move(first));
            }
        }
        text += "{";
        for (const auto& entry : entries) {
            text += entry.key + ": ";
            write(entry.value, entry.key);
            text += ", ";
        }
        text += "}";
    }

    Rewriting rewriting_;
    Random random_;
};

bool is_figure_part(char letter) {
    return (letter >= '0' && letter <= '9') || letter == '.' || letter == ',';
}

/// The same figure in another unit of its kind, where some unit says it exactly.
std::string in_another_unit(const std::string& text, std::size_t first) {
    const toprail::Figure figure = toprail::read_figure(text).figure.value();
    const auto units = toprail::units_of(figure.dimension);
    for (std::size_t i = 0; i < units.size(); ++i) {
        const std::string unit(units[(first + i) % units.size()]);
        bool exact = true;
        const std::string number =
            toprail::decimal(figure.base / toprail::find_unit(unit)->scale, 20, exact);
        if (exact && !text.ends_with(" " + unit)) {
            return number + " " + unit;
        }
    }
    return text;
}

/// The end of a number with its unit that begins there, or where it begins when none does.
std::size_t end_of_measure(const std::string& text, std::size_t at) {
    std::size_t end = at;
    while (end < text.size() && is_figure_part(text[end])) {
        ++end;
    }
    const std::size_t unit = end > at && end + 1 < text.size() && text[end] == ' '
                                 ? toprail::leading_unit(std::string_view(text).substr(end + 1))
                                 : 0;
    return unit == 0 ? at : end + 1 + unit;
}

}  // namespace

toprail::SourceText rewritten(const toprail::SourceText& text, Rewriting rewriting,
                              std::uint64_t seed) {
    const toprail::Source source(text.name, text.text);
    toprail::Findings findings;
    const auto root = toprail::read_tree(source, toprail::Limits{}, findings);
    if (!root) {
        throw Unusable("no tree: " + text.name);
    }
    Writer writer(rewriting, seed);
    writer.write(*root, {}, true);
    return {text.name, writer.text + "\n"};
}

std::string in_other_units(const std::string& text, std::uint64_t seed) {
    std::string out;
    std::size_t at = 0;
    while (at < text.size()) {
        const bool starts = at == 0 || text[at - 1] == ' ' || text[at - 1] == '(';
        // Feet and inches are one figure.
        std::size_t end = starts ? end_of_measure(text, at) : at;
        while (end > at && end < text.size() && text[end] == ' ') {
            const std::size_t more = end_of_measure(text, end + 1);
            if (more == end + 1) {
                break;
            }
            end = more;
        }
        if (end == at) {
            out += text[at++];
            continue;
        }
        out += in_another_unit(text.substr(at, end - at), seed++);
        at = end;
    }
    return out;
}

}  // namespace oracle
