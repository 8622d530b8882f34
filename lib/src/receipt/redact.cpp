// Entry point: redact.
#include "receipt/tree.hpp"
#include "toprail/redaction.hpp"

#include <algorithm>

namespace toprail {
namespace {

bool rests_on(const Json& entry, const std::vector<std::string>& facts) {
    const Json& on = entry.at("on");
    return std::any_of(on.begin(), on.end(), [&facts](const Json& name) {
        return std::find(facts.begin(), facts.end(), name.get<std::string>()) != facts.end();
    });
}

bool holds_fact(const Json& told, const std::string& fact) {
    return std::any_of(told.begin(), told.end(), [&fact](const Json& entry) {
        return text_in(entry, "about") == "fact" && text_in(entry, "name") == fact;
    });
}

}  // namespace

Redaction redact(std::string_view receipt, const std::vector<std::string>& facts) {
    const ReadReceipt read = read_receipt(receipt);
    if (!read.receipt) {
        return {std::nullopt, read.message};
    }
    Json root = read.receipt->tree->root;
    for (const std::string& fact : facts) {
        if (!holds_fact(root["told"], fact)) {
            return {std::nullopt, "the receipt holds no fact called \"" + fact + "\""};
        }
    }
    if (!root.contains("seed") && !root.contains("salts")) {
        return {std::nullopt,
                "the receipt was made without a seed: what is removed could be guessed "
                "from its digest"};
    }
    const std::vector<std::string> salts = salts_of(root);
    Json kept = Json::object();
    for (std::size_t i = 0; i < root["told"].size(); ++i) {
        Json& entry = root["told"][i];
        if (!entry.contains("tells")) {
            continue;
        }
        if (rests_on(entry, facts)) {
            entry = held_back(entry, salts[i]);
        } else {
            const auto* bytes = reinterpret_cast<const std::uint8_t*>(salts[i].data());
            kept[std::to_string(i)] = to_hex({bytes, salts[i].size()});
        }
    }
    root.erase("seed");
    root["salts"] = std::move(kept);
    return {canonical(root), {}};
}

}  // namespace toprail
