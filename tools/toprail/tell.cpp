// tell: what a receipt records, for people who have neither the rulepacks nor the time to read
// JSON.
#include "commands.hpp"
#include "lines.hpp"
#include "receipt/tree.hpp"
#include "toprail/receipt_log.hpp"
#include "toprail/retelling.hpp"
#include "toprail/telling.hpp"

#include <iostream>
#include <memory>

namespace toprail::command {
namespace {

struct Options {
    std::vector<std::string> files;
    std::string log;
    std::uint64_t entry = 0;
    std::string only_case;
    std::string format = "text";
    std::string length = "reasons";
};

class Reteller {
  public:
    explicit Reteller(const Options& options) : options_(options) {}

    void take(const std::string& where, std::string_view line) {
        const ReadReceipt read = read_receipt(line);
        if (!read.receipt) {
            const bool altered = read.trouble == ReceiptTrouble::altered;
            std::cerr << "toprail: " << where << ": " << (altered ? "ALTERED: " : "")
                      << read.message << "\n";
            (altered ? altered_ : unreadable_) = true;
            return;
        }
        const Receipt& receipt = *read.receipt;
        if (!options_.only_case.empty() && receipt.case_name != options_.only_case) {
            return;
        }
        const Decision decision = retell(receipt);
        if (options_.format == "html") {
            std::cout << tell_html(decision, receipt.case_name, receipt.says,
                                   length_of(options_.length), head(receipt));
        } else if (options_.format == "json") {
            std::string out;
            append_json(out, decision, receipt.case_name);
            // What the receipt is, before what it tells.
            std::cout << (told_ == 0 ? "[\n" : ",\n") << "{\"receipt\":"
                      << json_head(receipt).dump(-1, ' ', true, Json::error_handler_t::replace)
                      << "," << out.substr(1);
        } else {
            std::cout << (told_ == 0 ? "" : "\n") << where << "\n"
                      << head(receipt) << "\n\n"
                      << tell_text(decision, receipt.case_name, receipt.says,
                                   length_of(options_.length));
            if (options_.length == "everything") {
                tell_packs(receipt);
            }
        }
        ++told_;
    }

    int finish() const {
        if (options_.format == "json") {
            std::cout << (told_ == 0 ? "[]\n" : "\n]\n");
        }
        std::cout << std::flush;
        if (told_ == 0 && !altered_ && !unreadable_) {
            std::cerr << "toprail: there is no such receipt\n";
        }
        return unreadable_ || !std::cout || (told_ == 0 && !altered_) ? Exit::unusable
               : altered_                                             ? Exit::findings
                                                                      : Exit::done;
    }

    // A log in which something was altered or taken out is no basis for what is told of it: each
    // receipt says so, since its page may be handed on alone.
    void take_troubles(const std::string& log, const LogCheck& seen) {
        for (const LogTrouble& trouble : seen.troubles) {
            std::cerr << "toprail: " << log << ":" << trouble.line << ": "
                      << tell_line(trouble.message) << "\n";
        }
        if (seen.torn_bytes != 0) {
            std::cerr << "toprail: " << log << ": after the last entry stand " << seen.torn_bytes
                      << " bytes of one that was never finished, or was cut off\n";
        }
        if (!seen.troubles.empty() || seen.torn_bytes != 0) {
            altered_ = true;
            log_trouble_ = "KEPT IN A LOG THAT WAS ALTERED OR CUT OFF: replay --log says where";
        }
    }

    [[nodiscard]] std::size_t told() const { return told_; }

  private:
    // One thing a line. What the receipt says itself stands last and on lines of its own, so that
    // it cannot be taken for what was verified.
    [[nodiscard]] std::string head(const Receipt& receipt) const {
        std::string text = "from its receipt, intact: format " + std::to_string(receipt.format) +
                           ", version " + receipt.engine + ", digest " + receipt.digest +
                           "; decided for " + receipt.on.text();
        for (const ReceiptSignature& each : receipt.signatures) {
            text += "\nsigned with the key " + each.key;
        }
        if (receipt.signatures.empty()) {
            text += "\nsigned by nobody: whoever has this library can make such a receipt";
        }
        text += log_trouble_.empty() ? "" : "\n" + log_trouble_;
        if (!receipt.redacted.empty()) {
            text += "\nREDACTED, what rests on it is missing, cautions too: ";
            std::string_view glue;
            for (const std::string& fact : receipt.redacted) {
                text.append(glue).append(tell_line(fact));
                glue = ", ";
            }
        }
        return text + (receipt.site.empty() ? "" : "\nsite: " + tell_line(receipt.site));
    }

