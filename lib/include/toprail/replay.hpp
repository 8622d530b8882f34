// Replaying receipts: does the same shelf still give the same decision, and what would another
// give?
//
//   toprail::ReceiptMaker maker(*loaded.shelf);
//   toprail::Replayed seen = toprail::replay(maker, *toprail::read_receipt(line).receipt);
//   if (seen.verdict != toprail::ReplayVerdict::identical) { ... seen.causes, seen.differences ...
//   }
//
// Plain values and pure functions; any number of threads may replay with one maker.
#pragma once

#include "toprail/receipt.hpp"

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace toprail {

/// identical: the same bytes, but for the version of the library that made them. other_grounds
/// (against other packs alone): the same conclusions, but they rest on other provisions than then,
/// or on provisions that say something else, or other cautions are told with them. differs:
/// something came out differently. redacted: facts were removed, so that the case cannot be decided
/// again (what is left was verified when it was read). undecidable: these packs cannot decide that
/// case, or not within ReplayOptions; the findings or the causes say why.
enum class ReplayVerdict : std::uint8_t {
    identical,
    other_grounds,
    differs,
    redacted,
    undecidable,
};

std::string_view word(ReplayVerdict verdict);

/// How a provision came to bear otherwise on a conclusion. stays: it stands or is open as before.
enum class Turn : std::uint8_t { stays, newly_stands, fell_away, displaced, became_open };

std::string_view word(Turn turn);

/// One piece of a provision that says something else now: "the height is more than 6 ft" then, "the
/// height is more than 10 ft" now. Of named conditions their figures are told, as far as the
/// receipt records them (from format 2 on).
struct WordingChange {
    /// "condition", "effect", "gist", "cite", "standing" or "in-force".
    std::string about;
    /// Empty for a condition that is new, or of which the receipt says nothing.
    std::string was;
    /// Empty for a condition that is gone.
    std::string now;
    /// The figures that were given for it, "height: 8 ft"; empty where it looks at none.
    std::string given;
};

/// In a sentence: "the height is more than 6 ft -> is more than 10 ft; given height: 8 ft".
std::string told(const WordingChange& change);

/// One provision behind a conclusion that differs, with what it said then and says now.
struct ProvisionTurn {
    std::string provision;
    std::string cite;
    Turn turn = Turn::stays;
    /// Its own words are others: effect, gist, citation or conditions. Where it stays and was not
    /// changed, something that it rests on was: a condition, a quantity, the vocabulary.
    bool changed = false;
    /// Status, effect, reasons and gist, such as "stands: spotter: required; the height is more
    /// than 30 ft (height: 31 ft) [true]; Somebody watches."; empty when it was not weighed.
    std::string was;
    std::string now;
    /// What it says otherwise than then, piece by piece, what it rests on included.
    std::vector<WordingChange> changes;
    /// Why it was not weighed then or is not weighed now, such as "the rulepack yard.base is not on
    /// the shelf". Empty when it was weighed both times.
    std::string absent;
};

/// One sentence without the texts: "yard/open-rails (Yard 1) was changed and newly stands".
std::string told(const ProvisionTurn& turn);

/// One thing that came out differently.
struct Difference {
    /// "duty", "choice" or "limit" for conclusions; "grounds" for a conclusion that is the same and
    /// rests on something else; "caution" for one that is told on one side alone (against other
    /// packs, those on facts at odds and on quantities without a value); "step" for a provision;
    /// "wording" for how a step was told, "record" for the rest of the receipt.
    std::string about;
    std::string name;
    /// Never empty.
    std::string was;
    std::string now;
    /// The provisions behind a conclusion that differs, by name; of grounds, those that turned or
    /// changed. Empty only where no provision speaks of it, then or now.
    std::vector<ProvisionTurn> by;
};

struct Replayed {
    ReplayVerdict verdict = ReplayVerdict::identical;
    /// Why a difference is to be expected: other bytes of a pack, another edition, another engine;
    /// or that none of these explains it. Told for identical receipts too when the engine is
    /// another.
    std::vector<std::string> causes;
    /// Conclusions first, then steps in their order.
    std::vector<Difference> differences;
    std::vector<Finding> findings;
};

/// What a replay may cost. A receipt names the budget of its search (DecideOptions::budget), and
/// whoever writes one may name any: one that asks for more is not decided again, and a cause says
/// so. Ten times what is usual by default, which is some hundreds of megabytes at worst.
struct ReplayOptions {
    std::size_t most_budget = 2'000'000;
};

/// Decides the case again, with the same options, date and seed, and holds the receipts against
/// each other.
Replayed replay(const ReceiptMaker& maker, const Receipt& receipt,
                const ReplayOptions& options = {});

/// Decides the case with another shelf and compares the conclusions, duties, choices and limits,
/// and the provisions that they rest on. "Identical" then means that these are the same, whatever
/// else stands in the packs.
Replayed replay_against(const ReceiptMaker& other, const Receipt& receipt,
                        const ReplayOptions& options = {});

}  // namespace toprail
