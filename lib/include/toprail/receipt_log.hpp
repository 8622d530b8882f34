// The receipt log: an append-only file in which every entry is chained to the one before.
//
//   toprail::ReceiptLog log("receipts.log");
//   toprail::Appended kept = log.append(made.text);
//   if (!kept.kept) { ... do not hand the decision over; kept.message says why ... }
//
// One line for each entry:
//    {"before":"DIGEST","digest":"DIGEST","entry":RECEIPT,"number":N}
// `number` counts from 1; `before` is the digest of the entry before, 64 zeros for the first;
// `digest` is the SHA-256 of "toprail log 1", `before`, `number` and the receipt's bytes, parted by
// line ends.
//
// What is promised: append returns `kept` only after the operating system says that the entry is on
// the disk. After a crash or a full disk the file may end in part of a line; such a line was never
// acknowledged, and the next append takes it away. A whole entry whose line end alone was altered
// is no torn line: it is told as altered, and nothing is taken away. Any number of processes and
// threads may append to one file, each with a ReceiptLog of its own: they wait for each other
// (flock, so the file must lie on a local file system). Taking away the newest entries leaves a
// shorter log that is whole in itself: note number and digest of the last entry elsewhere from time
// to time, and hand them to check_log.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace toprail {

struct Appended {
    bool kept = false;
    std::uint64_t number = 0;
    std::string digest;
    /// Bytes of a torn last line that were taken away first.
    std::size_t torn_bytes = 0;
    /// Why the entry was not kept.
    std::string message;
};

/// Opens its file when it first appends. Not thread-safe; one for each thread.
class ReceiptLog {
  public:
    explicit ReceiptLog(std::string path) : path_(std::move(path)) {}
    ~ReceiptLog();
    ReceiptLog(const ReceiptLog&) = delete;
    ReceiptLog& operator=(const ReceiptLog&) = delete;
    ReceiptLog(ReceiptLog&&) = delete;
    ReceiptLog& operator=(ReceiptLog&&) = delete;

    /// Precondition: a receipt, as ReceiptMaker makes it. What is not a map of JSON on one line is
    /// not kept; whether it is a receipt, check_log and replay tell.
    /// A log whose last entry was altered is not appended to.
    Appended append(std::string_view receipt);

  private:
    [[nodiscard]] std::string open_and_lock();
    void close();
    std::string find_end(Appended& result);

    std::string path_;
    int file_ = -1;
    // The end of the log as this object last saw it; valid while the file has that size.
    std::uint64_t size_ = 0;
    std::uint64_t number_ = 0;
    std::string head_;
};

struct LogEntry {
    std::uint64_t number = 0;
    std::string digest;
    /// The receipt's text.
    std::string_view receipt;
};

struct LogTrouble {
    /// Line of the file, from 1.
    std::uint64_t line = 0;
    std::string message;
};

struct LogCheck {
    /// False when the file cannot be read; then `message` says why.
    bool readable = false;
    std::string message;
    std::uint64_t entries = 0;
    /// Number and digest of the last entry.
    std::uint64_t number = 0;
    std::string head;
    /// Bytes after the last whole line: an append that never finished.
    std::size_t torn_bytes = 0;
    /// Entries whose bytes are not those that were appended, lines too long to read among them.
    /// They are not among `entries`.
    std::uint64_t altered = 0;
    /// Entries that do not follow the one before: entries were removed, added or reordered there.
    std::uint64_t out_of_place = 0;
    /// What was found, those of both kinds and a noted entry that is missing.
    std::vector<LogTrouble> troubles;
};

/// An entry that the caller noted earlier: the log must still hold it.
struct NotedEntry {
    std::uint64_t number = 0;
    std::string digest;
};

/// Reads the whole log, one line at a time, and checks the chain. `each` is called for every entry
/// whose digest is right; it may be empty. Lines longer than `limit` bytes are troubles. At most
/// 1000 troubles are kept.
LogCheck check_log(const std::string& path, const std::function<void(const LogEntry&)>& each = {},
                   const std::optional<NotedEntry>& noted = {}, std::size_t limit = 64U << 20U);

/// Checks and truncates a torn last line, under the lock; earlier entries are left as they are.
/// The bytes taken away, or empty when the file cannot be used, the last entry or its line end was
/// altered, or what follows it is not how an entry begins: the file may be no log.
std::optional<std::size_t> repair_log(const std::string& path);

}  // namespace toprail