    [[nodiscard]] Json json_head(const Receipt& receipt) const {
        Json keys = Json::array();
        for (const ReceiptSignature& each : receipt.signatures) {
            keys.push_back(each.key);
        }
        Json packs = Json::array();
        for (const Json& each : list_in(receipt.tree->root, "packs")) {
            packs.push_back({{"authority", text_in(each, "authority")},
                             {"edition", text_in(each, "edition")},
                             {"digest", text_in(each, "digest")}});
        }
        return {{"format", receipt.format},     {"version", receipt.engine},
                {"digest", receipt.digest},     {"signed-by", std::move(keys)},
                {"redacted", receipt.redacted}, {"log-altered", !log_trouble_.empty()},
                {"site", receipt.site},         {"says", receipt.says},
                {"packs", std::move(packs)}};
    }

    // By their bytes, so that whoever has a rulepack can tell whether it is the one.
    static void tell_packs(const Receipt& receipt) {
        std::cout << "  rulepacks by the SHA-256 of their bytes:\n";
        for (const Json& each : list_in(receipt.tree->root, "packs")) {
            std::cout << "    " << tell_line(text_in(each, "digest")) << "  "
                      << tell_line(text_in(each, "authority")) << ", edition of "
                      << tell_line(text_in(each, "edition")) << "\n";
        }
    }

    const Options& options_;
    std::size_t told_ = 0;
    bool altered_ = false;
    bool unreadable_ = false;
    std::string log_trouble_;
};

void take_file(const std::string& path, Reteller& reteller) {
    std::ifstream file;
    if (path != "-") {
        file = open_file(path);
    }
    Lines lines(path == "-" ? std::cin : file, Limits{}.bytes);
    std::string line;
    for (std::uint64_t number = 1; lines.next(line); ++number) {
        if (!line.empty()) {
            reteller.take((path == "-" ? "standard input" : path) + ":" + std::to_string(number),
                          line);
        }
    }
}

void take_log(const Options& options, Reteller& reteller) {
    const LogCheck seen = check_log(options.log);
    if (!seen.readable) {
        std::cerr << "toprail: " << seen.message << "\n";
        throw Unusable{};
    }
    reteller.take_troubles(options.log, seen);
    check_log(options.log, [&](const LogEntry& entry) {
        if (options.entry == 0 || entry.number == options.entry) {
            reteller.take(options.log + ", entry " + std::to_string(entry.number), entry.receipt);
        }
    });
}

int run(const Options& options) {
    if (options.files.empty() && options.log.empty()) {
        std::cerr << "toprail: name a file of receipts, - for standard input, or --log\n";
        return Exit::unusable;
    }
    Reteller reteller(options);
    for (const std::string& path : options.files) {
        take_file(path, reteller);
    }
    if (!options.log.empty()) {
        take_log(options, reteller);
    }
    if (options.format == "html" && reteller.told() > 1) {
        std::cerr
            << "toprail: several pages were written one after the other; name one with --case "
               "or --entry\n";
        return Exit::unusable;
    }
    return reteller.finish();
}

}  // namespace

Run add_tell(CLI::App& app) {
    auto options = std::make_shared<Options>();
    CLI::App* verb =
        app.add_subcommand("tell", "Tell what receipts record; no rulepack is needed for it");
    verb->footer("Examples: toprail tell lift-1.receipt\n"
                 "          toprail tell --log receipts.log --entry 3 --length everything\n"
                 "Whether today's rulepacks say the same, replay tells.\n"
                 "Exit status: 0 told; 1 something was altered or is missing in the log; 2 "
                 "something is unreadable.");
    verb->add_option("receipts", options->files,
                     "Files with one receipt a line; - for standard input");
    CLI::Option* log = verb->add_option("--log", options->log, "A receipt log")->check(some_name());
    verb->add_option("--entry", options->entry, "Tell the entry of this number in the log alone")
        ->check(whole_number())
        ->check(CLI::PositiveNumber)
        ->needs(log);
    verb->add_option("--case", options->only_case, "Tell receipts of the case of this name alone")
        ->check(some_name());
    verb->add_option("--format", options->format,
                     "text, json (the keys of decide) or html (a page, of one receipt)")
        ->check(CLI::IsMember({"text", "json", "html"}))
        ->capture_default_str();
    add_length(*verb, options->length);
    return [options] { return run(*options); };
}

}  // namespace toprail::command
