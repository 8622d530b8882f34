// Receipts: as they come, and with a digest that fits what they say now, as whoever has this
// library could make them. What reads is replayed, redacted and signed.
#include "fuzz/holding.hpp"
#include "receipt/read_json.hpp"
#include "toprail/redaction.hpp"
#include "toprail/replay.hpp"
#include "unit/receipt/receipt_support.hpp"

using namespace toprail;

namespace {

const ReceiptMaker& maker() {
    static const ReceiptMaker made(test::yard());
    return made;
}

void hold_receipt(std::string_view text) {
    const ReadReceipt read = read_receipt(text, fuzz::small_limits());
    fuzz::hold(read.receipt.has_value() == (read.trouble == ReceiptTrouble::none),
               "a receipt, or a trouble");
    fuzz::hold(read.receipt || !read.message.empty(), "a trouble is told");
    if (!read.receipt) {
        return;
    }
    const Receipt& receipt = *read.receipt;
    const ReplayOptions replaying{fuzz::small_budget};
    const bool within = receipt.options.budget <= replaying.most_budget;
    const Replayed seen = replay(maker(), receipt, replaying);
    fuzz::hold(within || seen.verdict == ReplayVerdict::undecidable,
               "what costs too much is not decided again");
    (void)replay_against(maker(), receipt, replaying);
    if (!receipt.facts.entries().empty()) {
        const Redaction redacted = redact(text, {receipt.facts.entries().front().name});
        if (redacted.text) {
            fuzz::hold(read_receipt(*redacted.text).receipt.has_value(),
                       "what was redacted still verifies");
        }
    }
}

// A tree whose "told" is a list of maps can be sealed.
bool can_be_sealed(const Json& root) {
    const auto told = root.is_object() ? root.find("told") : root.end();
    if (!root.is_object() || told == root.end() || !told->is_array()) {
        return false;
    }
    return std::all_of(told->begin(), told->end(),
                       [](const Json& entry) { return entry.is_object(); });
}

}  // namespace

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view text = fuzz::text_of(data, size);
    hold_receipt(text);
    if (first_invalid_utf8(text)) {
        return 0;
    }
    const JsonReading reading = read_json(text, fuzz::small_limits());
    if (reading.trouble.empty() && can_be_sealed(reading.tree)) {
        Json root = reading.tree;
        root.erase("digest");
        root.erase("signatures");
        hold_receipt(seal(std::move(root), std::nullopt));
    }
    return 0;
}
