// replay: decides the cases of receipts again and says what differs. Receipts are read line by line
// and replayed in batches by a few threads, so that a million of them need no more memory than a
// few.
#include "commands.hpp"
#include "lines.hpp"
#include "receipts.hpp"
#include "replayed.hpp"
#include "toprail/receipt_log.hpp"

#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <charconv>
#include <fstream>
#include <iostream>
#include <memory>
#include <set>
#include <thread>

namespace toprail::command {
namespace {

struct Options {
    std::vector<std::string> files;
    std::vector<std::string> packs;
    std::vector<std::string> against;
    std::string log;
    std::string noted;
    std::string format = "text";
    std::vector<std::string> signed_by;
    std::size_t most = 20;
    ReplayOptions replaying;
    unsigned threads = 0;

    [[nodiscard]] bool json() const { return format == "json"; }
};

/// Receipts in one batch for each thread: enough that starting threads costs nothing beside them.
constexpr std::size_t batch_for_each = 16;

struct Line {
    std::string where;
    std::string text;
    // What came of it:
    Fate fate = Fate::same;
    std::string told;
    bool bears_signature = false;
};

class Replayer {
  public:
    Replayer(const Options& options, const ReceiptMaker& maker, std::set<std::string> keys)
        : options_(options),
          maker_(maker),
          keys_(std::move(keys)),
          threads_(options.threads != 0 ? options.threads
                                        : std::max(1U, std::thread::hardware_concurrency())) {}

    void take(std::string where, std::string text) {
        batch_.push_back({std::move(where), std::move(text), Fate::same, {}, false});
        if (batch_.size() >= batch_for_each * threads_) {
            replay_batch();
        }
    }

    void take_log(const std::string& path, const LogCheck& seen) {
        replay_batch();
        count_.altered += seen.altered;
        count_.out_of_place += seen.out_of_place;
        count_.log_troubles += seen.troubles.size() + (seen.torn_bytes != 0 ? 1U : 0U);
        std::cout << (options_.json() ? json_of(path, seen) : text_of(path, seen));
    }

    // Prints what is left and the count; gives the exit status.
    int finish() {
        replay_batch();
        if (progress_) {
            std::clog << "\r" << std::string(60, ' ') << "\r" << std::flush;
        }
        std::cout << (options_.json() ? json_of(count_) : text_of(count_, options_.against.empty()))
                  << std::flush;
        if (!options_.json() && !keys_.empty() && count_.to_look_at() == 0 && !count_.idle()) {
            std::cout << "each is signed by a key that counts\n" << std::flush;
        }
        if (keys_.empty() && signed_ != 0) {
            std::cerr << "toprail: " << signed_ << (signed_ == 1 ? " is" : " are")
                      << " signed, by whom was not asked: --signed-by KEY does\n";
        }
        if (options_.against.empty() && count_.differ != 0) {
            std::cerr
                << "toprail: replay looks at every word; which conclusions come out otherwise "
                   "under these rulepacks, replay --against FOLDER tells\n";
        }
        if (count_.idle()) {
            std::cerr << "toprail: no receipt was decided again: this shows nothing\n";
        }
        return count_.unreadable != 0 || empty_ != 0 || !std::cout ? Exit::unusable
               : count_.to_look_at() != 0 || count_.idle()         ? Exit::findings
                                                                   : Exit::done;
    }

    // A file or log in which there is nothing proves nothing: what it held may have been taken out.
    void tell_empty(const std::string& name) {
        ++empty_;
        std::cerr << "toprail: " << name
                  << " holds no receipt; if it ever did, they were taken away\n";
    }

  private:
    void replay_batch() {
        std::atomic<std::size_t> next{0};
        const auto work = [&] {
            for (std::size_t i = next++; i < batch_.size(); i = next++) {
                replay_line(batch_[i]);
            }
        };
        std::vector<std::thread> helpers;
        for (unsigned i = 1; i < threads_ && batch_.size() > 1; ++i) {
            helpers.emplace_back(work);
        }
        work();
        for (std::thread& helper : helpers) {
            helper.join();
        }
        for (const Line& line : batch_) {
            count_.add(line.fate);
            signed_ += line.bears_signature ? 1U : 0U;
            std::cout << line.told;
        }
        batch_.clear();
        if (progress_) {
            std::clog << "\r" << count_.receipts + count_.altered << " receipts, "
                      << count_.to_look_at() << " to look at" << std::flush;
        }
    }

    void replay_line(Line& line) const {
        const ReadReceipt read = read_receipt(line.text);
        Replayed seen;
        bool vouched = true;
        if (read.receipt) {
            line.bears_signature = !read.receipt->signatures.empty();
            vouched = vouched_for(*read.receipt);
            if (vouched) {
                seen = options_.against.empty()
                           ? replay(maker_, *read.receipt, options_.replaying)
                           : replay_against(maker_, *read.receipt, options_.replaying);
            }
        }
        line.fate = fate_of(read, vouched, seen);
        const Told told{line.where, read, line.fate, seen};
        line.told = options_.json() ? json_of(told) : text_of(told, options_.most);
    }

    [[nodiscard]] bool vouched_for(const Receipt& receipt) const {
        return keys_.empty() ||
               std::any_of(receipt.signatures.begin(), receipt.signatures.end(),
                           [this](const ReceiptSignature& s) { return keys_.contains(s.key); });
    }

