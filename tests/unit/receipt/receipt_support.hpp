// A small yard of two invented packs, one of which adopts the other, and receipts of one case
// there.
#pragma once

#include "receipt/body.hpp"
#include "support/shelves.hpp"
#include "toprail/receipt.hpp"
#include "toprail/signature.hpp"

#include <doctest/doctest.h>

#include <string>
#include <vector>

namespace toprail::test {

inline const char* const yard_vocabulary = R"(vocabulary: yard
title: Words of an invented yard
standings:
  regulation: {rank: 2, may: [require, relax, limit, explain]}
facts:
  machine: {type: choice, values: [boom, scissor], reads: the machine, ask: "Which machine?", why: w}
  height: {type: length, unit: ft, from: 0 ft, to: 500 ft, reads: the height, ask: "How high?", why: w}
  rails: {type: yes-no, reads: the rails are complete, ask: "Are the rails complete?", why: w}
  line: {type: length, unit: ft, plan: yes, reads: the line, ask: "How long is the line?", why: w}
  served: {type: date, may-not-apply: yes, reads: the first day of service, ask: "Since when?", why: w}
duties:
  tie-off: {asks: "Must the person be tied off?", reads: tie-off}
  spotter: {asks: "Must somebody watch?", reads: a spotter}
)";

inline const char* const base_pack = R"(rulepack: yard.base
title: Rules that others take over
format: 1
standing: regulation
vocabulary: [yard]
edition: {from: 2010-01-01, verified-through: 2025-01-01, picked-by: work-date}
provisions:
  - id: boom
    cite: Base 1
    source: read
    where: {all-of: [machine is boom]}
    gist: Whoever works from a boom is tied off.
    duty: tie-off
    calls-for: required
  - id: watch
    cite: Base 2
    source: memory
    where: {all-of: [height is more than 30 ft]}
    gist: Somebody watches.
    duty: spotter
    calls-for: required
  - id: line
    cite: Base 3
    source: read
    where: {all-of: [machine is scissor]}
    gist: The line is no longer than the platform is high.
    limit: line
    at-most: height
)";

inline const char* const yard_pack = R"(rulepack: yard.rules
title: Rules of the yard
format: 1
standing: regulation
vocabulary: [yard]
edition: {from: 2020-01-01, verified-through: 2025-01-01, picked-by: work-date}
adopts: {rulepack: yard.base, cite: Yard 0, source: read}
provisions:
  - id: open-rails
    cite: Yard 1
    source: read
    where:
      all-of:
        - not rails
        - height is at least 4 ft
    gist: Where the rails are open, whoever works there is tied off.
    duty: tie-off
    calls-for: required
  - id: low
    cite: Yard 2
    source: read
    where: {all-of: [rails]}
    gist: Behind complete rails nobody needs to be tied off.
    duty: tie-off
    calls-for: not required
)";

inline std::vector<SourceText> yard_texts() {
    return {{"yard.yaml", yard_vocabulary}, {"base.yaml", base_pack}, {"rules.yaml", yard_pack}};
}

inline const Shelf& yard() {
    static const Shelf shelf = shelf_of(yard_texts());
    return shelf;
}

/// The yard with a piece of one of its files replaced; the test fails when the piece is not there.
inline Shelf yard_with(std::size_t file, const std::string& piece, const std::string& by) {
    std::vector<SourceText> texts = yard_texts();
    const std::size_t at = texts[file].text.find(piece);
    REQUIRE(at != std::string::npos);
    texts[file].text.replace(at, piece.size(), by);
    return shelf_of(std::move(texts));
}

inline DecideOptions under_yard() {
    DecideOptions options;
    options.authorities = {"yard.rules"};
    return options;
}

/// The rails are not told, so tie-off is undetermined.
inline Facts lift_facts() {
    Facts facts;
    facts.set("machine", "scissor", "plate");
    facts.set("height", "14.50 ft", "tape measure");
    facts.set("served", "does not apply");
    return facts;
}

inline MadeReceipt receipt_with(const Shelf& shelf, const Facts& facts,
                                const ReceiptOptions& options = {}) {
    return ReceiptMaker(shelf).make(facts, day("2024-06-01"), under_yard(), "lift", options);
}

inline MadeReceipt lift_receipt() {
    return receipt_with(yard(), lift_facts());
}

/// Not secret, and therefore for tests alone.
inline Seed fixed_seed() {
    Seed seed{};
    for (std::size_t i = 0; i < seed.size(); ++i) {
        seed[i] = static_cast<std::uint8_t>(i * 7 + 1);
    }
    return seed;
}

/// A receipt whose digest is made to fit what it says now: what somebody with this library could
/// do.
inline std::string reseal(const std::string& text) {
    Json root = Json::parse(text);
    root.erase("digest");
    return seal(std::move(root), std::nullopt);
}

}  // namespace toprail::test
