// A receipt tells what was decided, with no rulepack at hand.
#include "receipt_support.hpp"
#include "toprail/redaction.hpp"
#include "toprail/retelling.hpp"
#include "toprail/telling.hpp"

#include <fstream>
#include <iterator>

namespace toprail::test {
namespace {

Json as_json(const Decision& decision) {
    std::string text;
    append_json(text, decision, "case");
    Json json = Json::parse(text);
    // A receipt lists every rulepack whose bytes the decision rests on, and not who adopts which.
    json.erase("packs");
    return json;
}

Decision retold(const std::string& receipt) {
    const ReadReceipt read = read_receipt(receipt);
    REQUIRE_MESSAGE(read.receipt, read.message);
    return retell(*read.receipt);
}

TEST_CASE("retell: a receipt tells all that the decision told, on the demo site and in the yard") {
    std::ifstream stream(shipped_folder() + "/demo/site.yaml", std::ios::binary);
    const FactsFile site = read_facts({std::istreambuf_iterator<char>(stream), {}}, "site.yaml");
    REQUIRE(site.cases.size() > 5);
    const ReceiptMaker maker(shipped_shelf());
    for (const Case& each : site.cases) {
        const MadeReceipt made = maker.make(each.facts, day("2024-06-01"), {}, each.name);
        REQUIRE(made.decision);
        const Decision again = retold(made.text);
        CHECK(as_json(again) == as_json(*made.decision));
        CHECK(tell_text(again, each.name, {}, Length::answer) ==
              tell_text(*made.decision, each.name, {}, Length::answer));
        for (const PackUsed& pack : made.decision->packs) {
            const bool listed =
                std::any_of(again.packs.begin(), again.packs.end(), [&pack](const PackUsed& other) {
                    return other.authority == pack.authority && other.edition == pack.edition &&
                           other.verified_through == pack.verified_through;
                });
            CHECK_MESSAGE(listed, pack.authority);
        }
    }
    CHECK(as_json(retold(lift_receipt().text)) == as_json(lift_receipt().decision.value()));
}

TEST_CASE("retell: where nothing spoke of the first duty, that is said") {
    DecideOptions only;
    only.authorities = {"equipment.swing"};
    const ReceiptMaker maker(shipped_shelf());
    const MadeReceipt made = maker.make({}, day("2024-06-01"), only, "x");
    REQUIRE(made.decision);
    REQUIRE_FALSE(made.decision->duty("tie-off")->spoken_of);
    const Decision again = retold(made.text);
    CHECK(again.duty("tie-off") == nullptr);
    CHECK(
        tell_text(again, "x", {}, Length::answer).find("the first duty of the vocabulary has no") !=
        std::string::npos);
    const std::string spoken = tell_text(retold(lift_receipt().text), "x", {}, Length::everything);
    CHECK(spoken.find("the first duty of the vocabulary") == std::string::npos);
}

TEST_CASE("retell: what was removed is named and nowhere told") {
    ReceiptOptions options;
    options.seed = fixed_seed();
    const std::string whole = receipt_with(yard(), lift_facts(), options).text;
    const Decision left = retold(redact(whole, {"height"}).text.value());
    CHECK(left.cautions.front().find("removed from this receipt: height") == 0);
    CHECK(left.facts.size() == 2);
    const std::string text = tell_text(left, "lift", {}, Length::everything);
    CHECK(text.find("14.50") == std::string::npos);
    CHECK(text.find("tape measure") == std::string::npos);
    CHECK(text.find("yard.rules/open-rails: open") != std::string::npos);
}

TEST_CASE("retell: receipts of format 1 are told without what they do not record") {
    std::ifstream stream(TOPRAIL_SOURCE_DIR "/tests/golden/plain-1.receipts", std::ios::binary);
    std::string line;
    std::getline(stream, line);
    const Decision decision = retold(line);
    REQUIRE(decision.duty("tie-off") != nullptr);
    CHECK(decision.duty("tie-off")->reads == "tie-off");
    CHECK(decision.duty("tie-off")->outcome == Outcome::undetermined);
    CHECK(decision.trail.size() == 8);
    CHECK_FALSE(decision.trail.back().because.empty());
    CHECK(decision.trail.back().because.front().since.empty());
}

TEST_CASE("retell: a resealed receipt of any inner shape is told without harm") {
    const Json sound = Json::parse(lift_receipt().text);
    const Json odd[] = {"x", Json::array({1, "x"}), {{"x", 1}}, Json::array({Json::object()}), 7U};
    std::size_t tried = 0;
    const auto hold = [&tried](const Json& root) {
        const ReadReceipt read = read_receipt(reseal(root.dump()));
        if (read.receipt) {
            ++tried;
            CHECK_FALSE(tell_text(retell(*read.receipt), "x", {}, Length::everything).empty());
        }
    };
    for (const Json& each : odd) {
        for (const auto& [key, value] : sound.items()) {
            Json root = sound;
            root[key] = each;
            if (key != "told") {
                hold(root);
            }
            const bool of_maps = value.is_array() && !value.empty() && value[0].is_object();
            const Json first = of_maps ? value[0] : Json::object();
            for (const auto& [inner, ignored] : first.items()) {
                root = sound;
                root[key][0][inner] = each;
                hold(root);
            }
        }
        // Each kind of entry that is told.
        for (std::size_t i = 0; i < sound["told"].size(); ++i) {
            for (const auto& [inner, ignored] : sound["told"][i]["tells"].items()) {
                Json root = sound;
                root["told"][i]["tells"][inner] = each;
                hold(root);
            }
        }
    }
    CHECK(tried > 200);
}

}  // namespace
}  // namespace toprail::test
