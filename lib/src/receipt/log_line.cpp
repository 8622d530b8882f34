// Entry points: write_log_line, read_log_line, line_end_altered.
#include "receipt/log_line.hpp"

#include "receipt/digest.hpp"

#include <algorithm>
#include <charconv>

namespace toprail {
namespace {

constexpr std::string_view before_key = "{\"before\":\"";
constexpr std::string_view digest_key = "\",\"digest\":\"";
constexpr std::string_view entry_key = "\",\"entry\":";
constexpr std::string_view number_key = ",\"number\":";

// Takes `expected` off the front of `rest`.
bool take(std::string_view& rest, std::string_view expected) {
    if (!rest.starts_with(expected)) {
        return false;
    }
    rest.remove_prefix(expected.size());
    return true;
}

std::string_view take_digest(std::string_view& rest) {
    const std::string_view digest = rest.substr(0, digest_digits);
    rest.remove_prefix(digest.size());
    return digest;
}

}  // namespace

std::string log_start() {
    return std::string(digest_digits, '0');
}

std::string log_digest(std::string_view before, std::uint64_t number, std::string_view entry) {
    std::string text = "toprail log 1\n";
    text.reserve(text.size() + before.size() + entry.size() + 24);
    text.append(before).append("\n").append(std::to_string(number)).append("\n").append(entry);
    return digest_of(text);
}

std::string write_log_line(std::string_view before, std::uint64_t number, std::string_view entry,
                           std::string& digest) {
    digest = log_digest(before, number, entry);
    std::string line;
    line.reserve(entry.size() + 2 * digest_digits + 64);
    line.append(before_key).append(before).append(digest_key).append(digest).append(entry_key);
    line.append(entry).append(number_key).append(std::to_string(number)).append("}\n");
    return line;
}

std::optional<LogLine> read_log_line(std::string_view line) {
    LogLine read;
    std::string_view rest = line;
    if (!take(rest, before_key)) {
        return std::nullopt;
    }
    read.before = take_digest(rest);
    if (!take(rest, digest_key)) {
        return std::nullopt;
    }
    read.digest = take_digest(rest);
    const std::size_t end = rest.rfind(number_key);
    if (!take(rest, entry_key) || end == std::string_view::npos) {
        return std::nullopt;
    }
    // What was found cannot begin within the key that was taken off.
    read.entry = rest.substr(0, end - entry_key.size());
    rest.remove_prefix(read.entry.size() + number_key.size());
    const auto [stop, trouble] =
        std::from_chars(rest.data(), rest.data() + rest.size(), read.number);
    const bool whole =
        trouble == std::errc{} && rest.substr(static_cast<std::size_t>(stop - rest.data())) == "}";
    // Written again it must give the same bytes: no sign, no zero in front.
    if (!whole || !rest.starts_with(std::to_string(read.number)) ||
        log_digest(read.before, read.number, read.entry) != read.digest) {
        return std::nullopt;
    }
    return read;
}

bool line_end_altered(std::string_view unfinished) {
    if (unfinished.empty()) {
        return false;
    }
    // One byte may stand where the line end stood, or something may have been written after it.
    const std::size_t brace = unfinished.rfind('}') + 1;  // 0 when there is none
    const std::size_t last = unfinished.size() - 1;
    return read_log_line(unfinished.substr(0, last)).has_value() ||
           (brace < last && read_log_line(unfinished.substr(0, brace)).has_value());
}

bool may_be_torn(std::string_view unfinished, bool behind_an_entry) {
    const std::string_view written = unfinished.substr(0, unfinished.find('\0'));
    return written.empty()
               ? behind_an_entry
               : written.substr(0, before_key.size()) == before_key.substr(0, written.size());
}

bool fits_in_log(std::string_view receipt) {
    return receipt.size() > 2 && receipt.front() == '{' && receipt.back() == '}' &&
           std::none_of(receipt.begin(), receipt.end(),
                        [](char c) { return static_cast<unsigned char>(c) < 0x20; });
}

}  // namespace toprail
