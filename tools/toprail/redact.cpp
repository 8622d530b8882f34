// redact: takes facts out of a receipt; what is left still verifies.
#include "commands.hpp"
#include "toprail/redaction.hpp"

#include <iostream>
#include <memory>

namespace toprail::command {
namespace {

struct Options {
    std::string receipt;
    std::vector<std::string> facts;
};

int run(const Options& options) {
    const Redaction redacted = redact(read_input(options.receipt, Limits{}.bytes), options.facts);
    if (!redacted.text) {
        std::cerr << "toprail: " << redacted.message << "\n";
        return Exit::unusable;
    }
    std::cout << *redacted.text << "\n" << std::flush;
    return std::cout ? Exit::done : Exit::unusable;
}

}  // namespace

Run add_redact(CLI::App& app) {
    auto options = std::make_shared<Options>();
    CLI::App* verb =
        app.add_subcommand("redact", "Take facts out of a receipt that stays verifiable");
    verb->footer("Example: toprail redact --fact state lift-1.receipt > lift-1-redacted.receipt\n"
                 "The receipt must have been made with --redactable.");
    verb->add_option("receipt", options->receipt, "File with one receipt; - for standard input")
        ->required();
    verb->add_option("--fact", options->facts, "Fact to remove; may be given several times")
        ->allow_extra_args(false)
        ->required();
    return [options] { return run(*options); };
}

}  // namespace toprail::command
