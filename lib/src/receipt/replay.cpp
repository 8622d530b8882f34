// Entry points: replay, replay_against.
#include "deciding/cautions.hpp"
#include "receipt/body.hpp"
#include "receipt/compare.hpp"
#include "shelf/shelf_data.hpp"

namespace toprail {
namespace {

// The body as this shelf gives it, under the name of the engine that made the receipt. Empty when
// the case cannot be decided; then `seen` says why.
std::optional<Json> decide_again(const ReceiptMaker& maker, const Receipt& receipt, int format,
                                 const ReplayOptions& options, Replayed& seen) {
    if (receipt.options.budget > options.most_budget) {
        seen.verdict = ReplayVerdict::undecidable;
        seen.causes.push_back("it asks for a search of " + std::to_string(receipt.options.budget) +
                              " diagram nodes, and this replay allows " +
                              std::to_string(options.most_budget));
        return std::nullopt;
    }
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
    std::optional<Json> body =
        receipt_body(maker.data(), *answer.decision, receipt.options,
                     {receipt.case_name, receipt.site, receipt.says}, receipt.engine, format);
    if (!body) {
        seen.verdict = ReplayVerdict::undecidable;
        seen.causes.emplace_back("these rulepacks would give a receipt that is too large");
    }
    return body;
}

// Why a provision is not weighed now, for whoever looks for it on the shelf.
std::string why_not_weighed(const Model& model, const std::string& name) {
    const std::size_t stroke = name.find('/');
    const std::string pack = name.substr(0, stroke);
    if (!model.authority_names.contains(pack)) {
        return "the rulepack " + pack + " is not on the shelf";
    }
    for (std::size_t i = 0; i < model.provisions.size(); ++i) {
        if (model.key(ProvisionId(i)) == name) {
            return pack + " does not govern the case now";
        }
    }
    return "the rulepack " + pack + " holds no provision of that name now";
}

// Why it was not weighed then, from what the receipt records.
std::string why_it_was_not_weighed(const Json& was, const std::string& name) {
    const std::string pack = name.substr(0, name.find('/'));
    for (const Json& each : list_in(was, "packs")) {
        if (text_in(each, "authority") == pack &&
            text_in(each, "role") == word(PackRole::weighed)) {
            return "the rulepack " + pack + " held no provision of that name then";
        }
    }
    return "the rulepack " + pack + " was not weighed then";
}

void explain_absence(const Model& model, const Json& was, std::vector<Difference>& differences) {
    for (Difference& difference : differences) {
        for (ProvisionTurn& turn : difference.by) {
            if (turn.now.empty()) {
                turn.absent = why_not_weighed(model, turn.provision);
            } else if (turn.was.empty()) {
                turn.absent = why_it_was_not_weighed(was, turn.provision);
            }
        }
        if (difference.about == "step" && difference.now == not_weighed) {
            difference.now += ": " + why_not_weighed(model, difference.name);
        } else if (difference.about == "step" && difference.was == not_weighed) {
            difference.was += ": " + why_it_was_not_weighed(was, difference.name);
        }
    }
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
    case ReplayVerdict::other_grounds:
        return "same conclusions on other grounds";
    case ReplayVerdict::differs:
        return "differs";
    case ReplayVerdict::redacted:
        return "redacted";
    case ReplayVerdict::undecidable:
        break;
    }
    return "cannot be decided";
}

Replayed replay(const ReceiptMaker& maker, const Receipt& receipt, const ReplayOptions& options) {
    Replayed seen;
    const bool other_engine = receipt.engine != engine_version();
    if (other_engine) {
        seen.causes.push_back("made by version " + receipt.engine + ", replayed by " +
                              std::string(engine_version()));
    }
    const auto now = decide_again(maker, receipt, receipt.format, options, seen);
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
    for (auto* differ : {cautions_that_differ, steps_that_differ}) {
        for (Difference& each : differ(was, *now)) {
            seen.differences.push_back(std::move(each));
        }
    }
    // Something is always named, even where only the record of the packs is another.
    for (const auto& [key, value] : now->items()) {
        if (seen.differences.empty() && (!was.contains(key) || was.at(key) != value)) {
            seen.differences.push_back({"record",
                                        key,
                                        "as the receipt holds it",
                                        "other bytes, though every step is the same",
                                        {}});
        }
    }
    explain_absence(maker.shelf().data().model, was, seen.differences);
    return seen;
}

Replayed replay_against(const ReceiptMaker& other, const Receipt& receipt,
                        const ReplayOptions& options) {
    Replayed seen;
    // The conclusions stand in every format in the same way; the newest tells most about now.
    if (const auto now = decide_again(other, receipt, receipt_format, options, seen)) {
        const Json& was = receipt.tree->root;
        seen.differences = conclusions_that_differ(was, *now);
        std::vector<Difference> grounds = grounds_that_differ(was, *now);
        // Of cautions, those that rest on the facts alone: others follow from what is told already,
        // or from how far a pack was compared with its source.
        for (Difference& each : cautions_that_differ(was, *now)) {
            const std::string& says = each.was == not_told ? each.now : each.was;
            if (says.starts_with(at_odds) || says.starts_with(no_value)) {
                grounds.push_back(std::move(each));
            }
        }
        seen.verdict = !seen.differences.empty() ? ReplayVerdict::differs
                       : !grounds.empty()        ? ReplayVerdict::other_grounds
                                                 : ReplayVerdict::identical;
        std::move(grounds.begin(), grounds.end(), std::back_inserter(seen.differences));
        explain_absence(other.shelf().data().model, was, seen.differences);
    }
    return seen;
}

}  // namespace toprail
