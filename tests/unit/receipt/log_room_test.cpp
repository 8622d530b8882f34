// The receipt log where there is no room and where nothing may be written. As root the disk is a
// small tmpfs of its own; elsewhere a limit on the size of files stands for it. In both a write
// takes a part of the line and refuses the rest.
#include "log_support.hpp"
#include "toprail/receipt_log.hpp"

#include <fcntl.h>
#include <sched.h>
#include <sys/mount.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include <csignal>

namespace toprail::test {
namespace {

constexpr std::size_t room = std::size_t{512} << 10U;
constexpr std::size_t reserve = std::size_t{128} << 10U;

/// A disk of `room` bytes, seen by the calling process and its children alone. The mount goes with
/// the last of them.
class SmallDisk {
  public:
    explicit SmallDisk(const std::string& folder) : reserved_(folder + "/reserved") {
        const std::string size = "size=" + std::to_string(room);
        mounted_ = ::unshare(CLONE_NEWNS) == 0 &&
                   ::mount(nullptr, "/", nullptr, MS_REC | MS_PRIVATE, nullptr) == 0 &&
                   ::mount("toprail-test", folder.c_str(), "tmpfs", 0, size.c_str()) == 0;
        if (mounted_) {
            std::ofstream(reserved_) << std::string(reserve, 'x');
        } else {
            ::signal(SIGXFSZ, SIG_IGN);
            limit(room - reserve);
        }
    }

    [[nodiscard]] bool mounted() const { return mounted_; }

    void make_room() const {
        if (mounted_) {
            ::unlink(reserved_.c_str());
        } else {
            limit(room);
        }
    }

  private:
    // The hard limit stays, so that anybody may raise it again.
    static void limit(std::size_t bytes) {
        const rlimit soft{bytes, room};
        ::setrlimit(RLIMIT_FSIZE, &soft);
    }

