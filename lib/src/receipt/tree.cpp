// Entry points: canonical, digest_of_receipt.
#include "receipt/tree.hpp"

#include <algorithm>

namespace toprail {

std::string canonical(const Json& tree) {
    return tree.dump();
}

std::vector<std::string> salts_of(const Json& root) {
    const Json& told = root.at("told");
    std::vector<std::string> salts(told.size());
    const auto listed = root.find("salts");
    if (listed != root.end()) {
        for (std::size_t i = 0; i < told.size(); ++i) {
            const auto found = listed->find(std::to_string(i));
            if (found != listed->end() && found->is_string()) {
                salts[i] = from_hex(found->get<std::string>(), salt_bytes).value_or("");
            }
        }
        return salts;
    }
    Seed seed{};
    const auto written = root.find("seed");
    if (written != root.end() && written->is_string()) {
        const auto bytes = from_hex(written->get<std::string>(), seed.size());
        if (bytes) {
            std::copy(bytes->begin(), bytes->end(), seed.begin());
        }
    }
    for (std::size_t i = 0; i < told.size(); ++i) {
        if (told[i].contains("tells")) {
            salts[i] = salt_of(seed, i);
        }
    }
    return salts;
}

Json held_back(const Json& entry, const std::string& salt) {
    Json held = entry;
    held["held"] = digest_of(salt + canonical(entry.at("tells")));
    held.erase("tells");
    return held;
}

std::string digest_of_receipt(const Json& root) {
    const std::vector<std::string> salts = salts_of(root);
    Json bare = Json::object();
    for (const auto& [key, value] : root.items()) {
        if (key != "digest" && key != "seed" && key != "salts" && key != "signatures" &&
            key != "told") {
            bare[key] = value;
        }
    }
    Json list = Json::array();
    const Json& told = root.at("told");
    for (std::size_t i = 0; i < told.size(); ++i) {
        list.push_back(told[i].contains("tells") ? held_back(told[i], salts[i]) : told[i]);
    }
    bare["told"] = std::move(list);
    return digest_of(canonical(bare));
}

}  // namespace toprail
