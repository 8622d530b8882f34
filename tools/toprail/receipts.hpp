// Keeping receipts of what was decided, before it is shown. Used by the verbs that decide cases.
#pragma once

#include "toprail/receipt.hpp"

#include <CLI/CLI.hpp>

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

/// Makes receipts case by case and keeps them all at the end. Not thread-safe.
class ReceiptKeeper {
  public:
    /// Throws Unusable when the signing key cannot be read.
    ReceiptKeeper(const ReceiptPlan& plan, const Shelf& shelf);

    /// Decides one case of a site; its receipt is remembered when receipts are asked for.
    Answer decide(const std::string& site, const Case& one, Date on, const DecideOptions& how);

    /// Writes every receipt. False, with a message printed, when one could not be kept: then
    /// nothing decided may be shown.
    [[nodiscard]] bool keep() const;

  private:
    struct Made {
        std::string case_name;
        std::string text;
    };

    [[nodiscard]] bool keep_in_file() const;
    [[nodiscard]] bool keep_in_folder() const;
    [[nodiscard]] bool keep_in_log() const;

    const ReceiptPlan& plan_;
    ReceiptMaker maker_;
    std::string key_;
    std::vector<Made> made_;
};

/// Each key file holds one key in hexadecimal digits; throws Unusable with a message printed.
std::string read_secret_key(const std::string& path);
std::vector<std::string> read_public_keys(const std::vector<std::string>& paths);

}  // namespace toprail::command
