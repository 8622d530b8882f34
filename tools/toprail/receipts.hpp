// Keeping receipts of what was decided, before it is shown. Used by the verbs that decide cases.
#pragma once

#include "toprail/receipt.hpp"
#include "toprail/receipt_log.hpp"

#include <CLI/CLI.hpp>

#include <fstream>
#include <optional>
#include <string>
#include <vector>

namespace toprail::command {

struct ReceiptPlan {
    std::string file;
    std::string folder;
    std::string log;
    std::string key_file;
    bool redactable = false;

    [[nodiscard]] bool any() const { return !file.empty() || !folder.empty() || !log.empty(); }
};

void add_receipt_options(CLI::App& verb, ReceiptPlan& plan);

/// Makes the receipts of cases and keeps each before its answer is given back. Not thread-safe.
class ReceiptKeeper {
  public:
    /// Throws Unusable when the signing key cannot be read.
    ReceiptKeeper(const ReceiptPlan& plan, const Shelf& shelf);

    /// Whether the receipts of these cases can be kept, as far as that shows before the first one
    /// is made; else a message is printed. Makes the folder for them. To be called once, first.
    [[nodiscard]] bool ready(const FactsFile& file);

    /// Decides one case of a site and keeps its receipt where receipts are asked for. Throws
    /// Unusable, with a message printed, when it could not be kept: such an answer must not be
    /// shown.
    Answer decide(const std::string& site, const Case& one, Date on, const DecideOptions& how);

  private:
    [[nodiscard]] bool ready_folder(const FactsFile& file) const;
    [[nodiscard]] std::string path_in_folder(const std::string& case_name) const;
    [[nodiscard]] bool keep(const std::string& case_name, const std::string& text);
    [[nodiscard]] bool keep_in_file(const std::string& text);
    [[nodiscard]] bool keep_in_folder(const std::string& case_name, const std::string& text) const;
    [[nodiscard]] bool keep_in_log(const std::string& text);

    const ReceiptPlan& plan_;
    const Shelf& shelf_;
    std::optional<ReceiptMaker> maker_;  // where receipts are asked for
    std::string key_;
    std::ofstream file_;
    std::optional<ReceiptLog> log_;
};

/// Each key file holds one key in hexadecimal digits; throws Unusable with a message printed.
std::string read_secret_key(const std::string& path);
std::vector<std::string> read_public_keys(const std::vector<std::string>& paths);

}  // namespace toprail::command
