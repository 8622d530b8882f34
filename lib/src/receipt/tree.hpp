// A receipt as a JSON tree, and what its digest is made of.
#pragma once

#include "receipt/digest.hpp"

#include <nlohmann/json.hpp>

#include <optional>
#include <string>
#include <vector>

namespace toprail {

/// Ordered by key, as the canonical form asks.
using Json = nlohmann::json;

/// Empties a tree without taking memory. The JSON library's own way of giving a tree back takes
/// some, and where there is none left the process would end. Recurses as deep as the tree.
void give_back(Json& tree) noexcept;

struct ReceiptTree {
    ReceiptTree() = default;
    ReceiptTree(const ReceiptTree&) = delete;
    ReceiptTree& operator=(const ReceiptTree&) = delete;
    ~ReceiptTree() { give_back(root); }

    Json root;
};

/// The canonical bytes of a tree. Precondition: it holds no floating-point number, and its texts
/// are valid UTF-8.
std::string canonical(const Json& tree);

/// A receipt's canonical bytes, and those that its digest is made of by the construction that
/// receipt.hpp states. Made together, since most of the one is part of the other. Precondition:
/// "told" is a list of maps.
struct ReceiptBytes {
    std::string whole;
    std::string under_digest;
};

ReceiptBytes bytes_of_receipt(const Json& root);

/// Parts of a receipt that may come from anybody whose digest is right, so that nothing about its
/// inner shape is taken for granted: a list or map and a text, both empty where there is none.
const Json& list_in(const Json& map, const char* key);
std::string text_in(const Json& map, const char* key);

/// The seed that is written in a receipt. Empty where there is none, or one of another form.
std::optional<Seed> seed_in(const Json& root);

/// The raw salt of each entry of "told" that still tells something, from "seed" or "salts". Empty
/// where an entry is held back or its salt is missing or malformed.
std::vector<std::string> salts_of(const Json& root);

/// What an entry of "told" is replaced by: the commitment to its content.
Json held_back(const Json& entry, const std::string& salt);

}  // namespace toprail
