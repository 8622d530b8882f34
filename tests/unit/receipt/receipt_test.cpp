// Receipts: what stands in them, that they read back, and that every change shows.
#include "receipt_support.hpp"

#include <nlohmann/json.hpp>

namespace toprail::test {
namespace {

TEST_CASE("a receipt holds the facts verbatim, with source and state") {
    const auto root = nlohmann::json::parse(lift_receipt().text);
    CHECK(root["receipt"] == receipt_format);
    CHECK(root["case"] == "lift");
    CHECK(root["on"] == "2024-06-01");
    std::map<std::string, nlohmann::json> facts;
    for (const auto& entry : root["told"]) {
        if (entry["about"] == "fact") {
            facts[entry["name"]] = entry["tells"];
        }
    }
    REQUIRE(facts.contains("height"));
    CHECK(facts["height"]["value"] == "14.50 ft");
    CHECK(facts["height"]["from"] == "tape measure");
    CHECK(facts["height"]["state"] == "given");
    CHECK(facts["served"]["state"] == "does not apply");
    CHECK(root["not-given"][0]["fact"] == "rails");
}

TEST_CASE("a receipt that nobody would read is not made") {
    ReceiptOptions options;
    options.says = std::string(Limits{}.bytes, 'x');
    const MadeReceipt made = receipt_with(yard(), lift_facts(), options);
    CHECK(made.text.empty());
    CHECK_FALSE(made.decision);
    REQUIRE(made.findings.size() == 1);
    CHECK(made.findings[0].code == "too-large");
    options.says.resize(Limits{}.bytes / 2);
    CHECK(read_receipt(receipt_with(yard(), lift_facts(), options).text).receipt);
}

TEST_CASE("a receipt names packs and vocabularies by the digest of their bytes") {
    const auto root = nlohmann::json::parse(lift_receipt().text);
    REQUIRE(root["packs"].size() == 2);
    // The pack and the one that it adopts.
    CHECK(root["packs"][0]["authority"] == "yard.base");
    CHECK(root["packs"][0]["role"] == "adopted");
    CHECK(root["packs"][1]["authority"] == "yard.rules");
    CHECK(root["packs"][1]["edition"] == "2020-01-01");
    CHECK(root["packs"][1]["verified-through"] == "2025-01-01");
    // SHA-256 as coreutils gives it for the same bytes would be the same 64 digits.
    CHECK(root["packs"][1]["digest"].get<std::string>().size() == 64);
    CHECK(root["packs"][1]["digest"] != root["packs"][0]["digest"]);
    CHECK(root["vocabularies"][0]["vocabulary"] == "yard");
}

TEST_CASE("a receipt holds no floating-point number") {
    const auto root = nlohmann::json::parse(lift_receipt().text);
    std::vector<nlohmann::json> open{root};
    std::size_t numbers = 0;
    while (!open.empty()) {
        const nlohmann::json at = open.back();
        open.pop_back();
        CHECK_FALSE(at.is_number_float());
        numbers += at.is_number() ? 1U : 0U;
        if (at.is_structured()) {
            for (const auto& part : at) {
                open.push_back(part);
            }
        }
    }
    CHECK(numbers == 4);  // the format, the budget, and the rank of either duty
}

TEST_CASE("equal packs, facts and dates give equal bytes, whatever the order of the facts") {
    const Facts facts = lift_facts();
    Facts turned;
    for (auto it = facts.entries().rbegin(); it != facts.entries().rend(); ++it) {
        turned.set(*it);
    }
    const ReceiptMaker maker(yard());
    CHECK(maker.make(facts, day("2024-06-01"), {}, "lift").text ==
          maker.make(turned, day("2024-06-01"), {}, "lift").text);
}

TEST_CASE("a receipt reads back as it was made") {
    const ReadReceipt read = read_receipt(lift_receipt().text + "\n");
    REQUIRE(read.receipt);
    CHECK(read.receipt->case_name == "lift");
    CHECK(read.receipt->engine == engine_version());
    CHECK(read.receipt->on == day("2024-06-01"));
    CHECK(read.receipt->facts.find("height")->text == "14.50 ft");
    CHECK(read.receipt->facts.find("served")->state == FactState::does_not_apply);
    CHECK(read.receipt->outcomes.at("tie-off") == "undetermined");
    CHECK(read.receipt->redacted.empty());
}

TEST_CASE("texts with quotes, controls and other scripts survive") {
    Facts facts = lift_facts();
    const std::string from = "\"Grüße\" \\ \t\x7f \xE6\x97\xA5 \x01";
    facts.set("height", "14 ft", from);
    const ReadReceipt read =
        read_receipt(ReceiptMaker(yard()).make(facts, day("2024-06-01"), {}, from).text);
    REQUIRE(read.receipt);
    CHECK(read.receipt->facts.find("height")->from == from);
    CHECK(read.receipt->case_name == from);
}

TEST_CASE("a text that is not UTF-8 gives a finding, no receipt") {
    Facts facts = lift_facts();
    facts.set("height", "14 ft", "\xFF");
    const MadeReceipt made = ReceiptMaker(yard()).make(facts, day("2024-06-01"));
    CHECK(made.text.empty());
    REQUIRE(made.findings.size() == 1);
    CHECK(made.findings[0].code == "not-utf8");
}

TEST_CASE("facts that cannot be used give findings, no receipt") {
    Facts facts;
    facts.set("height", "fourteen");
    const MadeReceipt made = ReceiptMaker(yard()).make(facts, day("2024-06-01"));
    CHECK(made.text.empty());
    CHECK(has_error(made.findings));
}

// Every bit of every byte, and every byte left out.
void check_every_change(const std::string& text) {
    std::size_t unnoticed = 0;
    for (std::size_t i = 0; i < text.size(); ++i) {
        std::string altered = text;
        altered[i] = static_cast<char>(altered[i] ^ (1 << (i % 7)));
        unnoticed += read_receipt(altered).receipt ? 1U : 0U;
        altered = text;
        altered.erase(i, 1);
        unnoticed += read_receipt(altered).receipt ? 1U : 0U;
    }
    CHECK(unnoticed == 0);
}

TEST_CASE("every single-byte change to a receipt is noticed") {
    check_every_change(lift_receipt().text);
}

TEST_CASE("every single-byte change to a receipt with a seed and a signature is noticed") {
    ReceiptOptions options;
    options.seed = fixed_seed();
    const std::string text =
        ReceiptMaker(yard()).make(lift_facts(), day("2024-06-01"), {}, "lift", options).text;
    check_every_change(sign_receipt(text, new_key_pair().secret_key).value());
}

TEST_CASE("receipts that are not receipts are refused with their reason") {
    const auto trouble = [](const std::string& text) { return read_receipt(text).trouble; };
    CHECK(trouble("") == ReceiptTrouble::unreadable);
    CHECK(trouble("{") == ReceiptTrouble::unreadable);
    CHECK(trouble("[]") == ReceiptTrouble::unreadable);
    CHECK(trouble("{\"a\":1}") == ReceiptTrouble::unreadable);
    CHECK(trouble("{\"receipt\":1}") == ReceiptTrouble::unreadable);
    CHECK(trouble("{\"receipt\":1.0,\"told\":[]}") == ReceiptTrouble::unreadable);
    CHECK(trouble("{\"receipt\":1e999999}") == ReceiptTrouble::unreadable);
    CHECK(trouble("{\"receipt\":3}") == ReceiptTrouble::newer);
    CHECK(trouble("{\"receipt\":1,\"told\":[3]}") == ReceiptTrouble::unreadable);
    CHECK(trouble(std::string(100'000, '[')) == ReceiptTrouble::unreadable);
    std::string spaced = lift_receipt().text;
    spaced.insert(1, " ");
    CHECK(trouble(spaced) == ReceiptTrouble::altered);
}

TEST_CASE("limits bound what is read") {
    Limits limits;
    limits.bytes = 100;
    CHECK(read_receipt(lift_receipt().text, limits).trouble == ReceiptTrouble::unreadable);
    limits = {};
    limits.nodes = 20;
    CHECK(read_receipt(lift_receipt().text, limits).trouble == ReceiptTrouble::unreadable);
    limits = {};
    limits.depth = 1;
    CHECK(read_receipt(lift_receipt().text, limits).trouble == ReceiptTrouble::unreadable);
}

}  // namespace
}  // namespace toprail::test