    const Options& options_;
    const ReceiptMaker& maker_;
    std::set<std::string> keys_;
    unsigned threads_;
    bool progress_ = ::isatty(STDERR_FILENO) != 0;
    std::vector<Line> batch_;
    ReplayCount count_;
    std::uint64_t signed_ = 0;
    std::size_t empty_ = 0;
};

// The form of a line of a log: its receipt stands inside.
bool looks_like_log(const std::string& line) {
    return line.starts_with("{\"before\":\"");
}

void read_lines(std::istream& stream, const std::string& name, Replayer& replayer) {
    Lines lines(stream, Limits{}.bytes);
    std::string line;
    bool empty = true;
    for (std::uint64_t number = 1; lines.next(line); ++number) {
        if (line.empty()) {
            continue;
        }
        if (empty && looks_like_log(line)) {
            std::cerr << "toprail: " << name << " looks like a receipt log: replay it with --log "
                      << name << "\n";
            throw Unusable{};
        }
        empty = false;
        replayer.take(name + ":" + std::to_string(number), line);
    }
    if (empty) {
        replayer.tell_empty(name);
    }
}

// A file that holds receipts and no entries is no altered log but, most likely, no log.
void tell_if_receipts(const std::string& path, const LogCheck& seen) {
    std::ifstream file(path, std::ios::binary);
    std::string line;
    if (seen.entries == 0 && Lines(file, Limits{}.bytes).next(line) && read_receipt(line).receipt) {
        std::cerr << "toprail: the first line of " << path
                  << " is a receipt, not an entry of a log: files of receipts are replayed without "
                     "--log\n";
    }
}

// NUMBER:DIGEST, as the line of a log tells its last entry.
std::optional<NotedEntry> read_noted(const std::string& text) {
    NotedEntry noted;
    const char* const end = text.data() + text.size();
    const auto [stop, trouble] = std::from_chars(text.data(), end, noted.number);
    if (trouble != std::errc{} || stop == end || *stop != ':') {
        return std::nullopt;
    }
    noted.digest.assign(stop + 1, end);
    const bool digits = noted.digest.find_first_not_of("0123456789abcdef") == std::string::npos;
    return digits && noted.digest.size() == 64 ? std::optional(noted) : std::nullopt;
}

void read_log(const Options& options, Replayer& replayer) {
    const std::string& path = options.log;
    const auto each = [&](const LogEntry& entry) {
        replayer.take(path + ", entry " + std::to_string(entry.number), std::string(entry.receipt));
    };
    const LogCheck seen = check_log(path, each, read_noted(options.noted));
    if (!seen.readable) {
        std::cerr << "toprail: " << seen.message << "\n";
        throw Unusable{};
    }
    replayer.take_log(path, seen);
    tell_if_receipts(path, seen);
    if (seen.entries == 0 && seen.troubles.empty()) {
        replayer.tell_empty(path);
    }
}

int run(const Options& options) {
    if (options.files.empty() && options.log.empty()) {
        std::cerr << "toprail: name a file of receipts, - for standard input, or --log\n";
        return Exit::unusable;
    }
    const std::vector<std::string> keys = read_public_keys(options.signed_by);
    const ReceiptMaker maker(load(options.against.empty() ? options.packs : options.against));
    Replayer replayer(options, maker, {keys.begin(), keys.end()});
    for (const std::string& path : options.files) {
        if (path == "-") {
            read_lines(std::cin, "standard input", replayer);
        } else {
            std::ifstream file = open_file(path);
            read_lines(file, path, replayer);
        }
    }
    if (!options.log.empty()) {
        read_log(options, replayer);
    }
    return replayer.finish();
}

}  // namespace

Run add_replay(CLI::App& app) {
    auto options = std::make_shared<Options>();
    CLI::App* verb = app.add_subcommand("replay", "Decide the cases of receipts again and compare");
    verb->footer("Examples: toprail replay lift-1.receipt\n"
                 "          toprail replay --against new-rulepacks --log receipts.log\n"
                 "Exit status: 0 identical (redacted receipts are counted apart); 1 something "
                 "differs, or nothing could be decided again; 2 something is unreadable or empty.");
    verb->add_option("receipts", options->files,
                     "Files with one receipt a line; - for standard input");
    CLI::Option* log =
        verb->add_option("--log", options->log, "A receipt log: its chain is checked as well")
            ->check(some_name());
    verb->add_option(
            "--noted", options->noted,
            "NUMBER:DIGEST of an entry that was noted elsewhere: the log must still hold it; a "
            "chain that somebody made anew, or cut off, does not")
        ->needs(log)
        ->check([](const std::string& text) {
            return read_noted(text) ? std::string{}
                                    : "a number, a colon and 64 digits from 0 to f are wanted";
        });
    add_packs(*verb, options->packs);
    verb->add_option(
            "--against", options->against,
            "Folder of other rulepacks: list the conclusions that differ under them; several "
            "make one shelf")
        ->check(some_name())
        ->allow_extra_args(false);
    verb->add_option(
            "--signed-by", options->signed_by,
            "File with a public key; receipts must be signed by one of those named; may be "
            "given several times")
        ->allow_extra_args(false);  // the files that follow are receipts
    verb->add_option("--format", options->format,
                     "text, or json: one object a line for each receipt, and a summary")
        ->check(CLI::IsMember({"text", "json"}))
        ->capture_default_str();
    verb->add_option("--most", options->most, "Differences shown for each receipt (text only)")
        ->check(whole_number())
        ->capture_default_str();
    verb->add_option("--most-budget", options->replaying.most_budget,
                     "Largest --budget of a receipt that is decided again")
        ->check(whole_number())
        ->capture_default_str();
    verb->add_option("--threads", options->threads, "Threads; 0 for one for each processor")
        ->check(whole_number())
        ->check(CLI::Range(0U, 256U))
        ->capture_default_str();
    return [options] { return run(*options); };
}

}  // namespace toprail::command
