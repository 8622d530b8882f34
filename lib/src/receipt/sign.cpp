// Entry points: new_key_pair, sign_file, signers, signed_by, sign_receipt.
#include "receipt/signing.hpp"
#include "receipt/tree.hpp"
#include "toprail/signature.hpp"

#include <sodium.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <sstream>
#include <system_error>

namespace toprail {
namespace {

constexpr std::string_view line_start = "toprail-signature 1 ";
/// A signature file past this is not read: it would hold thousands of signers.
constexpr std::size_t signature_file_limit = 1U << 20U;

const unsigned char* bytes_of(std::string_view text) {
    return reinterpret_cast<const unsigned char*>(text.data());
}

ReceiptSignature sign(const std::string& message, const std::string& secret_key) {
    need_sodium();
    const auto secret = from_hex(secret_key, crypto_sign_SECRETKEYBYTES);
    std::array<std::uint8_t, crypto_sign_BYTES> signature{};
    crypto_sign_detached(signature.data(), nullptr, bytes_of(message), message.size(),
                         bytes_of(secret.value()));
    return {public_half(secret_key), to_hex(signature)};
}

// At most the limit; a longer file gives an empty text, hence no signer.
std::string read_signature_file(const std::string& path) {
    // Whoever may put a file beside a rulepack may put a pipe there, which would never end.
    std::error_code unknown;
    if (!std::filesystem::is_regular_file(path, unknown)) {
        return {};
    }
    std::ifstream stream(path, std::ios::binary);
    std::string text(signature_file_limit + 1, '\0');
    stream.read(text.data(), static_cast<std::streamsize>(text.size()));
    const auto size = static_cast<std::size_t>(stream.gcount());
    text.resize(size > signature_file_limit ? 0 : size);
    return text;
}

}  // namespace

std::string receipt_message(const std::string& digest) {
    return "toprail receipt 1\n" + digest;
}
std::string file_message(const std::string& digest) {
    return "toprail file 1\n" + digest;
}

bool signature_holds(const std::string& message, const ReceiptSignature& signature) {
    need_sodium();
    const auto key = from_hex(signature.key, crypto_sign_PUBLICKEYBYTES);
    const auto bytes = from_hex(signature.signature, crypto_sign_BYTES);
    return key && bytes &&
           crypto_sign_verify_detached(bytes_of(*bytes), bytes_of(message), message.size(),
                                       bytes_of(*key)) == 0;
}

KeyPair new_key_pair() {
    need_sodium();
    std::array<std::uint8_t, crypto_sign_PUBLICKEYBYTES> open{};
    std::array<std::uint8_t, crypto_sign_SECRETKEYBYTES> secret{};
    crypto_sign_keypair(open.data(), secret.data());
    KeyPair pair{to_hex(open), to_hex(secret)};
    sodium_memzero(secret.data(), secret.size());
    return pair;
}

bool is_public_key(std::string_view text) {
    return from_hex(text, crypto_sign_PUBLICKEYBYTES).has_value();
}

bool is_secret_key(std::string_view text) {
    const auto secret = from_hex(text, crypto_sign_SECRETKEYBYTES);
    if (!secret) {
        return false;
    }
    // A secret key is a seed followed by the public key that belongs to it.
    need_sodium();
    std::array<std::uint8_t, crypto_sign_PUBLICKEYBYTES> open{};
    std::array<std::uint8_t, crypto_sign_SECRETKEYBYTES> again{};
    crypto_sign_seed_keypair(open.data(), again.data(), bytes_of(*secret));
    return std::equal(again.begin(), again.end(), bytes_of(*secret));
}

std::string public_half(const std::string& secret_key) {
    return secret_key.substr(std::size_t{2} *
                             (crypto_sign_SECRETKEYBYTES - crypto_sign_PUBLICKEYBYTES));
}

std::string sign_file(std::string_view file_bytes, const std::string& secret_key) {
    const ReceiptSignature signature = sign(file_message(digest_of(file_bytes)), secret_key);
    return std::string(line_start) + signature.key + " " + signature.signature + "\n";
}

std::vector<std::string> signers(std::string_view file_bytes, std::string_view signature_file) {
    const std::string message = file_message(digest_of(file_bytes));
    std::vector<std::string> keys;
    std::istringstream lines{std::string(signature_file)};
    for (std::string line; std::getline(lines, line);) {
        if (!line.starts_with(line_start)) {
            continue;
        }
        line.erase(0, line_start.size());
        const std::size_t gap = line.find(' ');
        if (gap == std::string::npos) {
            continue;
        }
        const ReceiptSignature signature{line.substr(0, gap), line.substr(gap + 1)};
        if (signature_holds(message, signature)) {
            keys.push_back(signature.key);
        }
    }
    return keys;
}

std::function<std::string(const SourceText&)> signed_by(std::vector<std::string> public_keys) {
    return [keys = std::move(public_keys)](const SourceText& file) -> std::string {
        const std::string beside = read_signature_file(file.name + ".signature");
        for (const std::string& signer : signers(file.text, beside)) {
            if (std::find(keys.begin(), keys.end(), signer) != keys.end()) {
                return {};
            }
        }
        return beside.empty()
                   ? "it has no signature beside it"
                   : "none of its signatures holds for these bytes under a key that counts";
    };
}

std::optional<std::string> sign_receipt(std::string_view receipt, const std::string& secret_key) {
    const ReadReceipt read = read_receipt(receipt);
    if (!read.receipt) {
        return std::nullopt;
    }
    Json root = read.receipt->tree->root;
    const ReceiptSignature added = sign(receipt_message(read.receipt->digest), secret_key);
    root["signatures"].push_back({{"key", added.key}, {"signature", added.signature}});
    return canonical(root);
}

}  // namespace toprail
