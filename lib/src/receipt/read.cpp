// Entry point: read_receipt. Nothing in a receipt is believed before its digest is right.
#include "findings/text.hpp"
#include "receipt/read_json.hpp"
#include "receipt/signing.hpp"
#include "receipt/tree.hpp"

#include <algorithm>
#include <unordered_set>

namespace toprail {
namespace {

constexpr std::size_t most_of_a_version = 40;

/// Thrown with what is wrong while the form is checked; never leaves this file.
struct BadForm {
    std::string message;
};

// The tree within the limits, or what is wrong with the text.
Json parse(std::string_view text, const Limits& limits) {
    if (text.size() > limits.bytes) {
        throw BadForm{"it has more bytes than the limit"};
    }
    if (first_invalid_utf8(text)) {
        throw BadForm{"it is not valid UTF-8"};
    }
    JsonReading reading = read_json(text, limits);
    if (!reading.trouble.empty()) {
        throw BadForm{std::move(reading.trouble)};
    }
    return std::move(reading.tree);
}

const Json& need(const Json& map, const char* key, Json::value_t type) {
    const auto found = map.find(key);
    if (found == map.end() || found->type() != type) {
        throw BadForm{"\"" + std::string(key) + "\" is missing or has another shape"};
    }
    return *found;
}

std::string need_text(const Json& map, const char* key) {
    return need(map, key, Json::value_t::string).get<std::string>();
}

std::vector<std::string> texts(const Json& list) {
    std::vector<std::string> all;
    for (const Json& each : list) {
        if (!each.is_string()) {
            throw BadForm{"a list that holds texts holds something else"};
        }
        all.push_back(each.get<std::string>());
    }
    return all;
}

void hold_told(const Json& told) {
    for (const Json& entry : told) {
        if (!entry.is_object() || entry.contains("tells") == entry.contains("held")) {
            throw BadForm{"an entry of \"told\" neither tells something nor is held back"};
        }
        need_text(entry, "about");
        need_text(entry, "name");
        texts(need(entry, "on", Json::value_t::array));
        if (entry.contains("held") ? !entry["held"].is_string() : !entry["tells"].is_object()) {
            throw BadForm{"an entry of \"told\" has another shape"};
        }
    }
}

bool holds_back(const Json& entry) {
    return entry.contains("held");
}

// Salts and seed stand outside the digest, so their own form is checked: nothing may be added
// there.
bool salts_in_order(const Json& root) {
    if (root.contains("seed") && root.contains("salts")) {
        return false;
    }
    const Json& told = root["told"];
    if (!root.contains("salts")) {
        // Where something was held back, its salt must not be made again from a seed.
        return std::none_of(told.begin(), told.end(), holds_back) &&
               (!root.contains("seed") ||
                (root["seed"].is_string() && is_secret(seed_in(root).value_or(Seed{}))));
    }
    if (!root["salts"].is_object()) {
        return false;
    }
    std::size_t telling = 0;
    const std::vector<std::string> salts = salts_of(root);
    for (std::size_t i = 0; i < salts.size(); ++i) {
        const bool tells = !holds_back(told[i]);
        // Nor is anything taken out of a receipt whose salts everybody knows.
        if (tells && (salts[i].empty() || salts[i] == salt_of(Seed{}, i))) {
            return false;
        }
        telling += tells ? 1U : 0U;
    }
    return root["salts"].size() == telling;
}

// Nothing goes but what rests on a fact that went: else whoever has a receipt could take single
// cautions out of it, under its digest and signature, and nothing would tell of that.
bool held_for_a_fact(const Json& told) {
    std::unordered_set<std::string> removed;
    for (const Json& entry : told) {
        if (holds_back(entry) && text_in(entry, "about") == "fact") {
            removed.insert(text_in(entry, "name"));
        }
    }
    return std::all_of(told.begin(), told.end(), [&removed](const Json& entry) {
        const Json& on = entry["on"];
        return !holds_back(entry) ||
               std::any_of(on.begin(), on.end(), [&removed](const Json& name) {
                   return removed.contains(name.get<std::string>());
               });
    });
}

FactEntry fact_of(const Json& entry) {
    const Json& tells = entry["tells"];
    FactEntry fact;
    fact.name = need_text(entry, "name");
    const std::string state = need_text(tells, "state");
    fact.state = state == "given"            ? FactState::given
                 : state == "does not apply" ? FactState::does_not_apply
                                             : FactState::not_known;
    fact.text = need_text(tells, "value");
    fact.from = need_text(tells, "from");
    return fact;
}

void take_case(const Json& told, Receipt& receipt) {
    std::vector<FactEntry> facts;
    std::unordered_set<std::string> names;
    for (const Json& entry : told) {
        if (text_in(entry, "about") == "description" && !entry.contains("held")) {
            receipt.says = need_text(entry.at("tells"), "says");
        }
        if (text_in(entry, "about") != "fact") {
            continue;
        }
        if (!names.insert(need_text(entry, "name")).second) {
            throw BadForm{"a fact stands twice"};
        }
        if (entry.contains("held")) {
            receipt.redacted.push_back(need_text(entry, "name"));
        } else {
            facts.push_back(fact_of(entry));
        }
    }
    receipt.facts = Facts(std::move(facts));
}

void take_head(const Json& root, Receipt& receipt) {
    receipt.engine = need_text(root, "engine");
    // It is told beside what was verified, so it is no place for sentences.
    if (receipt.engine.empty() || receipt.engine.size() > most_of_a_version ||
        receipt.engine.find_first_not_of("0123456789abcdefghijklmnopqrstuvwxyz.+-") !=
            std::string::npos) {
        throw BadForm{"\"engine\" is not the number of a version"};
    }
    receipt.case_name = need_text(root, "case");
    if (root.contains("site")) {
        receipt.site = need_text(root, "site");
    }
    receipt.digest = need_text(root, "digest");
    const auto on = Date::parse(need_text(root, "on"));
    if (!on) {
        throw BadForm{"\"on\" is not a day"};
    }
    receipt.on = *on;
    const Json& asked = need(root, "asked", Json::value_t::object);
    receipt.options.authorities = texts(need(asked, "authorities", Json::value_t::array));
    receipt.options.budget =
        need(asked, "budget", Json::value_t::number_unsigned).get<std::size_t>();
    for (const Json& each : need(root, "outcomes", Json::value_t::array)) {
        if (!each.is_object()) {
            throw BadForm{"an outcome has another shape"};
        }
        receipt.outcomes[need_text(each, "duty")] = need_text(each, "outcome");
    }
    receipt.seed = seed_in(root);
}

ReadReceipt refused(ReceiptTrouble trouble, std::string message) {
    return {std::nullopt, trouble, std::move(message)};
}

}  // namespace

ReadReceipt read_receipt(std::string_view text, const Limits& limits) {
    try {
        auto tree = std::make_shared<ReceiptTree>();
        tree->root = parse(text, limits);
        const Json& root = tree->root;
        if (!root.is_object() || !root.contains("receipt")) {
            return refused(ReceiptTrouble::unreadable, "it is JSON, but not a receipt");
        }
        const Json& format = need(root, "receipt", Json::value_t::number_unsigned);
        if (format > receipt_format || format < 1) {
            return refused(format < 1 ? ReceiptTrouble::unreadable : ReceiptTrouble::newer,
                           "it has the format " + canonical(format) +
                               "; this version reads formats 1 to " +
                               std::to_string(receipt_format));
        }
        hold_told(need(root, "told", Json::value_t::array));
        Receipt receipt;
        receipt.format = format.get<int>();
        const ReceiptBytes bytes = bytes_of_receipt(root);
        // At most one line end may follow.
        if (!text.empty() && text.back() == '\n') {
            text.remove_suffix(1);
        }
        if (bytes.whole != text || !salts_in_order(root)) {
            return refused(ReceiptTrouble::altered, "its bytes are not in canonical form");
        }
        if (digest_of(bytes.under_digest) != need_text(root, "digest")) {
            return refused(
                ReceiptTrouble::altered,
                "its digest does not fit what it says: it was altered after it was made");
        }
        if (!held_for_a_fact(root["told"])) {
            return refused(ReceiptTrouble::altered,
                           "something was taken out of it that rests on no fact that was removed");
        }
        take_head(root, receipt);
        take_case(root["told"], receipt);
        if (const auto signatures = root.find("signatures"); signatures != root.end()) {
            for (const Json& each : need(root, "signatures", Json::value_t::array)) {
                if (!each.is_object() || each.size() != 2) {
                    throw BadForm{"a signature has another shape"};
                }
                receipt.signatures.push_back(
                    {need_text(each, "key"), need_text(each, "signature")});
                if (!signature_holds(receipt_message(receipt.digest), receipt.signatures.back())) {
                    return refused(ReceiptTrouble::altered,
                                   "a signature does not fit: it was altered, or made for another "
                                   "receipt");
                }
            }
        }
        receipt.tree = std::move(tree);
        return {std::move(receipt), ReceiptTrouble::none, {}};
    } catch (const BadForm& bad) {
        return refused(ReceiptTrouble::unreadable, bad.message);
    }
}

}  // namespace toprail