    std::string reserved_;
    bool mounted_ = false;
};

/// What a child saw; plain bytes, since they come through a pipe.
struct Seen {
    bool mounted = false;
    bool refused_with_message = false;
    std::uint64_t acknowledged = 0;
    std::uint64_t found = 0;
    std::uint64_t troubles = 0;
    std::uint64_t torn_after_refusal = 0;
    std::uint64_t torn_by_crash = 0;
    std::uint64_t repaired = 0;
    std::uint64_t torn_again = 0;
    std::uint64_t taken_away = 0;
    std::uint64_t next_number = 0;
    std::uint64_t found_at_end = 0;
    std::uint64_t troubles_at_end = 0;
    bool read_only_refused = false;
    std::uint64_t found_read_only = 0;
};

std::string padded(std::uint64_t number) {
    return "{\"n\":" + std::to_string(number) + ",\"p\":\"" +
           std::string(static_cast<std::size_t>(number * 137 % 3000), 'p') + "\"}";
}

/// What a writer leaves that is killed while it appends: as much of a line as the disk takes.
std::uint64_t tear(const std::string& path) {
    const int file = ::open(path.c_str(), O_WRONLY | O_APPEND | O_CLOEXEC);
    const std::string part = "{\"before\":\"" + std::string(20'000, '0');
    const ssize_t put = ::write(file, part.data(), part.size());
    ::close(file);
    return put < 0 ? 0 : static_cast<std::uint64_t>(put);
}

Seen fill(const std::string& folder) {
    Seen seen;
    const SmallDisk disk(folder);
    seen.mounted = disk.mounted();
    const std::string path = folder + "/log";
    {
        ReceiptLog log(path);
        Appended last;
        for (std::uint64_t i = 1; (last = log.append(padded(i))).kept; ++i) {
            seen.acknowledged = last.number;
        }
        seen.refused_with_message = !last.message.empty();
    }
    const LogCheck full = check_log(path);
    seen.found = full.entries;
    seen.troubles = full.troubles.size();
    seen.torn_after_refusal = full.torn_bytes;

    seen.torn_by_crash = tear(path);
    seen.repaired = repair_log(path).value_or(0);
    seen.torn_again = tear(path);
    disk.make_room();
    const Appended next = ReceiptLog(path).append(padded(0));
    seen.taken_away = next.torn_bytes;
    seen.next_number = next.kept ? next.number : 0;
    const LogCheck end = check_log(path);
    seen.found_at_end = end.entries;
    seen.troubles_at_end = end.troubles.size() + end.torn_bytes;

    if (seen.mounted) {
        const bool changed =
            ::mount(nullptr, folder.c_str(), nullptr, MS_REMOUNT | MS_RDONLY, nullptr) == 0;
        const Appended refused = ReceiptLog(path).append(entry(1));
        seen.read_only_refused = changed && !refused.kept && !refused.message.empty();
        seen.found_read_only = check_log(path).entries;
    }
    return seen;
}

TEST_CASE("log: on a full disk nothing acknowledged is lost, and a torn line is repaired") {
    const Folder folder;
    int ends[2];
    REQUIRE(::pipe(ends) == 0);
    const pid_t child = ::fork();
    if (child == 0) {
        const Seen seen = fill(folder.path());
        ::_exit(::write(ends[1], &seen, sizeof seen) == sizeof seen ? 0 : 1);
    }
    ::close(ends[1]);
    Seen seen;
    const ssize_t got = ::read(ends[0], &seen, sizeof seen);
    ::close(ends[0]);
    REQUIRE(finish(child) == 0);
    REQUIRE(got == sizeof seen);
    CHECK(seen.acknowledged > 100);
    CHECK(seen.refused_with_message);
    CHECK(seen.found == seen.acknowledged);
    CHECK(seen.troubles == 0);
    // What the refused write had put down was taken back.
    CHECK(seen.torn_after_refusal == 0);
    CHECK(seen.torn_by_crash > 0);
    CHECK(seen.torn_by_crash < 20'000);
    CHECK(seen.repaired == seen.torn_by_crash);
    CHECK(seen.taken_away == seen.torn_again);
    CHECK(seen.torn_again > 0);
    CHECK(seen.next_number == seen.acknowledged + 1);
    CHECK(seen.found_at_end == seen.acknowledged + 1);
    CHECK(seen.troubles_at_end == 0);
    if (seen.mounted) {
        CHECK(seen.read_only_refused);
        CHECK(seen.found_read_only == seen.acknowledged + 1);
    }
    const std::string where = seen.mounted ? "on a tmpfs of " : "under a file-size limit of ";
    MESSAGE(where << room << " bytes: " << seen.acknowledged << " entries acknowledged, "
                  << seen.found << " found; torn lines of " << seen.torn_by_crash << " and "
                  << seen.torn_again << " bytes taken away");
}

TEST_CASE("log: a folder that may not be written gives a message, not a log") {
    const Folder folder;
    ::chmod(folder.path().c_str(), 0555);
    const pid_t child = ::fork();
    if (child == 0) {
        // Permissions do not hold for root.
        if (::geteuid() == 0 && ::setuid(65534) != 0) {
            ::_exit(2);
        }
        const Appended refused = ReceiptLog(folder.file("log")).append(entry(1));
        ::_exit(!refused.kept && !refused.message.empty() ? 0 : 1);
    }
    CHECK(finish(child) == 0);
    ::chmod(folder.path().c_str(), 0755);
    CHECK_FALSE(fs::exists(folder.file("log")));
    CHECK_FALSE(check_log(folder.file("log")).readable);
}

TEST_CASE("log: a log that may only be read is still checked, and not appended to") {
    const Folder folder;
    const std::string path = folder.file("log");
    REQUIRE(ReceiptLog(path).append(entry(1)).kept);
    const std::string whole = slurp(path);
    ::chmod(path.c_str(), 0444);
    ::chmod(folder.path().c_str(), 0555);
    const pid_t child = ::fork();
    if (child == 0) {
        if (::geteuid() == 0 && ::setuid(65534) != 0) {
            ::_exit(2);
        }
        const Appended refused = ReceiptLog(path).append(entry(2));
        const LogCheck seen = check_log(path);
        const bool checked = seen.readable && seen.entries == 1 && seen.troubles.empty();
        ::_exit(!refused.kept && !refused.message.empty() && checked ? 0 : 1);
    }
    CHECK(finish(child) == 0);
    ::chmod(folder.path().c_str(), 0755);
    CHECK(slurp(path) == whole);
}

}  // namespace
}  // namespace toprail::test
