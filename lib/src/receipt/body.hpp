// What a receipt says of a decision, as a tree without seed, digest and signatures. Internal.
#pragma once

#include "graph/behind.hpp"
#include "receipt/tree.hpp"
#include "rulepack/ids.hpp"
#include "toprail/receipt.hpp"

#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

namespace toprail {

/// What is worked out once per shelf.
struct ReceiptMakerData {
    Shelf shelf;
    std::vector<std::string> pack_digests;  // per PackId
    std::map<std::string, std::string> vocabulary_digests;
    std::set<PackId> naming;  // packs that say who governs
    /// Per name of a fact or quantity, the facts that its value is worked out from.
    std::map<std::string, SharedFacts> behind;
    std::map<std::string, std::string> reads;  // per fact
    std::map<std::string, std::string> asks;
    std::set<std::string> measured;  // facts
};

ReceiptMakerData receipt_maker_data(const Shelf& shelf);

/// What people call a case. Site and description are left out of the receipt where they are empty.
struct CaseNames {
    const std::string& name;
    const std::string& site;
    const std::string& says;
};

/// How often a receipt may name facts that its entries rest on. With the shipped rulepacks it is
/// some thousands; a pack of quantities made of each other could bring billions.
inline constexpr std::size_t most_names_in_receipt = 2'000'000;

/// The body in one of the formats up to `receipt_format`: what each writes is promised to stay.
/// Empty when it would name facts more often than `most_names_in_receipt`.
std::optional<Json> receipt_body(const ReceiptMakerData& data, const Decision& decision,
                                 const DecideOptions& options, const CaseNames& names,
                                 std::string_view engine, int format = receipt_format);

/// The cautions as format 1 holds them.
std::vector<std::string> cautions_in_format_1(const Decision& decision);

/// Adds seed and digest to a body and gives the receipt's text.
std::string seal(Json body, const std::optional<Seed>& seed);

}  // namespace toprail
