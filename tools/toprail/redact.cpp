// redact: takes facts out of a receipt; what is left still verifies. The entry of a log is copied:
// the chain holds every byte of the log itself.
#include "commands.hpp"
#include "toprail/receipt.hpp"
#include "toprail/receipt_log.hpp"
#include "toprail/redaction.hpp"
#include "toprail/telling.hpp"

#include <iostream>
#include <memory>

namespace toprail::command {
namespace {

struct Options {
    std::string receipt;
    std::string log;
    std::uint64_t entry = 0;
    std::vector<std::string> facts;
};

std::string entry_of_log(const std::string& log, std::uint64_t number) {
    std::string found;
    const LogCheck seen = check_log(log, [&](const LogEntry& entry) {
        if (entry.number == number) {
            found = entry.receipt;
        }
    });
    if (!seen.readable) {
        std::cerr << "toprail: " << seen.message << "\n";
        throw Unusable{};
    }
    if (found.empty()) {
        std::cerr << "toprail: " << log << " holds no entry " << number
                  << " whose digest is right\n";
        throw Unusable{};
    }
    return found;
}

// A name, a source or a provision may tell what was taken out. Whoever gives the copy away has to
// know.
void warn_of_what_stays(const std::string& whole, const std::string& left,
                        const std::vector<std::string>& facts) {
    const ReadReceipt read = read_receipt(whole);
    for (const std::string& name : facts) {
        const FactEntry* fact = read.receipt ? read.receipt->facts.find(name) : nullptr;
        constexpr std::size_t telling = 3;  // shorter texts stand everywhere
        std::size_t times = 0;
        for (std::size_t at = 0; fact != nullptr && fact->text.size() >= telling &&
                                 (at = left.find(fact->text, at)) != std::string::npos;
             ++at) {
            ++times;
        }
        if (times != 0) {
            std::cerr << "toprail: warning: \"" << tell_line(fact->text) << "\", the value of "
                      << tell_line(name) << ", still stands " << times
                      << (times == 1 ? " time" : " times")
                      << " in what is left: in a name, a source or the text of a rule\n";
        }
    }
    std::cerr
        << "toprail: outcomes, and which provisions stand, were not taken out; a value may be "
           "read from them\n";
}

int run(const Options& options) {
    if (options.receipt.empty() == options.log.empty()) {
        std::cerr << "toprail: name one file with a receipt, or --log and --entry\n";
        return Exit::unusable;
    }
    const std::string receipt = options.log.empty() ? read_input(options.receipt, Limits{}.bytes)
                                                    : entry_of_log(options.log, options.entry);
    const Redaction redacted = redact(receipt, options.facts);
    if (!redacted.text) {
        std::cerr << "toprail: " << redacted.message << "\n";
        return Exit::unusable;
    }
    warn_of_what_stays(receipt, *redacted.text, options.facts);
    std::cout << *redacted.text << "\n" << std::flush;
    return std::cout ? Exit::done : Exit::unusable;
}

}  // namespace

Run add_redact(CLI::App& app) {
    auto options = std::make_shared<Options>();
    CLI::App* verb =
        app.add_subcommand("redact", "Take facts out of a receipt that stays verifiable");
    verb->footer(
        "Example: toprail redact --fact state lift-1.receipt > lift-1-redacted.receipt\n"
        "         toprail redact --fact state --log receipts.log --entry 3 > copy.receipt\n"
        "The receipt must have been made with --redactable. A log is never changed, since "
        "every entry is chained to the one before: give away the redacted copy in place "
        "of the log.");
    verb->add_option("receipt", options->receipt, "File with one receipt; - for standard input");
    CLI::Option* log =
        verb->add_option("--log", options->log, "Take the receipt out of this receipt log")
            ->check(some_name());
    verb->add_option("--entry", options->entry, "Number of its entry in the log")
        ->check(whole_number())
        ->needs(log);
    log->needs("--entry");
    verb->add_option("--fact", options->facts, "Fact to remove; may be given several times")
        ->allow_extra_args(false)
        ->required();
    return [options] { return run(*options); };
}

}  // namespace toprail::command
