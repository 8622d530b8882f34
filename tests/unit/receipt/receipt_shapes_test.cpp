// Receipts whose digest fits what they say, and which say something of another shape: whoever has
// this library can make them. Each is refused with the place of what is wrong.
#include "receipt_support.hpp"
#include "toprail/redaction.hpp"

#include <functional>

namespace toprail::test {
namespace {

using Change = std::function<void(Json&)>;

/// A receipt with a seed, changed and sealed again.
Json changed(const Change& change) {
    ReceiptOptions options;
    options.seed = fixed_seed();
    options.says = "By the gate.";
    options.site = "North yard";
    Json root = Json::parse(receipt_with(yard(), lift_facts(), options).text);
    root.erase("digest");
    change(root);
    return Json::parse(seal(std::move(root), std::nullopt));
}

/// What is said of it; the test fails when it is taken, or refused for another reason.
void refused(const Json& root, ReceiptTrouble trouble, const std::string& piece) {
    const ReadReceipt read = read_receipt(canonical(root));
    CHECK_FALSE(read.receipt);
    CHECK(read.trouble == trouble);
    CHECK_MESSAGE(read.message.find(piece) != std::string::npos, read.message);
}

void unreadable(const Change& change, const std::string& piece) {
    refused(changed(change), ReceiptTrouble::unreadable, piece);
}

/// The first entry that tells of this.
Json& entry_about(Json& root, const std::string& about) {
    for (Json& entry : root["told"]) {
        if (entry["about"] == about) {
            return entry;
        }
    }
    throw std::runtime_error("nothing is told about " + about);
}

TEST_CASE("receipt shapes: the head") {
    REQUIRE(read_receipt(canonical(changed([](Json&) {}))).receipt);
    for (const char* key : {"engine", "case", "on", "asked", "outcomes"}) {
        const std::string message = "\"" + std::string(key) + "\" is missing or has another shape";
        unreadable([key](Json& root) { root[key] = 7; }, message);
        unreadable([key](Json& root) { root.erase(key); }, message);
    }
    unreadable([](Json& root) { root["site"] = 7; }, "\"site\" is missing or has");
    unreadable([](Json& root) { root["on"] = "2024-02-30"; }, "\"on\" is not a day");
    unreadable([](Json& root) { root["asked"].erase("authorities"); }, "\"authorities\"");
    unreadable([](Json& root) { root["asked"]["authorities"] = {1}; }, "holds something else");
    unreadable([](Json& root) { root["asked"]["budget"] = "all"; }, "\"budget\"");
    unreadable([](Json& root) { root["asked"]["budget"] = -1; }, "\"budget\"");
    unreadable([](Json& root) { root["outcomes"][0] = 7; }, "an outcome has another shape");
    unreadable([](Json& root) { root["outcomes"][0].erase("duty"); }, "\"duty\"");
    unreadable([](Json& root) { root["outcomes"][0]["outcome"] = 7; }, "\"outcome\"");
}

TEST_CASE("receipt shapes: the format") {
    unreadable([](Json& root) { root["receipt"] = 0U; }, "it has the format 0");
    unreadable([](Json& root) { root["receipt"] = -1; }, "\"receipt\" is missing or has");
    unreadable([](Json& root) { root["receipt"] = "2"; }, "\"receipt\" is missing or has");
    unreadable([](Json& root) { root.erase("receipt"); }, "JSON, but not a receipt");
    refused(changed([](Json& root) { root["receipt"] = 99U; }), ReceiptTrouble::newer,
            "it has the format 99; this version reads formats 1 to 2");
}

TEST_CASE("receipt shapes: a key past the limit of nodes is refused like a value") {
    Limits limits;
    limits.nodes = 1;
    CHECK(read_receipt("{}", limits).message.find("not a receipt") != std::string::npos);
    CHECK(read_receipt("{\"a\":1}", limits).message.find("more keys and values") !=
          std::string::npos);
}

TEST_CASE("receipt shapes: what is told") {
    const Change both = [](Json& root) { root["told"][0]["held"] = "x"; };
    const std::string neither = "neither tells something nor is held back";
    unreadable(both, neither);
    unreadable([](Json& root) { root["told"][0].erase("tells"); }, neither);
    const std::string shape = "an entry of \"told\" has another shape";
    unreadable([](Json& root) { root["told"][0]["tells"] = "x"; }, shape);
    unreadable(
        [](Json& root) {
            root["told"][0].erase("tells");
            root["told"][0]["held"] = 7;
        },
        shape);
    for (const char* key : {"about", "name", "on"}) {
        unreadable([key](Json& root) { root["told"][0].erase(key); }, "\"" + std::string(key));
        unreadable([key](Json& root) { root["told"][0][key] = 7; }, "\"" + std::string(key));
    }
    unreadable([](Json& root) { root["told"][0]["on"] = {7}; }, "holds something else");
    for (const char* key : {"state", "value", "from"}) {
        unreadable([key](Json& root) { entry_about(root, "fact")["tells"][key] = 7; },
                   "\"" + std::string(key) + "\" is missing or has another shape");
    }
    unreadable([](Json& root) { entry_about(root, "description")["tells"].erase("says"); },
               "\"says\" is missing or has another shape");
}

TEST_CASE("receipt shapes: a state that nobody knows is read as not known") {
    const Json root =
        changed([](Json& all) { entry_about(all, "fact")["tells"]["state"] = "guessed"; });
    const ReadReceipt read = read_receipt(canonical(root));
    REQUIRE(read.receipt);
    CHECK(read.receipt->facts.entries().front().state == FactState::not_known);
    CHECK(read.receipt->facts.entries().back().state == FactState::does_not_apply);
}

TEST_CASE("receipt shapes: the digest") {
    Json root = changed([](Json&) {});
    root["digest"] = std::string(64, '0');
    refused(root, ReceiptTrouble::altered, "its digest does not fit what it says");
    root["digest"] = 7;
    refused(root, ReceiptTrouble::unreadable, "\"digest\" is missing or has another shape");
    root.erase("digest");
    refused(root, ReceiptTrouble::unreadable, "\"digest\" is missing or has another shape");
}

// They stand outside the digest, where anything could be hidden.
TEST_CASE("receipt shapes: seed and salts hold what they are for and nothing else") {
    const Json sound = changed([](Json&) {});
    const auto altered = [](const Json& root) {
        refused(root, ReceiptTrouble::altered, "not in canonical form");
    };
    const std::string digits = sound["seed"].get<std::string>();
    for (const Json& seed : {Json(7), Json("00"), Json(digits + "00"), Json("G" + digits.substr(1)),
                             Json("/" + digits.substr(1)), Json("F" + digits.substr(1)),
                             Json(digits.substr(1) + "g")}) {
        Json root = sound;
        root["seed"] = seed;
        altered(root);
    }
    Json zeros = sound;
    zeros["seed"] = std::string(digits.size(), '0');
    altered(zeros);
    const Json removed = Json::parse(redact(canonical(sound), {"height"}).text.value());
    REQUIRE(read_receipt(canonical(removed)).receipt);
    Json root = removed;
    root["seed"] = digits;
    altered(root);
    for (const Json& salts : {Json(7), Json("x"), Json::array(), Json::object()}) {
        root = removed;
        root["salts"] = salts;
        altered(root);
    }
    const std::string first = removed["salts"].begin().key();
    for (const Json& salt : {Json(7), Json(""), Json("00")}) {
        root = removed;
        root["salts"][first] = salt;
        altered(root);
    }
    root = removed;
    root["salts"]["note"] = "more";
    altered(root);
    // Of what was removed there is no salt.
    root = removed;
    for (std::size_t i = 0; i < root["told"].size(); ++i) {
        if (root["told"][i].contains("held")) {
            root["salts"][std::to_string(i)] = digits;
            break;
        }
    }
    altered(root);
}

// The digest is that of the whole receipt, so that it does not show what was taken out.
TEST_CASE("receipt shapes: nothing is taken out but what rests on a removed fact") {
    const auto take_out = [](Json root, const std::vector<std::string>& salts, auto goes) {
        for (std::size_t i = 0; i < root["told"].size(); ++i) {
            if (!root["told"][i].contains("held") && goes(root["told"][i])) {
                root["told"][i] = held_back(root["told"][i], salts[i]);
                if (root.contains("salts")) {
                    root["salts"].erase(std::to_string(i));
                }
            }
        }
        return root;
    };
    const auto is_caution = [](const Json& entry) { return entry["about"] == "caution"; };
    const auto always = [](const Json&) { return true; };
    // Somebody who has the seed gives the salts of what stays, as redaction does.
    const Json sound = changed([](Json&) {});
    const std::vector<std::string> salts = salts_of(sound);
    Json root = sound;
    root.erase("seed");
    for (std::size_t i = 0; i < salts.size(); ++i) {
        const auto* bytes = reinterpret_cast<const std::uint8_t*>(salts[i].data());
        root["salts"][std::to_string(i)] = to_hex({bytes, salts[i].size()});
    }
    REQUIRE(read_receipt(canonical(root)).receipt);
    refused(take_out(root, salts, is_caution), ReceiptTrouble::altered, "rests on no fact");
    refused(take_out(root, salts, always), ReceiptTrouble::altered, "rests on no fact");
    // Beside a seed nothing is held back, whatever it rests on.
    Json with_seed = sound;
    const Json removed = Json::parse(redact(canonical(sound), {"height"}).text.value());
    with_seed["told"] = removed["told"];
    refused(with_seed, ReceiptTrouble::altered, "not in canonical form");

    // One that was made without a seed can lose nothing, by whatever salts.
    Json bare = Json::parse(receipt_with(yard(), lift_facts()).text);
    REQUIRE_FALSE(bare.contains("seed"));
    const std::vector<std::string> known = salts_of(bare);
    const auto rests_on_height = [](const Json& entry) {
        return std::find(entry["on"].begin(), entry["on"].end(), "height") != entry["on"].end();
    };
    Json held = take_out(bare, known, rests_on_height);
    refused(held, ReceiptTrouble::altered, "not in canonical form");
    for (std::size_t i = 0; i < known.size(); ++i) {
        if (held["told"][i].contains("tells")) {
            const auto* bytes = reinterpret_cast<const std::uint8_t*>(known[i].data());
            held["salts"][std::to_string(i)] = to_hex({bytes, known[i].size()});
        }
    }
    refused(held, ReceiptTrouble::altered, "not in canonical form");
}

TEST_CASE("receipt shapes: the version is told beside what was verified, and is no sentence") {
    for (const char* engine : {"0.1.0, signed with the key ab", "", "1.0\n", "V1"}) {
        CAPTURE(engine);
        Json root = changed([engine](Json& each) { each["engine"] = engine; });
        refused(root, ReceiptTrouble::unreadable, "not the number of a version");
    }
    CHECK(read_receipt(canonical(changed([](Json& each) {
              each["engine"] = "9.9.9-rc.1";
          }))).receipt);
}

TEST_CASE("receipt shapes: signatures") {
    const Json sound = Json::parse(
        sign_receipt(canonical(changed([](Json&) {})), new_key_pair().secret_key).value());
    REQUIRE(read_receipt(canonical(sound)).receipt);
    const auto with = [&sound](const Json& signatures) {
        Json root = sound;
        root["signatures"] = signatures;
        return root;
    };
    const Json one = sound["signatures"][0];
    Json more = one;
    more["note"] = "x";
    refused(with(7), ReceiptTrouble::unreadable, "\"signatures\" is missing or has");
    refused(with({7}), ReceiptTrouble::unreadable, "a signature has another shape");
    refused(with(Json::array({more})), ReceiptTrouble::unreadable, "a signature has another shape");
    for (const char* key : {"key", "signature"}) {
        Json other = one;
        other[key] = 7;
        refused(with(Json::array({other})), ReceiptTrouble::unreadable, std::string(key));
        other[key] = "00";
        refused(with(Json::array({other})), ReceiptTrouble::altered, "a signature does not fit");
    }
}

TEST_CASE("receipt shapes: removing a fact again, or nothing, changes nothing") {
    ReceiptOptions options;
    options.seed = fixed_seed();
    const std::string once =
        redact(receipt_with(yard(), lift_facts(), options).text, {"height"}).text.value();
    CHECK(redact(once, {"height"}).text.value() == once);
    CHECK(redact(once, {}).text.value() == once);
}

}  // namespace
}  // namespace toprail::test
