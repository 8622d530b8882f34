// Entry point: check_log.
#include "receipt/log_line.hpp"
#include "toprail/receipt_log.hpp"

#include <array>
#include <fstream>

namespace toprail {
namespace {

/// Enough to see what happened; a log that was replaced as a whole would give one for each line.
constexpr std::size_t most_troubles = 1000;
constexpr std::size_t most_of_a_name = 80;

// For whoever looks for the case elsewhere. Nothing of an altered entry can be relied on.
std::string as_it_reads(std::string_view text) {
    const auto value_of = [text](std::string_view key) {
        const std::size_t at = text.find(key);
        const std::string_view rest =
            at == std::string_view::npos ? std::string_view{} : text.substr(at + key.size());
        return std::string(rest.substr(0, std::min(rest.find('"'), most_of_a_name)));
    };
    const std::string name = value_of(",\"case\":\"");
    const std::string on = value_of(",\"on\":\"");
    return name.empty() && on.empty() ? "" : "; as it reads now, of the case " + name + " on " + on;
}

class Checker {
  public:
    Checker(const std::function<void(const LogEntry&)>& each,
            const std::optional<NotedEntry>& noted)
        : each_(each),
          noted_(noted) {
        check_.readable = true;
        check_.head = log_start();
    }

    void line(std::string_view text, bool too_long) {
        ++line_;
        const auto read = too_long ? std::nullopt : read_log_line(text);
        if (!read) {
            report(too_long ? "the line is longer than the limit"
                            : "the entry was altered" + as_it_reads(text));
            ++check_.altered;
            lost_ = true;
            return;
        }
        // After an altered entry its digest is not known: the chain is taken up again with this
        // one.
        if (!lost_ && (read->before != check_.head || read->number != check_.number + 1)) {
            report("entry " + std::to_string(read->number) + " does not follow entry " +
                   std::to_string(check_.number) + ": entries were removed, added or reordered");
            ++check_.out_of_place;
        } else if (lost_ && read->number <= check_.number) {
            report("entry " + std::to_string(read->number) + " stands after entry " +
                   std::to_string(check_.number));
            ++check_.out_of_place;
        }
        lost_ = false;
        ++check_.entries;
        check_.number = read->number;
        check_.head = read->digest;
        if (noted_ && noted_->number == read->number) {
            noted_seen_ = noted_seen_ || noted_->digest == read->digest;
        }
        if (each_) {
            each_({read->number, std::string(read->digest), read->entry});
        }
    }

    // `text` is what stands after the last line end, `held` its bytes, those past the limit
    // included.
    LogCheck finish(std::string_view text, std::size_t held) {
        if (line_end_altered(text)) {
            line(text, false);
        } else {
            check_.torn_bytes = held;
        }
        if (noted_ && !noted_seen_) {
            report("entry " + std::to_string(noted_->number) +
                   " with the digest that was noted is not in the log: it was cut off or replaced");
        }
        return std::move(check_);
    }

  private:
    void report(std::string message) {
        if (check_.troubles.size() < most_troubles) {
            check_.troubles.push_back({line_, std::move(message)});
        }
    }

    const std::function<void(const LogEntry&)>& each_;
    const std::optional<NotedEntry>& noted_;
    LogCheck check_;
    std::uint64_t line_ = 0;
    bool lost_ = false;
    bool noted_seen_ = false;
};

}  // namespace

LogCheck check_log(const std::string& path, const std::function<void(const LogEntry&)>& each,
                   const std::optional<NotedEntry>& noted, std::size_t limit) {
    std::ifstream stream(path, std::ios::binary);
    LogCheck unreadable;
    if (!stream) {
        unreadable.message = path + " cannot be opened for reading";
        return unreadable;
    }
    Checker checker(each, noted);
    std::string text;
    std::size_t held = 0;  // bytes of the line so far, those past the limit included
    std::array<char, 1U << 16U> buffer{};
    while (stream) {
        stream.read(buffer.data(), buffer.size());
        std::string_view rest(buffer.data(), static_cast<std::size_t>(stream.gcount()));
        while (!rest.empty()) {
            const std::size_t end = rest.find('\n');
            const std::string_view part = rest.substr(0, end);
            held += part.size();
            if (held <= limit) {
                text += part;
            }
            if (end == std::string_view::npos) {
                break;
            }
            checker.line(text, held > limit);
            text.clear();
            held = 0;
            rest.remove_prefix(end + 1);
        }
    }
    if (stream.bad()) {
        unreadable.message = "reading " + path + " failed";
        return unreadable;
    }
    return checker.finish(text, held);
}

}  // namespace toprail
