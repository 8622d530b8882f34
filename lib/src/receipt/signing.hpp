// Ed25519 over short messages that say what is signed, so that no signature serves two ends.
// Internal.
#pragma once

#include "toprail/receipt.hpp"

#include <string>

namespace toprail {

/// What is signed for a receipt and for a file, from its digest.
std::string receipt_message(const std::string& digest);
std::string file_message(const std::string& digest);

/// Key and signature are hexadecimal digits; malformed ones do not hold.
bool signature_holds(const std::string& message, const ReceiptSignature& signature);

}  // namespace toprail
