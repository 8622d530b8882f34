// replay: decides the cases of receipts again and says what differs. Receipts are read line by line
// and replayed in batches by a few threads, so that a million of them need no more memory than a
// few.
#include "toprail/replay.hpp"

#include "commands.hpp"
#include "lines.hpp"
#include "receipts.hpp"
#include "toprail/receipt_log.hpp"

#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <fstream>
#include <functional>
#include <iostream>
#include <memory>
#include <set>
#include <thread>

namespace toprail::command {
namespace {

struct Options {
    std::vector<std::string> files;
    std::vector<std::string> packs;
    std::string against;
    std::string log;
    std::vector<std::string> signed_by;
    std::size_t most = 20;
    unsigned threads = 0;
};

/// Receipts in one batch for each thread: enough that starting threads costs nothing beside them.
constexpr std::size_t batch_for_each = 16;

struct Line {
    std::string where;
    std::string text;
    // What came of it:
    std::string told;
    int exit = Exit::done;
};

std::string quoted(const std::string& text) {
    return text.empty() ? "nothing" : text;
}

class Replayer {
  public:
    Replayer(const Options& options, const ReceiptMaker& maker, std::set<std::string> keys)
        : options_(options),
          maker_(maker),
          keys_(std::move(keys)),
          threads_(options.threads != 0 ? options.threads
                                        : std::max(1U, std::thread::hardware_concurrency())) {}

    void take(std::string where, std::string text) {
        batch_.push_back({std::move(where), std::move(text), {}, Exit::done});
        if (batch_.size() >= batch_for_each * threads_) {
            replay_batch();
        }
    }

    // Prints what is left and the count; gives the exit status.
    int finish() {
        replay_batch();
        if (progress_) {
            std::cerr << "\r" << std::string(40, ' ') << "\r" << std::flush;
        }
        std::cout << count_ << (count_ == 1 ? " receipt: " : " receipts: ") << same_
                  << (options_.against.empty() ? " identical" : " with the same conclusions");
        if (differ_ != 0) {
            std::cout << ", " << differ_ << (differ_ == 1 ? " differs" : " differ");
        }
        if (unreadable_ != 0) {
            std::cout << ", " << unreadable_ << " unreadable";
        }
        std::cout << "\n" << std::flush;
        return unreadable_ != 0 || !std::cout ? Exit::unusable
               : differ_ != 0                 ? Exit::findings
                                              : Exit::done;
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
            ++count_;
            same_ += line.exit == Exit::done ? 1U : 0U;
            differ_ += line.exit == Exit::findings ? 1U : 0U;
            unreadable_ += line.exit == Exit::unusable ? 1U : 0U;
            std::cout << line.told;
        }
        batch_.clear();
        if (progress_) {
            std::cerr << "\r" << count_ << " receipts, " << differ_ + unreadable_ << " to look at"
                      << std::flush;
        }
    }

    void replay_line(Line& line) const {
        const ReadReceipt read = read_receipt(line.text);
        if (!read.receipt) {
            // An altered receipt is an answer: this is not what was recorded. The rest cannot be
            // read.
            const bool altered = read.trouble == ReceiptTrouble::altered;
            line.exit = altered ? Exit::findings : Exit::unusable;
            line.told =
                line.where + ": " + (altered ? "altered: " : "unreadable: ") + read.message + "\n";
            return;
        }
        const Receipt& receipt = *read.receipt;
        line.told = line.where + ", " + receipt.case_name + " on " + receipt.on.text() + ": ";
        if (!vouched_for(receipt)) {
            line.exit = Exit::findings;
            line.told += "not signed by a key that counts\n";
            return;
        }
        const Replayed seen =
            options_.against.empty() ? replay(maker_, receipt) : replay_against(maker_, receipt);
        if (seen.verdict == ReplayVerdict::identical) {
            line.told.clear();
            return;
        }
        line.exit = Exit::findings;
        line.told += std::string(word(seen.verdict)) + "\n" + told(seen);
    }

    [[nodiscard]] bool vouched_for(const Receipt& receipt) const {
        return keys_.empty() ||
               std::any_of(receipt.signatures.begin(), receipt.signatures.end(),
                           [this](const ReceiptSignature& s) { return keys_.contains(s.key); });
    }

