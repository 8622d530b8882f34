// Entry points: Source, Findings::add, Findings::take, nearest.
#include "findings/collector.hpp"

#include "findings/text.hpp"

#include <algorithm>
#include <tuple>

namespace toprail {

namespace {

constexpr std::size_t stretch = 1024;

std::string name_of(const Source* source) {
    return source == nullptr ? std::string{} : source->name();
}

}  // namespace

Source::Source(std::string name, std::string bytes)
    : name_(std::move(name)),
      bytes_(std::move(bytes)),
      starts_{0} {
    for (std::size_t i = 0; i < bytes_.size(); ++i) {
        if (bytes_[i] == '\n') {
            starts_.push_back(i + 1);
        }
    }
    std::size_t before = 0;
    for (std::size_t at = 0; at < bytes_.size(); at += stretch) {
        counted_.push_back(before);
        before += count_characters(std::string_view(bytes_).substr(at, stretch));
    }
}

std::size_t Source::characters_before(std::size_t offset) const {
    if (counted_.empty()) {
        return 0;
    }
    const std::size_t part = std::min(offset / stretch, counted_.size() - 1);
    const std::string_view rest = std::string_view(bytes_).substr(part * stretch);
    return counted_[part] + count_characters(rest.substr(0, offset - part * stretch));
}

std::size_t Source::characters(std::size_t from, std::size_t to) const {
    return characters_before(to) - characters_before(from);
}

std::string_view Source::line(std::uint32_t number) const {
    if (number == 0 || number > starts_.size()) {
        return {};
    }
    const std::size_t start = starts_[number - 1];
    const std::size_t end = number < starts_.size() ? starts_[number] - 1 : bytes_.size();
    std::string_view text = std::string_view(bytes_).substr(start, end - start);
    if (!text.empty() && text.back() == '\r') {
        text.remove_suffix(1);
    }
    return text;
}

std::size_t Source::offset(std::uint32_t line, std::uint32_t column) const {
    if (line == 0 || line > starts_.size()) {
        return bytes_.size();
    }
    return std::min(starts_[line - 1] + (column == 0 ? 0 : column - 1), bytes_.size());
}

Span Span::part(std::size_t from, std::size_t size) const {
    Span span = *this;
    span.column += static_cast<std::uint32_t>(from);
    span.length = static_cast<std::uint32_t>(size);
    return span;
}

Place place_of(const Span& span) {
    Place place;
    if (span.source == nullptr) {
        return place;
    }
    place.file = span.source->name();
    place.line = span.line;
    if (span.line == 0) {
        return place;
    }
    const std::string_view line = span.source->line(span.line);
    const std::size_t start =
        std::min<std::size_t>(span.column == 0 ? 0 : span.column - 1, line.size());
    const std::size_t end = std::min<std::size_t>(start + span.length, line.size());
    const Source& source = *span.source;
    const std::size_t first = source.offset(span.line, 1);
    place.column = static_cast<std::uint32_t>(source.characters(first, first + start) + 1);
    place.length = std::max<std::uint32_t>(
        1, static_cast<std::uint32_t>(source.characters(first + start, first + end)));
    constexpr std::size_t longest_line = 400;
    place.text = std::string(shorten(line, longest_line));
    return place;
}

Finding& Findings::add(Kind kind, const Span& span, std::string message) {
    const FindingKind& row = finding_kinds()[static_cast<std::size_t>(kind)];
    Count& count = counts_[name_of(span.source)];
    if (++count.seen > most_) {
        const bool error = row.severity == Severity::error;
        count.error_left_out = count.error_left_out || error;
        error_left_out_ = error_left_out_ || error;
        left_out_ = {};
        return left_out_;
    }
    Finding finding;
    finding.code = row.code;
    finding.severity = row.severity;
    finding.place = place_of(span);
    finding.message = std::move(message);
    return all_.emplace_back(std::move(finding));
}

bool Findings::full(const Source* source) const {
    const auto found = counts_.find(name_of(source));
    return (found == counts_.end() ? 0 : found->second.seen) >= most_;
}

std::vector<Finding> Findings::take() {
    const std::size_t kept = all_.size();
    for (const auto& [file, count] : counts_) {
        if (count.seen <= most_) {
            continue;
        }
        const FindingKind& row = finding_kinds()[static_cast<std::size_t>(Kind::too_many_findings)];
        Finding finding;
        finding.code = row.code;
        // Whoever counts errors must not miss those that were left out.
        finding.severity = count.error_left_out ? Severity::error : row.severity;
        finding.place.file = file;
        finding.message = std::to_string(count.seen - most_) + " more findings are not shown";
        finding.help = "mend those that are shown, and look again";
        all_.push_back(std::move(finding));
    }
    // The order of the table is not one that two runs share.
    std::sort(all_.begin() + static_cast<std::ptrdiff_t>(kept), all_.end(),
              [](const Finding& a, const Finding& b) {
                  return std::tie(a.place.file, a.message) < std::tie(b.place.file, b.message);
              });
    counts_.clear();
    error_left_out_ = false;
    const auto key = [](const Finding& f) {
        return std::tie(f.place.file, f.place.line, f.place.column);
    };
    std::stable_sort(all_.begin(), all_.end(),
                     [&key](const Finding& a, const Finding& b) { return key(a) < key(b); });
    const auto same = [&key](const Finding& a, const Finding& b) {
        return key(a) == key(b) && a.code == b.code && a.message == b.message;
    };
    all_.erase(std::unique(all_.begin(), all_.end(), same), all_.end());
    return std::move(all_);
}

std::string nearest(std::string_view name, const std::vector<std::string>& known) {
    constexpr std::size_t longest_name = 100;
    if (name.size() > longest_name) {
        return {};
    }
    const std::string* best = nullptr;
    std::size_t best_distance = std::max<std::size_t>(2, name.size() / 3) + 1;
    for (const std::string& candidate : known) {
        if (candidate.size() > longest_name) {
            continue;
        }
        const std::size_t distance = edit_distance(name, candidate);
        if (distance < best_distance) {
            best_distance = distance;
            best = &candidate;
        }
    }
    return best == nullptr ? std::string{} : *best;
}

std::string list_or(const std::vector<std::string>& words) {
    std::string text;
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (i > 0) {
            text += i + 1 == words.size() ? " or " : ", ";
        }
        text += words[i];
    }
    return text;
}

}  // namespace toprail
