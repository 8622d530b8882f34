// Redaction: a named fact is taken out of a receipt, and what is left still verifies.
//
// Every entry of "told" that names the fact among those it rests on gives way to its commitment,
// which is what the digest was made of (receipt.hpp). The seed, from which the salts of the removed
// entries could be made again, gives way to the salts of the entries that stay ("salts", by entry
// number). Digest and signatures stay as they were.
//
// What it hides: the value, state and source of the fact, and every sentence, figure and formula
// that was told with it. What it cannot hide: that there was such a fact, which provisions stood or
// fell, and the outcomes; who knows the packs may infer something from them. A redacted receipt is
// not replayed.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace toprail {

struct Redaction {
    /// Empty when nothing could be done; then `message` says why.
    std::optional<std::string> text;
    std::string message;
};

/// Refuses a text that does not read as a receipt, a receipt without seed, and a fact that is not
/// in it. A redacted receipt can be redacted further. Thread-safe.
Redaction redact(std::string_view receipt, const std::vector<std::string>& facts);

}  // namespace toprail
