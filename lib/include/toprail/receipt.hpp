// Receipts: the self-contained record of one decision, made to be defended years later.
//
//   toprail::ReceiptMaker maker(*loaded.shelf);
//   toprail::MadeReceipt made = maker.make(facts, *toprail::Date::parse("2024-06-01"), {},
//   "lift-3"); file << made.text << '\n'; toprail::ReadReceipt read =
//   toprail::read_receipt(made.text);  // checks digest and signatures
//
// A receipt is one line of JSON in canonical form (RFC 8785, here with strings, whole numbers,
// true, false, lists and maps alone: never a floating-point number). Equal packs, facts, date,
// options and seed give equal bytes.
//
// Compatibility promise, for receipts of every format from 1 on:
//  - every later version of this library reads them, checks their digest and signatures, and can
//    replay them; it never rewrites them;
//  - a version that would write other bytes for the same decision raises `receipt_format`, and
//    keeps the writer of every earlier format for replaying;
//  - a format is never given a second meaning: a library that meets a newer one says so.
//
// Format 2 has room for the site and a description of the case. It adds to each step the rulepack
// in which an adopted provision was written and the days on which it was in force, to each reason
// what a named condition comes down to, to each outcome its rank and how it reads, and the standing
// of each authority. Its cautions name the paragraphs behind the first duty apart, those that were
// read in part among them.
//
// How the digest is built. What rests on the facts of the case stands in the list "told". Each of
// its entries names the facts that it rests on ("on") and holds what is told ("tells"). The digest
// is the SHA-256 of the canonical receipt without "digest", "seed", "salts" and "signatures", in
// which "tells" of entry number N is replaced by its commitment
//    "held": SHA-256(salt(N) followed by the canonical bytes of "tells").
// salt(N) is HMAC-SHA-256 of the text "told/N" under the receipt's seed (32 bytes, all zero when
// the receipt has no seed). An entry can therefore give way to its commitment later without
// changing the digest: see redaction.hpp. Reading holds it to what redaction does: an entry that
// gave way rests on a fact whose own entry gave way, and in a receipt without a seed none does.
#pragma once

#include "toprail/date.hpp"
#include "toprail/decision.hpp"
#include "toprail/facts.hpp"
#include "toprail/limits.hpp"
#include "toprail/shelf.hpp"

#include <array>
#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace toprail {

/// The format that this library writes; it reads and replays every earlier one.
inline constexpr int receipt_format = 2;

/// The version of this library, as receipts name it.
std::string_view engine_version();

/// 32 secret bytes from which the salts of one receipt are made. Each receipt needs its own, from a
/// source of good randomness such as random_seed().
using Seed = std::array<std::uint8_t, 32>;

/// 32 bytes from the operating system. The one function of this header that is not pure.
Seed random_seed();

struct ReceiptOptions {
    /// Without a seed the receipt can never be redacted, since whoever has the digest could find
    /// the removed value by trying. All zeros is no seed.
    std::optional<Seed> seed;
    /// The name of the site and a description of the case, recorded as they stand and not weighed;
    /// left out where empty. The description goes with the first fact that is redacted, since it
    /// may tell the same; the name of the site stays.
    std::string site;
    std::string says;
};

struct MadeReceipt {
    /// One line without its end; empty when the facts could not be used.
    std::string text;
    /// What the receipt records.
    std::optional<Decision> decision;
    std::vector<Finding> findings;
};

struct ReceiptMakerData;

/// Makes receipts for decisions with one shelf. Immutable and cheap to copy; any number of threads
/// may use it at once.
class ReceiptMaker {
  public:
    explicit ReceiptMaker(const Shelf& shelf);

    /// Decides the case and records the decision. A name, description or fact that is not valid
    /// UTF-8 is a finding, and there is no receipt then.
    [[nodiscard]] MadeReceipt make(const Facts& facts, Date on, const DecideOptions& options = {},
                                   const std::string& case_name = {},
                                   const ReceiptOptions& receipt = {}) const;

    [[nodiscard]] const Shelf& shelf() const;
    [[nodiscard]] const ReceiptMakerData& data() const { return *data_; }

  private:
    std::shared_ptr<const ReceiptMakerData> data_;
};

struct ReceiptTree;

/// A signature over the digest of a receipt: see signature.hpp.
struct ReceiptSignature {
    /// Public key and signature, in lower-case hexadecimal digits.
    std::string key;
    std::string signature;
};

/// A receipt that was read and whose digest is right. A plain value; the tree is shared, immutable.
struct Receipt {
    int format = receipt_format;
    std::string engine;
    std::string case_name;
    /// As ReceiptOptions has them; empty where the receipt does not record them.
    std::string site;
    std::string says;
    Date on = Date::from_days(0);
    DecideOptions options;
    /// The facts as they were given; those that were redacted are missing.
    Facts facts;
    /// Outcome of each duty that was spoken of, in words.
    std::map<std::string, std::string> outcomes;
    std::vector<std::string> redacted;
    std::optional<Seed> seed;
    /// 64 lower-case hexadecimal digits.
    std::string digest;
    /// All of them verify; whether their keys are to be trusted is the caller's to say.
    std::vector<ReceiptSignature> signatures;
    std::shared_ptr<const ReceiptTree> tree;
};

/// unreadable: not JSON within the limits, or not a receipt. newer: of a format that this library
/// does not know. altered: a receipt whose bytes are not those that were recorded.
enum class ReceiptTrouble : std::uint8_t { none, unreadable, newer, altered };

struct ReadReceipt {
    /// Empty unless `trouble` is none.
    std::optional<Receipt> receipt;
    ReceiptTrouble trouble = ReceiptTrouble::none;
    std::string message;
};

/// Reads one receipt (a single line end may follow) and checks form, digest and signatures.
/// `limits.bytes`, `limits.depth` and `limits.nodes` bound the work. Thread-safe.
ReadReceipt read_receipt(std::string_view text, const Limits& limits = {});

}  // namespace toprail
