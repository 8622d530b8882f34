// Telling a receipt: what it records, as a decision again, so that it can be told as text, as a
// page or as JSON with no rulepack at hand.
//
//   toprail::ReadReceipt read = toprail::read_receipt(line);
//   toprail::Decision decision = toprail::retell(*read.receipt);
//   std::cout << toprail::tell_text(decision, read.receipt->case_name);
//
// Nothing is decided: every word is the receipt's own. Pure; thread-safe.
#pragma once

#include "toprail/decision.hpp"
#include "toprail/receipt.hpp"

namespace toprail {

/// What the receipt holds. Of facts that were removed nothing is told but their names, in a caution
/// that comes before all others. Receipts of format 1 do not record how a duty reads in a sentence,
/// what a named condition comes down to and the days on which a provision was in force: there the
/// name of the duty stands, and the rest is left out.
Decision retell(const Receipt& receipt);

}  // namespace toprail