    [[nodiscard]] std::string told(const Replayed& seen) const {
        std::string text;
        for (const std::string& cause : seen.causes) {
            text += "  because: " + cause + "\n";
        }
        for (const Finding& finding : seen.findings) {
            text += "  " + finding.message + "\n";
        }
        std::size_t shown = 0;
        for (const Difference& each : seen.differences) {
            if (shown++ == options_.most) {
                text += "  and " + std::to_string(seen.differences.size() - options_.most) +
                        " further differences; --most shows more\n";
                break;
            }
            text += "  " + each.about + " " + each.name + "\n    was: " + quoted(each.was) +
                    "\n    now: " + quoted(each.now) + "\n";
            for (const std::string& by : each.by) {
                text += "    " + by + "\n";
            }
        }
        return text;
    }

    const Options& options_;
    const ReceiptMaker& maker_;
    std::set<std::string> keys_;
    unsigned threads_;
    bool progress_ = ::isatty(STDERR_FILENO) != 0;
    std::vector<Line> batch_;
    std::uint64_t count_ = 0;
    std::uint64_t same_ = 0;
    std::uint64_t differ_ = 0;
    std::uint64_t unreadable_ = 0;
};

void read_lines(std::istream& stream, const std::string& name, Replayer& replayer) {
    Lines lines(stream, Limits{}.bytes);
    std::string line;
    for (std::uint64_t number = 1; lines.next(line); ++number) {
        if (!line.empty()) {
            replayer.take(name + ":" + std::to_string(number), line);
        }
    }
}

// False, with messages printed, when the log is not whole.
bool read_log(const std::string& path, Replayer& replayer) {
    const LogCheck seen = check_log(path, [&](const LogEntry& entry) {
        replayer.take(path + ", entry " + std::to_string(entry.number), std::string(entry.receipt));
    });
    if (!seen.readable) {
        std::cerr << "toprail: " << seen.message << "\n";
        throw Unusable{};
    }
    for (const LogTrouble& trouble : seen.troubles) {
        std::cout << path << ":" << trouble.line << ": " << trouble.message << "\n";
    }
    if (seen.torn_bytes != 0) {
        std::cout << path << ": the last " << seen.torn_bytes
                  << " bytes are an entry that was never finished\n";
    }
    std::cout << path << ": " << seen.entries << " entries; the last is number " << seen.number
              << ", digest " << seen.head << "\n";
    return seen.troubles.empty();
}

int run(const Options& options) {
    if (options.files.empty() && options.log.empty()) {
        std::cerr << "toprail: name a file of receipts, - for standard input, or --log\n";
        return Exit::unusable;
    }
    std::set<std::string> keys;
    for (const std::string& file : options.signed_by) {
        keys.insert(read_public_key(file));
    }
    const ReceiptMaker maker(
        load(options.against.empty() ? options.packs : std::vector{options.against}));
    Replayer replayer(options, maker, std::move(keys));
    bool whole = true;
    for (const std::string& path : options.files) {
        if (path == "-") {
            read_lines(std::cin, "standard input", replayer);
            continue;
        }
        std::ifstream file(path, std::ios::binary);
        if (!file) {
            std::cerr << "toprail: " << path << " cannot be opened for reading\n";
            return Exit::unusable;
        }
        read_lines(file, path, replayer);
    }
    if (!options.log.empty()) {
        whole = read_log(options.log, replayer);
    }
    const int status = replayer.finish();
    return status == Exit::done && !whole ? Exit::findings : status;
}

}  // namespace

Run add_replay(CLI::App& app) {
    auto options = std::make_shared<Options>();
    CLI::App* verb = app.add_subcommand("replay", "Decide the cases of receipts again and compare");
    verb->footer("Examples: toprail replay lift-1.receipt\n"
                 "          toprail replay --against new-rulepacks --log receipts.log\n"
                 "Exit status: 0 identical; 1 something differs; 2 something is unreadable.");
    verb->add_option("receipts", options->files,
                     "Files with one receipt a line; - for standard input");
    verb->add_option("--log", options->log, "A receipt log: its chain is checked as well");
    add_packs(*verb, options->packs);
    verb->add_option("--against", options->against,
                     "Folder of other rulepacks: list the conclusions that differ under them");
    verb->add_option(
            "--signed-by", options->signed_by,
            "File with a public key; receipts must be signed by one of those named; may be "
            "given several times")
        ->allow_extra_args(false);  // the files that follow are receipts
    verb->add_option("--most", options->most, "Differences shown for each receipt")
        ->capture_default_str();
    verb->add_option("--threads", options->threads, "Threads; 0 for one for each processor")
        ->check(CLI::Range(0U, 256U))
        ->capture_default_str();
    return [options] { return run(*options); };
}

}  // namespace toprail::command
