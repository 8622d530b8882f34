// The receipt log where the system refuses something, or something else stands in place of the
// file. A sealed file in memory stands for one that may only grow, or not even that.
#include "log_support.hpp"
#include "receipt/log_line.hpp"
#include "toprail/receipt_log.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

#include <csignal>

namespace toprail::test {
namespace {

bool says(const std::string& message, const std::string& piece) {
    return message.find(piece) != std::string::npos;
}

/// A file in memory that holds `text` and is sealed; it goes with the last that has it open.
class SealedFile {
  public:
    SealedFile(const std::string& text, int seals)
        : file_(::memfd_create("toprail-log", MFD_CLOEXEC | MFD_ALLOW_SEALING)) {
        REQUIRE(file_ >= 0);
        REQUIRE(::write(file_, text.data(), text.size()) == static_cast<ssize_t>(text.size()));
        REQUIRE(::fcntl(file_, F_ADD_SEALS, seals) == 0);
    }
    ~SealedFile() { ::close(file_); }
    SealedFile(const SealedFile&) = delete;
    SealedFile& operator=(const SealedFile&) = delete;
    [[nodiscard]] std::string path() const { return "/proc/self/fd/" + std::to_string(file_); }

  private:
    int file_;
};

/// One whole line of a log.
std::string first_line() {
    std::string digest;
    return write_log_line(log_start(), 1, entry(1), digest);
}

TEST_CASE("log: what stands in place of the file or of its folder is told") {
    const Folder folder;
    for (const std::string& path : {folder.path(), folder.file("no-such/log")}) {
        const Appended refused = ReceiptLog(path).append(entry(1));
        CHECK_FALSE(refused.kept);
        CHECK(says(refused.message, path + " cannot be opened: "));
        CHECK_FALSE(repair_log(path));
        CHECK_FALSE(check_log(path).readable);
    }
    CHECK(says(check_log(folder.path()).message, "reading " + folder.path() + " failed"));
    CHECK(says(check_log(folder.file("log")).message, "cannot be opened for reading"));
    CHECK(fs::is_empty(folder.path()));
}

TEST_CASE("log: a disk that takes nothing keeps nothing, and that is told") {
    const Appended full = ReceiptLog("/dev/full").append(entry(1));
    CHECK_FALSE(full.kept);
    CHECK(full.number == 0);
    CHECK(says(full.message, "the entry could not be written to /dev/full: No space left"));
}

// What was written into a pipe cannot be taken back.
TEST_CASE("log: where what was written cannot be made sure or taken back, both are told") {
    const Folder folder;
    const std::string path = folder.file("log");
    REQUIRE(::mkfifo(path.c_str(), 0600) == 0);
    const Appended refused = ReceiptLog(path).append(entry(1));
    CHECK_FALSE(refused.kept);
    CHECK(says(refused.message, "could not be written to " + path));
    CHECK(says(refused.message, "; part of it is left behind"));
}

TEST_CASE("log: a torn line that may not be taken away stops everything, and stays") {
    const std::string torn = first_line() + "{\"before\":\"12";
    const SealedFile file(torn, F_SEAL_SHRINK);
    const Appended refused = ReceiptLog(file.path()).append(entry(2));
    CHECK_FALSE(refused.kept);
    CHECK(
        says(refused.message, "the torn last line of " + file.path() + " cannot be taken away: "));
    CHECK_FALSE(repair_log(file.path()));
    CHECK(slurp(file.path()) == torn);
    // Nothing is torn: there is nothing to take away.
    const SealedFile whole(first_line(), F_SEAL_SHRINK);
    CHECK(repair_log(whole.path()) == std::size_t{0});
    const Appended kept = ReceiptLog(whole.path()).append(entry(2));
    CHECK(kept.kept);
    CHECK(kept.number == 2);
}

TEST_CASE("log: an entry that finds no room leaves nothing of itself, and the next is tried anew") {
    const SealedFile file(first_line(), F_SEAL_GROW);
    ReceiptLog log(file.path());
    for (int i = 0; i < 2; ++i) {
        const Appended refused = log.append(entry(2));
        CHECK_FALSE(refused.kept);
        CHECK(says(refused.message, "the entry could not be written to " + file.path()));
        CHECK_FALSE(says(refused.message, "left behind"));
    }
    CHECK(slurp(file.path()) == first_line());
}

// The folder of an open file, as the system shows it, cannot be brought to a disk.
TEST_CASE("log: a new log whose folder cannot be brought to the disk is not begun") {
    const SealedFile file("", 0);
    const Appended refused = ReceiptLog(file.path()).append(entry(1));
    CHECK_FALSE(refused.kept);
    CHECK(says(refused.message, "the folder of " + file.path()));
    CHECK(slurp(file.path()).empty());
}

TEST_CASE("log: a folder in which names may be made but not listed is told as such") {
    const Folder folder;
    REQUIRE(::chmod(folder.path().c_str(), 0333) == 0);
    const pid_t child = ::fork();
    if (child == 0) {
        // Permissions do not hold for root.
        if (::geteuid() == 0 && ::setuid(65534) != 0) {
            ::_exit(2);
        }
        const Appended refused = ReceiptLog(folder.file("log")).append(entry(1));
        ::_exit(!refused.kept && says(refused.message, "the folder of ") ? 0 : 1);
    }
    CHECK(finish(child) == 0);
    ::chmod(folder.path().c_str(), 0755);
}

TEST_CASE("log: a name without a folder lies in the folder one is in") {
    const Folder folder;
    const pid_t child = ::fork();
    if (child == 0) {
        const bool kept =
            ::chdir(folder.path().c_str()) == 0 && ReceiptLog("log").append(entry(1)).kept;
        ::_exit(kept ? 0 : 1);
    }
    CHECK(finish(child) == 0);
    CHECK(check_log(folder.file("log")).entries == 1);
}

TEST_CASE("log: a log that was deleted meanwhile is begun anew") {
    const Folder folder;
    const std::string path = folder.file("log");
    ReceiptLog log(path);
    REQUIRE(log.append(entry(1)).kept);
    REQUIRE(fs::remove(path));
    const Appended kept = log.append(entry(2));
    CHECK(kept.kept);
    CHECK(kept.number == 1);
    CHECK(slurp(path).find(entry(2)) != std::string::npos);
}

// The thread sanitizer keeps signals back until a call that it knows for one that waits, and flock
// is none of those: what the handler is to end would never end.
#if defined(__has_feature)
#if __has_feature(thread_sanitizer)
#define TOPRAIL_SIGNALS_KEPT_BACK
#endif
#endif

#ifndef TOPRAIL_SIGNALS_KEPT_BACK
int signals_seen = 0;
int tell_other = -1;

// Whoever holds the lock lets go after some signals, so that some fall into the waiting.
void count_signal(int /*number*/) {
    constexpr int enough = 20;
    if (++signals_seen == enough) {
        const char byte = 'x';
        [[maybe_unused]] const ssize_t put = ::write(tell_other, &byte, 1);
    }
}

TEST_CASE("log: signals while it waits for its turn do no harm") {
    const Folder folder;
    const std::string path = folder.file("log");
    REQUIRE(ReceiptLog(path).append(entry(1)).kept);
    int ready[2];
    int release[2];
    REQUIRE(::pipe(ready) == 0);
    REQUIRE(::pipe(release) == 0);
    const pid_t child = ::fork();
    if (child == 0) {
        const int file = ::open(path.c_str(), O_RDWR | O_CLOEXEC);
        char byte = ::flock(file, LOCK_EX) == 0 ? 'y' : 'n';
        const bool told = ::write(ready[1], &byte, 1) == 1 && ::read(release[0], &byte, 1) == 1;
        ::_exit(told ? 0 : 1);
    }
    char held = 'n';
    REQUIRE(::read(ready[0], &held, 1) == 1);
    REQUIRE(held == 'y');
    signals_seen = 0;
    tell_other = release[1];
    struct sigaction counting {};
    struct sigaction before {};
    counting.sa_handler = count_signal;  // no SA_RESTART: what waits is interrupted
    REQUIRE(::sigaction(SIGALRM, &counting, &before) == 0);
    ::ualarm(2000, 2000);
    const Appended kept = ReceiptLog(path).append(entry(2));
    ::ualarm(0, 0);
    ::sigaction(SIGALRM, &before, nullptr);
    CHECK(finish(child) == 0);
    CHECK(kept.kept);
    CHECK(kept.number == 2);
    CHECK(signals_seen > 0);
    CHECK(check_log(path).troubles.empty());
    for (const int end : {ready[0], ready[1], release[0], release[1]}) {
        ::close(end);
    }
}
#endif

/// A line whose digest fits what it says, with the number written as `written`.
std::string line_with_number(const std::string& written) {
    std::string line = first_line();
    const std::string number = ",\"number\":1}";
    line.replace(line.rfind(number), number.size(), ",\"number\":" + written + "}");
    return line;
}

TEST_CASE("log: a line in which anything is written otherwise is altered") {
    const Folder folder;
    const std::string path = folder.file("log");
    const std::string sound = first_line();
    const auto without = [&sound](const std::string& piece, const std::string& by) {
        std::string text = sound;
        text.replace(text.find(piece), piece.size(), by);
        return text;
    };
    for (const std::string& line :
         {line_with_number("01"), line_with_number("+1"), line_with_number("1 "),
          line_with_number("-1"), line_with_number(""), line_with_number("1e0"),
          line_with_number("18446744073709551616"), std::string("\n"), std::string("{}\n"),
          without("{\"before\":", "{\"behind\":"), without("\"digest\"", "\"Digest\""),
          without("\"entry\"", "\"Entry\""), without(",\"number\":1", "")}) {
        CAPTURE(line);
        std::ofstream(path, std::ios::binary | std::ios::trunc) << line;
        const LogCheck seen = check_log(path);
        CHECK(seen.altered == 1);
        CHECK(seen.entries == 0);
        REQUIRE(seen.troubles.size() == 1);
        CHECK(seen.troubles[0].line == 1);
        CHECK(says(seen.troubles[0].message, "altered"));
        CHECK_FALSE(ReceiptLog(path).append(entry(2)).kept);
    }
    std::ofstream(path, std::ios::binary | std::ios::trunc) << line_with_number("1");
    CHECK(check_log(path).troubles.empty());
}

TEST_CASE("log: an altered entry is told with the case and the day as it reads now") {
    const Folder folder;
    const std::string path = folder.file("log");
    const auto altered = [&path](const std::string& receipt) {
        std::string digest;
        std::string line = write_log_line(log_start(), 1, receipt, digest);
        line[line.find("0000")] = '1';
        std::ofstream(path, std::ios::binary | std::ios::trunc) << line;
        return check_log(path).troubles.at(0).message;
    };
    CHECK(altered("{\"a\":1}") == "the entry was altered");
    CHECK(says(altered("{\"asked\":1,\"case\":\"lift-3\",\"on\":\"2024-06-01\"}"),
               "as it reads now, of the case lift-3 on 2024-06-01"));
    CHECK(says(altered("{\"asked\":1,\"case\":\"\",\"on\":\"2024-06-01\"}"), " on 2024-06-01"));
    CHECK(says(altered("{\"asked\":1,\"case\":\"lift-3\"}"), "of the case lift-3 on "));
    // A name is cut off, wherever its end is.
    const std::string long_name = altered("{\"a\":1,\"case\":\"" + std::string(300, 'n') + "\"}");
    CHECK(says(long_name, std::string(80, 'n') + " on "));
    CHECK_FALSE(says(long_name, std::string(81, 'n')));
}

TEST_CASE("log: after an altered entry the chain is taken up again, and only forwards") {
    const Folder folder;
    const std::string path = folder.file("log");
    std::string head = log_start();
    std::string digest;
    std::vector<std::string> all;
    for (std::uint64_t i = 1; i <= 4; ++i) {
        all.push_back(write_log_line(head, i, entry(i), digest));
        head = digest;
    }
    std::string broken = all[2];
    broken[broken.find(entry(3)) + 5] = '7';
    const auto check = [&path](const std::string& text) {
        std::ofstream(path, std::ios::binary | std::ios::trunc) << text;
        return check_log(path);
    };
    const LogCheck onwards = check(all[0] + all[1] + broken + all[3]);
    CHECK(onwards.altered == 1);
    CHECK(onwards.out_of_place == 0);
    CHECK(onwards.number == 4);
    const LogCheck back = check(all[0] + all[1] + broken + all[1]);
    CHECK(back.altered == 1);
    CHECK(back.out_of_place == 1);
    REQUIRE(back.troubles.size() == 2);
    CHECK(back.troubles[1].line == 4);
    CHECK(back.troubles[1].message == "entry 2 stands after entry 2");
}

TEST_CASE("log: a line past the limit is a trouble, and the lines about it are read") {
    const Folder folder;
    const std::string path = folder.file("log");
    ReceiptLog log(path);
    REQUIRE(log.append(entry(1)).kept);
    // Longer than what is read at a time.
    REQUIRE(log.append("{\"p\":\"" + std::string(200'000, 'p') + "\"}").kept);
    REQUIRE(log.append(entry(3)).kept);
    const LogCheck seen = check_log(path, {}, {}, 1'000);
    CHECK(seen.entries == 2);
    CHECK(seen.number == 3);
    REQUIRE(seen.troubles.size() == 1);
    CHECK(seen.troubles[0].line == 2);
    CHECK(seen.troubles[0].message == "the line is longer than the limit");
    CHECK(check_log(path, {}, {}, 300'000).troubles.empty());
}

TEST_CASE("log: no more troubles are kept than anybody reads, and all are counted") {
    const Folder folder;
    const std::string path = folder.file("log");
    {
        std::ofstream file(path, std::ios::binary);
        for (int i = 0; i < 1'500; ++i) {
            file << "nothing\n";
        }
    }
    const LogCheck seen = check_log(path);
    CHECK(seen.altered == 1'500);
    CHECK(seen.troubles.size() == 1'000);
    CHECK(seen.troubles.back().line == 1'000);
}

TEST_CASE("log: a noted entry with another digest is not the one that was noted") {
    const Folder folder;
    const std::string path = folder.file("log");
    const Appended kept = ReceiptLog(path).append(entry(1));
    REQUIRE(kept.kept);
    CHECK(check_log(path, {}, NotedEntry{1, kept.digest}).troubles.empty());
    const LogCheck other = check_log(path, {}, NotedEntry{1, log_start()});
    REQUIRE(other.troubles.size() == 1);
    CHECK(says(other.troubles[0].message, "entry 1 with the digest that was noted is not"));
}

}  // namespace
}  // namespace toprail::test
