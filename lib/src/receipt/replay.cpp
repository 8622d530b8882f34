// Entry points: replay, replay_against.
#include "receipt/body.hpp"
#include "receipt/compare.hpp"

namespace toprail {
namespace {

// The body as this shelf gives it, under the name of the engine that made the receipt. Empty when
// the case cannot be decided; then `seen` says why.
std::optional<Json> decide_again(const ReceiptMaker& maker, const Receipt& receipt,
                                 Replayed& seen) {
    if (!receipt.redacted.empty()) {
        seen.verdict = ReplayVerdict::redacted;
        for (const std::string& fact : receipt.redacted) {
            seen.causes.push_back("the fact " + fact + " was removed");
        }
        return std::nullopt;
    }
    Answer answer = maker.shelf().decide(receipt.facts, receipt.on, receipt.options);
    seen.findings = std::move(answer.findings);
    if (!answer.decision) {
        seen.verdict = ReplayVerdict::undecidable;
        return std::nullopt;
    }
    return receipt_body(maker.data(), *answer.decision, receipt.options, receipt.case_name,
                        receipt.engine);
}

// The seed was handed through, and signatures are not remade; all else is compared.
bool is_seal(const std::string& key) {
    return key == "seed" || key == "digest" || key == "signatures";
}

// Without a copy: most receipts of a million are the same.
bool same_body(const Json& receipt, const Json& now) {
    std::size_t compared = 0;
    for (const auto& [key, value] : receipt.get_ref<const Json::object_t&>()) {
        if (is_seal(key)) {
            continue;
        }
        const auto found = now.find(key);
        if (found == now.end() || *found != value) {
            return false;
        }
        ++compared;
    }
    return compared == now.size();
}

}  // namespace

std::string_view word(ReplayVerdict verdict) {
    switch (verdict) {
    case ReplayVerdict::identical:
        return "identical";
    case ReplayVerdict::differs:
        return "differs";
    case ReplayVerdict::redacted:
        return "redacted";
    case ReplayVerdict::undecidable:
        break;
    }
    return "cannot be decided";
}

Replayed replay(const ReceiptMaker& maker, const Receipt& receipt) {
    Replayed seen;
    const bool other_engine = receipt.engine != engine_version();
    if (other_engine) {
        seen.causes.push_back("made by version " + receipt.engine + ", replayed by " +
                              std::string(engine_version()));
    }
    const auto now = decide_again(maker, receipt, seen);
    if (!now) {
        return seen;
    }
    const Json& was = receipt.tree->root;
    if (same_body(was, *now)) {
        return seen;
    }
    seen.verdict = ReplayVerdict::differs;
    for (std::string& cause : causes_of_difference(was, *now)) {
        seen.causes.push_back(std::move(cause));
    }
    if (seen.causes.empty()) {
        seen.causes.emplace_back("packs and version are the same: the receipt does not record what "
                                 "they decide");
    }
    seen.differences = conclusions_that_differ(was, *now);
    for (Difference& step : steps_that_differ(was, *now)) {
        seen.differences.push_back(std::move(step));
    }
    // Something is always named, even where only the record of the packs is another.
    for (const auto& [key, value] : now->items()) {
        if (seen.differences.empty() && (!was.contains(key) || was.at(key) != value)) {
            seen.differences.push_back({"record", key, "recorded otherwise", "", {}});
        }
    }
    return seen;
}

Replayed replay_against(const ReceiptMaker& other, const Receipt& receipt) {
    Replayed seen;
    if (const auto now = decide_again(other, receipt, seen)) {
        seen.differences = conclusions_that_differ(receipt.tree->root, *now);
        seen.verdict = seen.differences.empty() ? ReplayVerdict::identical : ReplayVerdict::differs;
    }
    return seen;
}

}  // namespace toprail
