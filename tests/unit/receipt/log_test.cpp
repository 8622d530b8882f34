// The receipt log: nothing acknowledged is lost, and nothing is changed unseen. Crashes are real:
// child processes are killed while they append.
#include "log_support.hpp"
#include "receipt_support.hpp"
#include "toprail/receipt_log.hpp"

#include <unistd.h>

#include <algorithm>
#include <csignal>
#include <initializer_list>

namespace toprail::test {
namespace {

void spill(const std::string& path, const std::string& text) {
    std::ofstream(path, std::ios::binary | std::ios::trunc) << text;
}

std::vector<std::string> entries_of(const std::string& path) {
    std::vector<std::string> all;
    check_log(path, [&all](const LogEntry& each) { all.emplace_back(each.receipt); });
    return all;
}

/// A log of that many entries; gives its text.
std::string make_log(const std::string& path, std::uint64_t count) {
    ReceiptLog log(path);
    for (std::uint64_t i = 1; i <= count; ++i) {
        const Appended kept = log.append(entry(i));
        REQUIRE(kept.kept);
        REQUIRE(kept.number == i);
    }
    return slurp(path);
}

std::string lines(const std::string& text, std::initializer_list<std::size_t> wanted) {
    std::vector<std::string> all;
    std::istringstream stream(text);
    for (std::string line; std::getline(stream, line);) {
        all.push_back(line + "\n");
    }
    std::string kept;
    for (const std::size_t each : wanted) {
        kept += all[each - 1];
    }
    return kept;
}

TEST_CASE("log: what is appended is read back, chained") {
    const Folder folder;
    const std::string path = folder.file("log");
    ReceiptLog log(path);
    const std::string receipt = lift_receipt().text;
    const Appended first = log.append(receipt);
    const Appended second = ReceiptLog(path).append(receipt);
    const Appended third = log.append(receipt);
    REQUIRE(third.kept);
    CHECK(third.number == 3);
    const LogCheck seen = check_log(path, [&](const LogEntry& each) {
        CHECK(each.receipt == receipt);
        CHECK(read_receipt(each.receipt).receipt);
    });
    CHECK(seen.troubles.empty());
    CHECK(seen.entries == 3);
    CHECK(seen.head == third.digest);
    CHECK(first.digest != second.digest);
}

TEST_CASE("log: what is not one line of JSON is not kept") {
    const Folder folder;
    ReceiptLog log(folder.file("log"));
    for (const char* text : {"", "{}", "{\"a\":1}\n", "[1,2,3]", "{\"a\":\n1}"}) {
        CHECK_FALSE(log.append(text).kept);
    }
}

TEST_CASE("log: a last line torn at any byte is taken away and nothing before it") {
    const Folder folder;
    const std::string path = folder.file("log");
    const std::string whole = make_log(path, 3);
    const std::size_t last = lines(whole, {1, 2}).size();
    for (std::size_t size = last + 1; size < whole.size(); ++size) {
        spill(path, whole.substr(0, size));
        CHECK(check_log(path).torn_bytes == size - last);
        const Appended kept = ReceiptLog(path).append(entry(3));
        REQUIRE(kept.kept);
        CHECK(kept.torn_bytes == size - last);
        REQUIRE(slurp(path) == whole);
    }
    spill(path, whole.substr(0, whole.size() - 2));
    CHECK(repair_log(path).value() == whole.size() - 2 - last);
    CHECK(slurp(path) == whole.substr(0, last));
}

TEST_CASE("log: a file that holds nothing but a torn line starts anew") {
    const Folder folder;
    const std::string path = folder.file("log");
    spill(path, "{\"before\":\"000");
    const Appended kept = ReceiptLog(path).append(entry(1));
    CHECK(kept.kept);
    CHECK(kept.number == 1);
    CHECK(check_log(path).troubles.empty());
}

TEST_CASE("log: a file that is no log, or ends in what no entry begins with, is left as it is") {
    const Folder folder;
    const std::string path = folder.file("log");
    const std::string whole = make_log(path, 2);
    const std::string zeros(1000, '\0');
    for (const std::string& text :
         {std::string("{\"permit\":\"only copy\"}"), zeros, whole + "a note", whole + "{\"b\":1}",
          std::string("a first line\n{\"before\":\""), "a first line\n" + zeros}) {
        spill(path, text);
        const Appended refused = ReceiptLog(path).append(entry(3));
        CHECK_FALSE(refused.kept);
        CHECK(refused.message.find("no receipt log") != std::string::npos);
        CHECK_FALSE(repair_log(path));
        CHECK(slurp(path) == text);
    }
    // What a crash leaves: room that was made for an entry and never written.
    spill(path, whole + zeros);
    CHECK(ReceiptLog(path).append(entry(3)).torn_bytes == zeros.size());
    CHECK(check_log(path).entries == 3);
    spill(path, whole + "{\"before\":\"00" + zeros);
    CHECK(repair_log(path).value() == 13 + zeros.size());
    CHECK(slurp(path) == whole);
}

TEST_CASE("log: a line longer than the pieces in which the end is read") {
    const Folder folder;
    const std::string path = folder.file("log");
    const std::string big = "{\"a\":\"" + std::string(300'000, 'x') + "\"}";
    REQUIRE(ReceiptLog(path).append(big).kept);
    REQUIRE(ReceiptLog(path).append(big).kept);
    CHECK(entries_of(path) == std::vector<std::string>{big, big});
}

TEST_CASE("log: every single-byte change is found") {
    const Folder folder;
    const std::string path = folder.file("log");
    const std::string whole = make_log(path, 3);
    std::size_t unnoticed = 0;
    for (std::size_t i = 0; i < whole.size(); ++i) {
        std::string altered = whole;
        altered[i] = static_cast<char>(altered[i] ^ (1 << (i % 7)));
        spill(path, altered);
        const LogCheck seen = check_log(path);
        unnoticed += seen.troubles.empty() ? 1U : 0U;
    }
    CHECK(unnoticed == 0);
}

TEST_CASE("log: an entry whose line end was altered is no torn line and is not taken away") {
    const Folder folder;
    const std::string path = folder.file("log");
    const std::string whole = make_log(path, 3);
    for (const char* end : {" ", "}", "0", " {\"before\":"}) {
        const std::string altered = whole.substr(0, whole.size() - 1) + end;
        spill(path, altered);
        const LogCheck seen = check_log(path);
        CHECK(seen.altered == 1);
        CHECK(seen.entries == 2);
        CHECK(seen.torn_bytes == 0);
        CHECK_FALSE(ReceiptLog(path).append(entry(4)).kept);
        CHECK_FALSE(repair_log(path));
        CHECK(slurp(path) == altered);
    }
}

TEST_CASE("log: removed, reordered and doubled entries are found, with their place") {
    const Folder folder;
    const std::string path = folder.file("log");
    const std::string whole = make_log(path, 4);
    const auto first_trouble = [&](std::initializer_list<std::size_t> kept) {
        spill(path, lines(whole, kept));
        const LogCheck seen = check_log(path);
        return seen.troubles.empty() ? 0 : seen.troubles.front().line;
    };
    CHECK(first_trouble({1, 2, 3, 4}) == 0);
    CHECK(first_trouble({2, 3, 4}) == 1);
    CHECK(first_trouble({1, 3, 4}) == 2);
    CHECK(first_trouble({1, 3, 2, 4}) == 2);
    CHECK(first_trouble({1, 1, 2, 3, 4}) == 2);
}

TEST_CASE("log: entries cut off the end are found by a noted entry") {
    const Folder folder;
    const std::string path = folder.file("log");
    const std::string whole = make_log(path, 4);
    const LogCheck all = check_log(path);
    const NotedEntry noted{all.number, all.head};
    CHECK(check_log(path, {}, noted).troubles.empty());
    spill(path, lines(whole, {1, 2, 3}));
    CHECK(check_log(path).troubles.empty());
    CHECK(check_log(path, {}, noted).troubles.size() == 1);
}

TEST_CASE("log: an altered last entry is not built upon") {
    const Folder folder;
    const std::string path = folder.file("log");
    std::string text = make_log(path, 2);
    text[text.size() - 12] = '9';
    spill(path, text);
    const Appended refused = ReceiptLog(path).append(entry(3));
    CHECK_FALSE(refused.kept);
    CHECK(refused.message.find("altered") != std::string::npos);
    CHECK(slurp(path) == text);
}

TEST_CASE("log: a log put into storage meanwhile gives way to a new one") {
    const Folder folder;
    const std::string path = folder.file("log");
    ReceiptLog log(path);
    REQUIRE(log.append(entry(1)).kept);
    fs::rename(path, folder.file("old"));
    CHECK(log.append(entry(2)).number == 1);
    CHECK(entries_of(path) == std::vector<std::string>{entry(2)});
    CHECK(entries_of(folder.file("old")) == std::vector<std::string>{entry(1)});
}

// The child tells each kept number through a pipe; it is killed after some of them, at whatever it
// is doing then.
TEST_CASE("log: nothing acknowledged is lost when the writer is killed") {
    const Folder folder;
    const std::string path = folder.file("log");
    std::uint64_t acknowledged = 0;
    constexpr int rounds = 25;
    for (int round = 0; round < rounds; ++round) {
        int ends[2];
        REQUIRE(::pipe(ends) == 0);
        const pid_t child = ::fork();
        if (child == 0) {
            ReceiptLog log(path);
            const std::string padding(static_cast<std::size_t>(1000 * round), 'x');
            for (std::uint64_t i = acknowledged + 1;; ++i) {
                const Appended kept = log.append("{\"p\":\"" + padding + "\"}");
                if (!kept.kept ||
                    ::write(ends[1], &kept.number, sizeof kept.number) != sizeof kept.number) {
                    ::_exit(1);
                }
            }
        }
        ::close(ends[1]);
        std::uint64_t number = 0;
        for (int i = 0; i <= round; ++i) {
            REQUIRE(::read(ends[0], &number, sizeof number) == sizeof number);
        }
        ::kill(child, SIGKILL);
        while (::read(ends[0], &number, sizeof number) == sizeof number) {
        }
        ::close(ends[0]);
        finish(child);
        CHECK(number > acknowledged);
        acknowledged = number;
        // At most one entry can have reached the disk without being acknowledged.
        const Appended next = ReceiptLog(path).append(entry(0));
        REQUIRE(next.kept);
        CHECK(next.number >= acknowledged + 1);
        CHECK(next.number <= acknowledged + 2);
        acknowledged = next.number;
    }
    const LogCheck seen = check_log(path);
    CHECK(seen.troubles.empty());
    CHECK(seen.entries == acknowledged);
    MESSAGE("writers killed: " << rounds << ", entries acknowledged and found: " << acknowledged);
}

TEST_CASE("log: two processes append to one file") {
    const Folder folder;
    const std::string path = folder.file("log");
    constexpr std::uint64_t each_writes = 200;
    pid_t children[2];
    for (int writer = 0; writer < 2; ++writer) {
        children[writer] = ::fork();
        if (children[writer] == 0) {
            ReceiptLog log(path);
            std::uint64_t kept = 0;
            for (std::uint64_t i = 0; i < each_writes; ++i) {
                kept +=
                    log.append(entry(i * 2 + static_cast<std::uint64_t>(writer))).kept ? 1U : 0U;
            }
            ::_exit(kept == each_writes ? 0 : 1);
        }
    }
    CHECK(finish(children[0]) == 0);
    CHECK(finish(children[1]) == 0);
    const LogCheck seen = check_log(path);
    CHECK(seen.troubles.empty());
    CHECK(seen.entries == 2 * each_writes);
    std::vector<std::string> all = entries_of(path);
    std::sort(all.begin(), all.end());
    CHECK(std::unique(all.begin(), all.end()) == all.end());
}

}  // namespace
}  // namespace toprail::test
