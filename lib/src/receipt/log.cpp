// Entry points: ReceiptLog::append, repair_log. POSIX files, since durability is asked of the
// system.
#include "receipt/digest.hpp"
#include "receipt/log_line.hpp"
#include "toprail/receipt_log.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <filesystem>
#include <system_error>

namespace toprail {
namespace {

/// How much is read at a time when the last line is looked for.
constexpr std::uint64_t block = 1U << 16U;

std::string system_says(const std::string& what) {
    return what + ": " + std::generic_category().message(errno);
}

bool read_at(int file, std::string& into, std::uint64_t offset) {
    std::size_t done = 0;
    while (done < into.size()) {
        const ssize_t got = ::pread(file, into.data() + done, into.size() - done,
                                    static_cast<off_t>(offset + done));
        if (got < 0 && errno == EINTR) {
            continue;
        }
        if (got <= 0) {
            return false;
        }
        done += static_cast<std::size_t>(got);
    }
    return true;
}

/// The last whole line and the bytes after it.
struct Tail {
    std::string line;
    std::string torn;
};

// Reads backwards until the line end before the last whole line. Empty when reading fails.
std::optional<Tail> read_tail(int file, std::uint64_t size) {
    std::string bytes;
    std::uint64_t from = size;
    while (true) {
        const std::size_t last = bytes.rfind('\n');
        const std::size_t first = last == std::string::npos || last == 0
                                      ? std::string::npos
                                      : bytes.rfind('\n', last - 1);
        if (first != std::string::npos || from == 0) {
            if (last == std::string::npos) {
                return Tail{{}, std::move(bytes)};
            }
            const std::size_t start = first == std::string::npos ? 0 : first + 1;
            return Tail{bytes.substr(start, last - start), bytes.substr(last + 1)};
        }
        const std::uint64_t step = std::min(from, std::max<std::uint64_t>(block, bytes.size()));
        std::string before(static_cast<std::size_t>(step), '\0');
        if (!read_at(file, before, from - step)) {
            return std::nullopt;
        }
        from -= step;
        bytes.insert(0, before);
    }
}

bool write_all(int file, std::string_view bytes) {
    while (!bytes.empty()) {
        const ssize_t put = ::write(file, bytes.data(), bytes.size());
        if (put < 0 && errno == EINTR) {
            continue;
        }
        if (put <= 0) {
            return false;
        }
        bytes.remove_prefix(static_cast<std::size_t>(put));
    }
    return true;
}

// A torn line was never acknowledged and goes; true when none is left.
bool take_torn_away(int file, std::uint64_t size, const Tail& tail) {
    return tail.torn.empty() ||
           (::ftruncate(file, static_cast<off_t>(size - tail.torn.size())) == 0 &&
            ::fsync(file) == 0);
}

// A new file is only there for good once its folder is on the disk.
bool flush_folder(const std::string& path) {
    const std::filesystem::path folder = std::filesystem::path(path).parent_path();
    const int handle =
        ::open(folder.empty() ? "." : folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (handle < 0) {
        return false;
    }
    const bool flushed = ::fsync(handle) == 0;
    ::close(handle);
    return flushed;
}

class Lock {
  public:
    explicit Lock(int file) : file_(file) {}
    ~Lock() { ::flock(file_, LOCK_UN); }
    Lock(const Lock&) = delete;
    Lock& operator=(const Lock&) = delete;

  private:
    int file_;
};

}  // namespace

ReceiptLog::~ReceiptLog() {
    close();
}

void ReceiptLog::close() {
    if (file_ >= 0) {
        ::close(file_);
    }
    file_ = -1;
    size_ = 0;
    number_ = 0;
    head_ = log_start();
}

// Opens the file if need be and locks it. A file that was moved away meanwhile (logs are put into
// storage that way) is let go, and the one that now has the name is opened.
std::string ReceiptLog::open_and_lock() {
    while (true) {
        if (file_ < 0) {
            close();
            file_ = ::open(path_.c_str(), O_RDWR | O_APPEND | O_CREAT | O_CLOEXEC, 0640);
            if (file_ < 0) {
                return system_says(path_ + " cannot be opened");
            }
        }
        while (::flock(file_, LOCK_EX) != 0) {
            if (errno != EINTR) {
                return system_says(path_ + " cannot be locked");
            }
        }
        struct stat ours {};
        struct stat named {};
        if (::fstat(file_, &ours) == 0 && ::stat(path_.c_str(), &named) == 0 &&
            ours.st_ino == named.st_ino && ours.st_dev == named.st_dev) {
            return {};
        }
        close();
    }
}

// Under the lock: finds number and digest of the last entry, taking a torn line away.
std::string ReceiptLog::find_end(Appended& result) {
    struct stat now {};
    if (::fstat(file_, &now) != 0) {
        return system_says(path_ + " cannot be looked at");
    }
    const auto size = static_cast<std::uint64_t>(now.st_size);
    if (size == size_ && size > 0) {
        return {};
    }
    if (size == 0) {
        size_ = 0;
        number_ = 0;
        head_ = log_start();
        return flush_folder(path_) ? std::string{} : system_says("the folder of " + path_);
    }
    const auto tail = read_tail(file_, size);
    if (!tail) {
        return system_says(path_ + " cannot be read");
    }
    std::string altered =
        "the last entry of " + path_ + " was altered: look into it before going on";
    if (line_end_altered(tail->torn)) {
        size_ = 0;
        return altered;
    }
    const std::uint64_t whole = size - tail->torn.size();
    const auto last = read_log_line(tail->line);
    if (whole != 0 && !last) {
        size_ = 0;
        return may_be_torn(tail->line, false)
                   ? altered
                   : path_ + " is no receipt log: its last line is no entry; it was left as it is";
    }
    if (!tail->torn.empty() && !may_be_torn(tail->torn, last.has_value())) {
        size_ = 0;
        return path_ + " ends in " + std::to_string(tail->torn.size()) +
               " bytes that are no beginning of an entry: it may be no receipt log, and was left "
               "as it is";
    }
    if (!take_torn_away(file_, size, *tail)) {
        return system_says("the torn last line of " + path_ + " cannot be taken away");
    }
    result.torn_bytes = tail->torn.size();
    size_ = whole;
    number_ = last ? last->number : 0;
    head_ = last ? std::string(last->digest) : log_start();
    return {};
}

Appended ReceiptLog::append(std::string_view receipt) {
    Appended result;
    if (!fits_in_log(receipt)) {
        result.message = "the text is not one line of JSON";
        return result;
    }
    result.message = open_and_lock();
    if (!result.message.empty()) {
        close();
        return result;
    }
    const Lock lock(file_);
    result.message = find_end(result);
    if (!result.message.empty()) {
        return result;
    }
    std::string digest;
    const std::string line = write_log_line(head_, number_ + 1, receipt, digest);
    if (!write_all(file_, line) || ::fsync(file_) != 0) {
        result.message = system_says("the entry could not be written to " + path_);
        // What was written of it is taken back, which needs no space. Should that fail too, the
        // next append finds a torn line and takes that away.
        if (::ftruncate(file_, static_cast<off_t>(size_)) != 0 || ::fsync(file_) != 0) {
            result.message += "; part of it is left behind";
        }
        size_ = 0;
        return result;
    }
    size_ += line.size();
    ++number_;
    head_ = digest;
    result.kept = true;
    result.number = number_;
    result.digest = std::move(digest);
    return result;
}

std::optional<std::size_t> repair_log(const std::string& path) {
    const int file = ::open(path.c_str(), O_RDWR | O_CLOEXEC);
    if (file < 0) {
        return std::nullopt;
    }
    std::optional<std::size_t> taken;
    struct stat now {};
    if (::flock(file, LOCK_EX) == 0 && ::fstat(file, &now) == 0) {
        const auto size = static_cast<std::uint64_t>(now.st_size);
        const auto tail = read_tail(file, size);
        const auto last = tail ? read_log_line(tail->line) : std::nullopt;
        const bool sound = tail && (last || tail->torn.size() == size);
        if (sound && !line_end_altered(tail->torn) &&
            (tail->torn.empty() || may_be_torn(tail->torn, last.has_value())) &&
            take_torn_away(file, size, *tail)) {
            taken = tail->torn.size();
        }
    }
    ::close(file);
    return taken;
}

}  // namespace toprail
