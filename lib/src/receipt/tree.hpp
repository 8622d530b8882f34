// A receipt as a JSON tree, and what its digest is made of.
#pragma once

#include "receipt/digest.hpp"

#include <nlohmann/json.hpp>

#include <string>

namespace toprail {

/// Ordered by key, as the canonical form asks.
using Json = nlohmann::json;

struct ReceiptTree {
    Json root;
};

/// The canonical bytes of a tree. Precondition: it holds no floating-point number, and its texts
/// are valid UTF-8.
std::string canonical(const Json& tree);

/// The raw salt of each entry of "told" that still tells something, from "seed" or "salts". Empty
/// where an entry is held back or its salt is missing or malformed.
std::vector<std::string> salts_of(const Json& root);

/// The digest by the construction that receipt.hpp states. Precondition: "told" is a list of maps.
std::string digest_of_receipt(const Json& root);

/// What an entry of "told" is replaced by: the commitment to its content.
Json held_back(const Json& entry, const std::string& salt);

}  // namespace toprail
