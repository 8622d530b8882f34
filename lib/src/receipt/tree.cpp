// Entry points: give_back, canonical, bytes_of_receipt, list_in, text_in, seed_in, salts_of,
// held_back.
#include "receipt/tree.hpp"

#include <algorithm>

namespace toprail {

namespace {

void append_text(std::string& out, const std::string& text) {
    constexpr std::string_view digits = "0123456789abcdef";
    out += '"';
    std::size_t plain = 0;  // start of what needs no escape
    for (std::size_t i = 0; i < text.size(); ++i) {
        const auto c = static_cast<unsigned char>(text[i]);
        if (c >= 0x20 && c != '"' && c != '\\') {
            continue;
        }
        out.append(text, plain, i - plain);
        plain = i + 1;
        constexpr std::string_view named = "\b\t\n\f\r\"\\";
        constexpr std::string_view letters = "btnfr\"\\";
        const std::size_t at = named.find(text[i]);
        if (at != std::string_view::npos) {
            out += {'\\', letters[at]};
        } else {
            out += {'\\', 'u', '0', '0', digits[c >> 4U], digits[c & 0x0FU]};
        }
    }
    out.append(text, plain);
    out += '"';
}

// The library's own writer gives the same bytes; this one takes no copies and is what replaying a
// million receipts turns on. Recurses as deep as the limits let a text be nested.
void append_canonical(std::string& out, const Json& tree) {
    switch (tree.type()) {
    case Json::value_t::object: {
        out += '{';
        std::string_view glue;
        for (const auto& [key, value] : tree.get_ref<const Json::object_t&>()) {
            out += glue;
            append_text(out, key);
            out += ':';
            append_canonical(out, value);
            glue = ",";
        }
        out += '}';
        return;
    }
    case Json::value_t::array: {
        out += '[';
        std::string_view glue;
        for (const Json& value : tree) {
            out += glue;
            append_canonical(out, value);
            glue = ",";
        }
        out += ']';
        return;
    }
    case Json::value_t::string:
        append_text(out, tree.get_ref<const std::string&>());
        return;
    default:
        out += tree.dump();
    }
}

void open_key(std::string& out, const std::string& key) {
    out += out.empty() || out.back() == '{' ? "" : ",";
    append_text(out, key);
    out += ':';
}

// An entry that tells something, and the same with its commitment in place of that.
void append_entry(ReceiptBytes& bytes, const Json& entry, const std::string& salt) {
    std::string tells;
    append_canonical(tells, entry.at("tells"));
    std::string whole = "{";
    std::string under_digest = "{";
    bool held = false;
    const auto hold = [&] {
        if (!held) {
            open_key(under_digest, "held");
            append_text(under_digest, digest_of(salt + tells));
            held = true;
        }
    };
    for (const auto& [key, value] : entry.get_ref<const Json::object_t&>()) {
        open_key(whole, key);
        if (key > "held") {
            hold();
        }
        if (key == "tells") {
            whole += tells;
            continue;
        }
        const std::size_t start = whole.size();
        append_canonical(whole, value);
        open_key(under_digest, key);
        under_digest.append(whole, start);
    }
    hold();
    bytes.whole += whole += '}';
    bytes.under_digest += under_digest += '}';
}

void append_told(ReceiptBytes& bytes, const Json& told, const std::vector<std::string>& salts) {
    bytes.whole += '[';
    bytes.under_digest += '[';
    for (std::size_t i = 0; i < told.size(); ++i) {
        const std::string_view glue = i == 0 ? "" : ",";
        bytes.whole += glue;
        bytes.under_digest += glue;
        if (told[i].contains("tells")) {
            append_entry(bytes, told[i], salts[i]);
        } else {
            const std::size_t start = bytes.whole.size();
            append_canonical(bytes.whole, told[i]);
            bytes.under_digest.append(bytes.whole, start);
        }
    }
    bytes.whole += ']';
    bytes.under_digest += ']';
}

}  // namespace

void give_back(Json& tree) noexcept {
    if (auto* const list = tree.get_ptr<Json::array_t*>()) {
        for (Json& each : *list) {
            give_back(each);
        }
        list->clear();
    } else if (auto* const map = tree.get_ptr<Json::object_t*>()) {
        for (auto& [key, value] : *map) {
            give_back(value);
        }
        map->clear();
    }
}

std::string canonical(const Json& tree) {
    std::string out;
    append_canonical(out, tree);
    return out;
}

ReceiptBytes bytes_of_receipt(const Json& root) {
    ReceiptBytes bytes{"{", "{"};
    for (const auto& [key, value] : root.get_ref<const Json::object_t&>()) {
        open_key(bytes.whole, key);
        if (key == "told") {
            open_key(bytes.under_digest, key);
            append_told(bytes, value, salts_of(root));
            continue;
        }
        const std::size_t start = bytes.whole.size();
        append_canonical(bytes.whole, value);
        if (key != "digest" && key != "seed" && key != "salts" && key != "signatures") {
            open_key(bytes.under_digest, key);
            bytes.under_digest.append(bytes.whole, start);
        }
    }
    bytes.whole += '}';
    bytes.under_digest += '}';
    return bytes;
}

const Json& list_in(const Json& map, const char* key) {
    static const Json none = Json::array();
    if (!map.is_object()) {
        return none;
    }
    const auto found = map.find(key);
    return found != map.end() && found->is_structured() ? *found : none;
}

std::string text_in(const Json& map, const char* key) {
    if (!map.is_object()) {
        return {};
    }
    const auto found = map.find(key);
    return found != map.end() && found->is_string() ? found->get<std::string>() : std::string{};
}

std::optional<Seed> seed_in(const Json& root) {
    Seed seed{};
    const auto bytes = from_hex(text_in(root, "seed"), seed.size());
    if (!bytes) {
        return std::nullopt;
    }
    std::copy(bytes->begin(), bytes->end(), seed.begin());
    return seed;
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
    const Seed seed = seed_in(root).value_or(Seed{});
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

}  // namespace toprail
