// Entry point: mend.
#include "shelf/checks.hpp"
#include "shelf/mend_changes.hpp"
#include "shelf/sameness.hpp"
#include "toprail/mending.hpp"

#include <algorithm>
#include <limits>
#include <map>
#include <numeric>
#include <set>

namespace toprail {
namespace {

// A text with the number that each of its lines had at first.
struct Text {
    std::string bytes;
    std::vector<std::uint32_t> lines;
};
using Texts = std::map<std::string, Text>;

std::vector<std::string> lines_of(std::string_view bytes) {
    std::vector<std::string> lines;
    while (!bytes.empty()) {
        const std::size_t end = std::min(bytes.find('\n'), bytes.size());
        lines.emplace_back(bytes.substr(0, end));
        bytes.remove_prefix(std::min(end + 1, bytes.size()));
    }
    return lines;
}

MendedPart apply(const TextChange& change, Text& text) {
    std::string& bytes = text.bytes;
    // Whole lines: what was and what is told of a change.
    const std::size_t before =
        change.from == 0 ? std::string::npos : bytes.rfind('\n', change.from - 1);
    const std::size_t start = before == std::string::npos ? 0 : before + 1;
    const bool whole_lines =
        change.from == start && change.size > 0 && bytes[change.from + change.size - 1] == '\n';
    const std::size_t end =
        whole_lines ? change.from + change.size
                    : std::min(bytes.find('\n', change.from + change.size), bytes.size());
    MendedPart part;
    part.file = change.source->name();
    part.says = change.says;
    const auto line =
        std::count(bytes.begin(), bytes.begin() + static_cast<std::ptrdiff_t>(start), '\n');
    part.line = text.lines[static_cast<std::size_t>(line)];
    part.removed = lines_of(std::string_view(bytes).substr(start, end - start));
    bytes.replace(change.from, change.size, change.instead);
    const std::size_t new_end = end - change.size + change.instead.size();
    part.added = lines_of(std::string_view(bytes).substr(start, new_end - start));
    if (whole_lines) {
        const auto first = text.lines.begin() + line;
        text.lines.erase(first, first + static_cast<std::ptrdiff_t>(part.removed.size()));
    }
    return part;
}

// From the last to the first, so that places before a change stay where they are.
std::vector<MendedPart> apply(std::vector<TextChange> changes, Texts& texts) {
    std::sort(changes.begin(), changes.end(), [](const TextChange& a, const TextChange& b) {
        return std::pair(b.source->name(), b.from) < std::pair(a.source->name(), a.from);
    });
    std::vector<MendedPart> parts;
    parts.reserve(changes.size());
    for (const TextChange& change : changes) {
        parts.push_back(apply(change, texts.at(change.source->name())));
    }
    std::reverse(parts.begin(), parts.end());
    return parts;
}

std::size_t failing_cases(const Shelf& shelf) {
    // All of them: they are counted, not shown.
    Findings findings(std::numeric_limits<std::size_t>::max());
    report_worked_cases(shelf, findings);
    return static_cast<std::size_t>(
        std::count_if(findings.all().begin(), findings.all().end(),
                      [](const Finding& finding) { return finding.code == "case-fails"; }));
}

Texts numbered(const std::vector<SourceText>& texts) {
    Texts all;
    for (const SourceText& text : texts) {
        Text& kept = all[text.name];
        kept.bytes = text.text;
        kept.lines.resize(
            static_cast<std::size_t>(std::count(text.text.begin(), text.text.end(), '\n') + 1));
        std::iota(kept.lines.begin(), kept.lines.end(), 1U);
    }
    return all;
}

class Mender {
  public:
    Mender(const std::vector<SourceText>& texts, const MendOptions& options)
        : options_(options),
          texts_(numbered(texts)),
          before_(texts_) {}

    Mending run() {
        LoadedShelf loaded = load(texts_);
        mending_.findings = std::move(loaded.findings);
        if (!loaded.shelf) {
            return std::move(mending_);
        }
        failing_ = failing_cases(*loaded.shelf);
        std::optional<Shelf> shelf = std::move(loaded.shelf);
        // Taking out one condition may leave another without use.
        while (shelf) {
            shelf = mend_once(*shelf);
        }
        for (const auto& [name, text] : texts_) {
            if (text.bytes != before_[name].bytes) {
                mending_.texts.push_back({name, text.bytes});
            }
        }
        std::stable_sort(mending_.parts.begin(), mending_.parts.end(),
                         [](const MendedPart& a, const MendedPart& b) {
                             return std::tie(a.file, a.line) < std::tie(b.file, b.line);
                         });
        return std::move(mending_);
    }

  private:
    using Changes = std::vector<TextChange>;
    using SameDecisions = std::function<bool(const Shelf&, const Shelf&)>;

    [[nodiscard]] LoadedShelf load(const Texts& texts) const {
        std::vector<SourceText> list;
        for (const auto& [name, text] : texts) {
            list.push_back({name, text.bytes, true});
        }
        return load_shelf(std::move(list), options_.load);
    }

    // The shelf with the changes made, when they are safe; they are then kept.
    std::optional<Shelf> accept(const Shelf& shelf, const Changes& changes,
                                const SameDecisions& same) {
        Texts changed = texts_;
        std::vector<MendedPart> parts = apply(changes, changed);
        LoadedShelf loaded = load(changed);
        if (!loaded.shelf || !same(shelf, *loaded.shelf) ||
            failing_cases(*loaded.shelf) > failing_) {
            return std::nullopt;
        }
        texts_ = std::move(changed);
        std::move(parts.begin(), parts.end(), std::back_inserter(mending_.parts));
        return loaded.shelf;
    }

    // A change that was refused is not tried again.
    [[nodiscard]] Changes allowed(Changes changes) const {
        std::erase_if(changes, [this](const TextChange& change) {
            const std::string& file = change.source->name();
            return (options_.may_change && !options_.may_change(file)) ||
                   refused_.contains(file + change.says);
        });
        return changes;
    }

    std::optional<Shelf> try_all(const Shelf& shelf, const Changes& changes,
                                 const SameDecisions& same) {
        if (changes.empty()) {
            return std::nullopt;
        }
        std::optional<Shelf> mended = accept(shelf, changes, same);
        // Some change among them is not safe: take the first that is, and look again.
        for (std::size_t i = 0; i < changes.size() && !mended; ++i) {
            mended = changes.size() > 1 ? accept(shelf, {changes[i]}, same) : std::nullopt;
            if (!mended) {
                refused_.insert(changes[i].source->name() + changes[i].says);
                ++mending_.dropped;
            }
        }
        return mended;
    }

    // One kind at a time: a value may stand inside a condition that goes away.
    std::optional<Shelf> mend_once(const Shelf& shelf) {
        const ShelfData& data = shelf.data();
        const SameDecisions by_reading = [](const Shelf& a, const Shelf& b) {
            return decide_alike(a.data(), b.data());
        };
        std::optional<Shelf> mended = try_all(shelf, allowed(trap_changes(data)), by_reading);
        if (!mended) {
            mended = try_all(shelf, allowed(unused_changes(data)), by_reading);
        }
        if (!mended && options_.proved_equal) {
            mended = try_all(shelf, allowed(never_true_changes(data)), options_.proved_equal);
        }
        return mended;
    }

    const MendOptions& options_;
    Texts texts_;
    Texts before_;
    std::size_t failing_ = 0;
    std::set<std::string> refused_;
    Mending mending_;
};

}  // namespace

Mending mend(const std::vector<SourceText>& texts, const MendOptions& options) {
    return Mender(texts, options).run();
}

}  // namespace toprail
