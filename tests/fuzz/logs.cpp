// Log files. Every line that begins with "+" becomes an entry with the right digest, chained to the
// one before unless "!" follows; all other bytes stand as they are. The file is checked, repaired
// and appended to, and must hold what that promises.
#include "fuzz/holding.hpp"
#include "receipt/log_line.hpp"
#include "toprail/receipt_log.hpp"

#include <unistd.h>

#include <fstream>

using namespace toprail;

namespace {

// In memory where the system has such a folder: every append waits for the disk.
const std::string& path() {
    static const std::string made = [] {
        const std::string folder = ::access("/dev/shm", W_OK) == 0 ? "/dev/shm" : "/tmp";
        return folder + "/toprail-fuzz-log-" + std::to_string(::getpid());
    }();
    return made;
}

std::string log_of(std::string_view text) {
    std::string log;
    std::string head = log_start();
    std::uint64_t number = 0;
    while (!text.empty()) {
        const std::size_t end = text.find('\n');
        std::string_view line = text.substr(0, end);
        text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
        if (!line.starts_with('+')) {
            log += line;
            log += end == std::string_view::npos ? "" : "\n";
            continue;
        }
        line.remove_prefix(1);
        const bool unchained = line.starts_with('!');
        std::string digest;
        log += write_log_line(unchained ? log_start() : head, unchained ? number : number + 1, line,
                              digest);
        number += unchained ? 0U : 1U;
        head = unchained ? head : digest;
    }
    return log;
}

std::string bytes_of_file() {
    std::ifstream stream(path(), std::ios::binary);
    return {std::istreambuf_iterator<char>(stream), {}};
}

LogCheck checked() {
    std::uint64_t told = 0;
    LogCheck check = check_log(path(), [&told](const LogEntry&) { ++told; });
    fuzz::hold(check.readable, "the log can be read");
    fuzz::hold(told == check.entries, "every entry is told once");
    return check;
}

}  // namespace

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string before = log_of(fuzz::text_of(data, size));
    std::ofstream(path(), std::ios::binary | std::ios::trunc) << before;
    const LogCheck first = checked();
    const auto repaired = repair_log(path());
    const std::string after = bytes_of_file();
    fuzz::hold(before.starts_with(after), "repairing takes away from the end alone");
    fuzz::hold(before.size() - after.size() == repaired.value_or(0), "and says how much");
    const LogCheck second = checked();
    fuzz::hold(second.entries == first.entries && second.altered == first.altered,
               "repairing takes no entry away");
    Appended kept;
    {
        ReceiptLog log(path());
        kept = log.append("{\"a\":1}");
    }
    fuzz::hold(kept.kept || !kept.message.empty(), "kept, or told why not");
    const std::string end = bytes_of_file();
    fuzz::hold(end.starts_with(after), "appending leaves what stood there");
    if (kept.kept) {
        const LogCheck third = checked();
        fuzz::hold(third.entries == second.entries + 1, "appending adds one entry");
        fuzz::hold(third.number == kept.number && third.head == kept.digest, "and it is the last");
    } else {
        fuzz::hold(end == after, "what was not kept left nothing behind");
    }
    ::unlink(path().c_str());
    return 0;
}
