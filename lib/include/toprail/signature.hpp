// Signatures: packs that somebody approved, and receipts that a known key vouches for (Ed25519).
//
// The signature of a file stands beside it, in "NAME.signature": one line for each signer,
//    toprail-signature 1 PUBLIC-KEY SIGNATURE
// with both in lower-case hexadecimal digits. Signed is the SHA-256 digest of the file's bytes.
//
//   toprail::LoadOptions options;
//   options.approve = toprail::signed_by({key});
//   toprail::LoadedShelf loaded = toprail::load_shelf("rulepacks", options);
//
// Functions are thread-safe; keys and signatures are plain values.
#pragma once

#include "toprail/receipt.hpp"
#include "toprail/shelf.hpp"

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace toprail {

/// A pair of keys in hexadecimal digits. Whoever has the secret one can sign: it belongs in a file
/// that only its owner reads.
struct KeyPair {
    std::string public_key;
    std::string secret_key;
};

/// A new pair, from the randomness of the operating system.
KeyPair new_key_pair();

/// Whether the text is 64 (public) or 128 (secret) lower-case hexadecimal digits; a secret key must
/// also hold its own public key.
bool is_public_key(std::string_view text);
bool is_secret_key(std::string_view text);

/// The public half of a secret key. Precondition: is_secret_key.
std::string public_half(const std::string& secret_key);

/// The line that stands in a signature file, with its line end. Precondition: is_secret_key.
std::string sign_file(std::string_view file_bytes, const std::string& secret_key);

/// The public keys whose signatures in that signature file hold for those bytes. Lines that cannot
/// be read or do not hold are passed over.
std::vector<std::string> signers(std::string_view file_bytes, std::string_view signature_file);

/// For LoadOptions::approve: refuses every pack and vocabulary that none of the keys signed. Reads
/// the signature file beside each.
std::function<std::string(const SourceText&)> signed_by(std::vector<std::string> public_keys);

/// The receipt with a signature added; other signatures and the digest stay. Preconditions: the
/// text reads as a receipt, is_secret_key. Empty when the text does not read as a receipt.
std::optional<std::string> sign_receipt(std::string_view receipt, const std::string& secret_key);

}  // namespace toprail
