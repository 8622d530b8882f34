// sign: makes keys, and signs packs and vocabularies.
#include "commands.hpp"
#include "receipts.hpp"
#include "toprail/receipt.hpp"
#include "toprail/signature.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <fstream>
#include <iostream>
#include <memory>

namespace toprail::command {
namespace {

struct Options {
    std::string new_key;
    std::string key;
    std::vector<std::string> files;
};

// A file that was not there before; the secret key is for its owner alone.
bool write_new(const std::string& path, const std::string& text, unsigned mode) {
    const int file = ::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, mode);
    if (file < 0) {
        std::cerr << "toprail: " << tell_line(path)
                  << " cannot be made; an existing key is never written over\n";
        return false;
    }
    const ssize_t put = ::write(file, text.data(), text.size());
    const bool whole = put == static_cast<ssize_t>(text.size()) && ::fsync(file) == 0;
    return ::close(file) == 0 && whole;
}

int make_key(const std::string& path) {
    const KeyPair pair = new_key_pair();
    const std::string open_path = path + ".public";
    if (!write_new(path, pair.secret_key + "\n", 0600) ||
        !write_new(open_path, pair.public_key + "\n", 0644)) {
        return Exit::unusable;
    }
    std::cout << "secret key in " << tell_line(path) << ", public key in " << open_path << "\n";
    return Exit::done;
}

// A signature is added to those that are there; a second one of the same key says nothing new.
bool sign_beside(const std::string& path, const std::string& key) {
    const std::string bytes = read_input(path, Limits{}.bytes);
    const ReadReceipt receipt = read_receipt(bytes);
    if (receipt.receipt || receipt.trouble == ReceiptTrouble::altered ||
        receipt.trouble == ReceiptTrouble::newer) {
        std::cerr << "toprail: " << tell_line(path)
                  << " is a receipt; receipts are signed when they are made: toprail decide "
                     "--sign\n";
        return false;
    }
    const std::string beside = path + ".signature";
    std::string known;
    if (std::ifstream(beside)) {
        known = read_input(beside, Limits{}.bytes);
    }
    for (const std::string& signer : signers(bytes, known)) {
        if (signer == public_half(key)) {
            std::cout << tell_line(path) << " is signed by this key already\n";
            return true;
        }
    }
    std::ofstream file(beside, std::ios::binary | std::ios::app);
    file << sign_file(bytes, key);
    file.flush();
    if (!file) {
        std::cerr << "toprail: " << beside << " cannot be written\n";
        return false;
    }
    std::cout << "signed " << tell_line(path) << "\n";
    return true;
}

int run(const Options& options) {
    if (!options.new_key.empty()) {
        return make_key(options.new_key);
    }
    if (options.key.empty() || options.files.empty()) {
        std::cerr << "toprail: name --key and the files to sign, or --new-key\n";
        return Exit::unusable;
    }
    const std::string key = read_secret_key(options.key);
    for (const std::string& path : options.files) {
        if (!sign_beside(path, key)) {
            return Exit::unusable;
        }
    }
    return Exit::done;
}

}  // namespace

Run add_sign(CLI::App& app) {
    auto options = std::make_shared<Options>();
    CLI::App* verb = app.add_subcommand("sign", "Make a key, or sign rulepacks that were approved");
    verb->footer(
        "Examples: toprail sign --new-key safety.key\n"
        "          toprail sign --key safety.key rulepacks/demo-rules.yaml\n"
        "The signature is added to NAME.signature beside each file. Receipts are signed when "
        "they are made: toprail decide --sign.");
    verb->add_option("--new-key", options->new_key,
                     "Make a pair of keys: the secret one in this file, the public one beside it");
    verb->add_option("--key", options->key, "File with the secret key to sign with");
    verb->add_option("files", options->files, "Rulepacks and vocabularies to sign");
    return [options] { return run(*options); };
}

}  // namespace toprail::command
