// What replaying came to, as lines of text and of JSON. Used by `replay` alone. Pure functions.
#pragma once

#include "toprail/receipt_log.hpp"
#include "toprail/replay.hpp"

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

namespace toprail::command {

/// What became of one receipt. other_grounds: the same conclusions, resting on something else.
/// redacted: what is left of it verifies, and it cannot be decided
/// again. altered: it is not what was recorded. not_vouched_for: no signature of a key that counts.
enum class Fate : std::uint8_t {
    same,
    other_grounds,
    differs,
    redacted,
    not_vouched_for,
    altered,
    unreadable,
};

Fate fate_of(const ReadReceipt& read, bool vouched, const Replayed& seen);

struct ReplayCount {
    /// Without those that were altered, which are counted apart, as are altered entries of a log.
    std::uint64_t receipts = 0;
    std::uint64_t same = 0;
    std::uint64_t other_grounds = 0;
    std::uint64_t redacted = 0;
    std::uint64_t differ = 0;
    std::uint64_t not_vouched_for = 0;
    std::uint64_t altered = 0;
    std::uint64_t unreadable = 0;
    std::uint64_t out_of_place = 0;
    std::uint64_t log_troubles = 0;

    void add(Fate fate);
    /// True when nothing was decided again, so that nothing is shown by it.
    [[nodiscard]] bool idle() const { return same == 0 && to_look_at() == 0; }
    [[nodiscard]] std::uint64_t to_look_at() const {
        return other_grounds + differ + not_vouched_for + altered + unreadable + log_troubles;
    }
};

struct Told {
    const std::string& where;
    const ReadReceipt& read;
    Fate fate;
    const Replayed& seen;
};

/// Nothing for a receipt that is the same. At most `most` differences are told.
std::string text_of(const Told& told, std::size_t most);
std::string text_of(const std::string& log, const LogCheck& seen);
/// The summary: what was altered comes first.
std::string text_of(const ReplayCount& count, bool to_the_byte);

/// One object a line. Their keys are stable: rulepacks/schema/replay.schema.json.
std::string json_of(const Told& told);
std::string json_of(const std::string& log, const LogCheck& seen);
std::string json_of(const ReplayCount& count);

}  // namespace toprail::command
