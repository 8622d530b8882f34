// Entry point: ReceiptKeeper.
#include "receipts.hpp"

#include "commands.hpp"
#include "toprail/signature.hpp"

#include <cstdio>
#include <filesystem>
#include <iostream>
#include <memory>
#include <set>

namespace toprail::command {
namespace {

/// A key and a line end; anything longer is no key file.
constexpr std::size_t key_file_limit = 200;

std::string read_key(const std::string& path) {
    std::string text = read_input(path, key_file_limit);
    while (!text.empty() && (text.back() == '\n' || text.back() == '\r' || text.back() == ' ')) {
        text.pop_back();
    }
    return text;
}

// The name of a case as that of a file: everything but plain letters, digits, - and _ becomes -.
std::string file_name(const std::string& case_name) {
    std::string name;
    for (const char c : case_name) {
        const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
                           (c >= '0' && c <= '9') || c == '-' || c == '_';
        name += plain ? c : '-';
    }
    return (name.empty() ? "case" : name) + ".receipt";
}

std::string read_public_key(const std::string& path) {
    std::string key = read_key(path);
    if (!is_public_key(key)) {
        std::cerr << "toprail: " << tell_line(path)
                  << " holds no public key (64 hexadecimal digits)\n";
        throw Unusable{};
    }
    return key;
}

bool failed(const std::string& path) {
    std::cerr << "toprail: the receipt could not be written to " << tell_line(path) << "\n";
    return false;
}

}  // namespace

std::string read_secret_key(const std::string& path) {
    std::string key = read_key(path);
    if (!is_secret_key(key)) {
        std::cerr << "toprail: " << tell_line(path)
                  << " holds no secret key; make one with toprail sign --new-key\n";
        throw Unusable{};
    }
    return key;
}

std::vector<std::string> read_public_keys(const std::vector<std::string>& paths) {
    std::vector<std::string> keys;
    for (const std::string& path : paths) {
        keys.push_back(read_public_key(path));
    }
    return keys;
}

void add_receipt_options(CLI::App& verb, ReceiptPlan& plan) {
    verb.add_option("--receipt", plan.file,
                    "Append the receipt of each case to this file, one a line")
        ->check(some_name());
    verb.add_option(
            "--receipts", plan.folder,
            "Write the receipt of each case to a new file of its name in this folder, which "
            "is made where there is none")
        ->check(some_name());
    verb.add_option(
            "--log", plan.log,
            "Append the receipt of each case to this receipt log, before the answer is shown. Its "
            "entries are never redacted, but copies of them can be: toprail redact --help")
        ->check(some_name());
    verb.add_option("--sign", plan.key_file, "Sign receipts with the secret key in this file")
        ->check(some_name());
    verb.add_flag("--redactable", plan.redactable,
                  "Give receipts a random seed, so that facts can be removed from them later");
}

ReceiptKeeper::ReceiptKeeper(const ReceiptPlan& plan, const Shelf& shelf)
    : plan_(plan),
      shelf_(shelf) {
    if (plan.any()) {
        maker_.emplace(shelf);
    }
    if (!plan.key_file.empty()) {
        key_ = read_secret_key(plan.key_file);
    }
}

Answer ReceiptKeeper::decide(const std::string& site, const Case& one, Date on,
                             const DecideOptions& how) {
    if (!plan_.any()) {
        return shelf_.decide(one.facts, on, how);
    }
    ReceiptOptions options;
    options.site = site;
    options.says = one.says;
    if (plan_.redactable) {
        options.seed = random_seed();
    }
    MadeReceipt made = maker_->make(one.facts, on, how, one.name, options);
    if (!made.text.empty() &&
        !keep(one.name,
              key_.empty() ? std::move(made.text) : sign_receipt(made.text, key_).value())) {
        throw Unusable{};
    }
    return {std::move(made.decision), std::move(made.findings)};
}

bool ReceiptKeeper::ready(const FactsFile& file) {
    if (!plan_.log.empty()) {
        log_.emplace(plan_.log);
    }
    if (!plan_.file.empty()) {
        file_.open(plan_.file, std::ios::binary | std::ios::app);
        if (!file_) {
            return failed(plan_.file);
        }
    }
    return plan_.folder.empty() || ready_folder(file);
}

std::string ReceiptKeeper::path_in_folder(const std::string& case_name) const {
    return plan_.folder + "/" + file_name(case_name);
}

// Two cases may come to one name, and a receipt may be there already. Better found now than when
// half of them are written.
bool ReceiptKeeper::ready_folder(const FactsFile& file) const {
    std::error_code trouble;
    std::filesystem::create_directories(plan_.folder, trouble);
    if (trouble) {
        std::cerr << "toprail: the folder " << tell_line(plan_.folder)
                  << " cannot be made: " << trouble.message() << "\n";
        return false;
    }
    std::set<std::string> paths;
    for (const Case& each : file.cases) {
        const std::string path = path_in_folder(each.name);
        const bool there = std::filesystem::exists(path, trouble);
        if (trouble) {
            std::cerr << "toprail: " << tell_line(path) << ": " << trouble.message()
                      << "; nothing was decided\n";
            return false;
        }
        if (there || !paths.insert(path).second) {
            std::cerr << "toprail: each receipt needs a new file, and " << tell_line(path)
                      << (there ? " is there already" : " would be that of two cases")
                      << "; nothing was decided\n";
            return false;
        }
    }
    return true;
}

bool ReceiptKeeper::keep(const std::string& case_name, const std::string& text) {
    return (plan_.log.empty() || keep_in_log(text)) && (plan_.file.empty() || keep_in_file(text)) &&
           (plan_.folder.empty() || keep_in_folder(case_name, text));
}

bool ReceiptKeeper::keep_in_file(const std::string& text) {
    file_ << text << "\n" << std::flush;
    return file_.good() || failed(plan_.file);
}

bool ReceiptKeeper::keep_in_folder(const std::string& case_name, const std::string& text) const {
    const std::string path = path_in_folder(case_name);
    // "x": a receipt that is there already is never written over.
    const std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(std::fopen(path.c_str(), "wbx"),
                                                               std::fclose);
    const std::string line = text + "\n";
    const bool kept = file && std::fwrite(line.data(), 1, line.size(), file.get()) == line.size() &&
                      std::fflush(file.get()) == 0;
    return kept || failed(path);
}

bool ReceiptKeeper::keep_in_log(const std::string& text) {
    const Appended kept = log_->append(text);
    if (kept.torn_bytes > 0) {
        std::cerr << "toprail: " << tell_line(plan_.log) << " ended in " << kept.torn_bytes
                  << " bytes of an entry that was never finished; they were taken away\n";
    }
    if (!kept.kept) {
        std::cerr << "toprail: " << kept.message << "\n";
    }
    return kept.kept;
}

}  // namespace toprail::command
