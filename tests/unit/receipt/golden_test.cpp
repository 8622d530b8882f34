// Golden receipts: made once, kept in the repository, and replayed to the same bytes by every
// build. A change that breaks them breaks the promise in toprail/receipt.hpp: raise the format
// instead.
#include "receipt_support.hpp"
#include "toprail/replay.hpp"

#include <filesystem>
#include <fstream>
#include <thread>

namespace toprail::test {
namespace {

const ReceiptMaker& golden_maker() {
    static const ReceiptMaker maker = [] {
        LoadedShelf loaded = load_shelf(TOPRAIL_SOURCE_DIR "/tests/golden/packs");
        if (!loaded.shelf) {
            throw std::runtime_error(told(loaded.findings));
        }
        return ReceiptMaker(*loaded.shelf);
    }();
    return maker;
}

std::vector<std::string> golden_receipts(const std::string& name) {
    std::ifstream stream(TOPRAIL_SOURCE_DIR "/tests/golden/" + name, std::ios::binary);
    std::vector<std::string> all;
    for (std::string line; std::getline(stream, line);) {
        all.push_back(line);
    }
    return all;
}

// Of every format, without a seed and with one.
std::vector<std::string> golden_names() {
    std::vector<std::string> names;
    for (int format = 1; format <= receipt_format; ++format) {
        for (const char* kind : {"plain-", "seeded-"}) {
            names.push_back(kind + std::to_string(format) + ".receipts");
        }
    }
    return names;
}

// The bytes as this build makes them, under the version that the receipt names.
std::string made_again(const Receipt& receipt) {
    const Answer answer = golden_maker().shelf().decide(receipt.facts, receipt.on, receipt.options);
    return seal(receipt_body(golden_maker().data(), answer.decision.value(), receipt.options,
                             {receipt.case_name, receipt.site, receipt.says}, receipt.engine,
                             receipt.format)
                    .value(),
                receipt.seed);
}

TEST_CASE("golden receipts of every format are made again to the same bytes") {
    for (const std::string& name : golden_names()) {
        const std::vector<std::string> receipts = golden_receipts(name);
        CHECK(receipts.size() == 3);
        for (const std::string& text : receipts) {
            const ReadReceipt read = read_receipt(text);
            REQUIRE_MESSAGE(read.receipt, read.message);
            CHECK(name.find("-" + std::to_string(read.receipt->format) + ".") != std::string::npos);
            CHECK(made_again(*read.receipt) == text);
            CHECK(replay(golden_maker(), *read.receipt).verdict == ReplayVerdict::identical);
        }
    }
}

TEST_CASE("golden receipts of every format that were signed and redacted still verify") {
    for (int format = 1; format <= receipt_format; ++format) {
        const std::string kind = "-" + std::to_string(format) + ".receipts";
        const std::vector<std::string> receipts = golden_receipts("redacted" + kind);
        REQUIRE(receipts.size() == 1);
        const ReadReceipt read = read_receipt(receipts.front());
        REQUIRE_MESSAGE(read.receipt, read.message);
        CHECK(read.receipt->redacted == std::vector<std::string>{"height"});
        CHECK(read.receipt->signatures.size() == 1);
        CHECK(read.receipt->digest ==
              read_receipt(golden_receipts("seeded" + kind).front()).receipt->digest);
    }
}

TEST_CASE("a receipt that is made now has the newest format") {
    CHECK(read_receipt(lift_receipt().text).receipt->format == receipt_format);
}

TEST_CASE("format 2 records origin, days in force and what a named condition comes down to") {
    const Json root = Json::parse(golden_receipts("plain-2.receipts").front());
    for (const Json& step : root["steps"]) {
        const bool taken_over = step["provision"] != "yard.rules/low" &&
                                step["provision"] != "yard.rules/open-rails" &&
                                step["provision"].get<std::string>().starts_with("yard.rules/");
        CHECK(step["adopted-from"] == (taken_over ? "yard.base" : ""));
        CHECK(step["in-force"] == "");
    }
    CHECK_FALSE(
        Json::parse(golden_receipts("plain-1.receipts").front())["steps"][0].contains("in-force"));
}

TEST_CASE("canonical bytes are those of the JSON library's own writer") {
    for (const char* name : {"plain-1.receipts", "seeded-1.receipts", "redacted-1.receipts",
                             "plain-2.receipts", "redacted-2.receipts"}) {
        for (const std::string& text : golden_receipts(name)) {
            CHECK(canonical(Json::parse(text)) == text);
        }
    }
    std::string all;
    for (int c = 0; c < 0x80; ++c) {
        all += static_cast<char>(c);
    }
    const Json odd = {
        {all, {all, "", "Gr\u00fc\u00dfe", 0, -7, 18446744073709551615U, true, nullptr}},
        {"empty", {Json::array(), Json::object()}}};
    CHECK(canonical(odd) == odd.dump());
}

TEST_CASE("golden receipts are replayed to the same verdict by many threads with one maker") {
    std::vector<Receipt> receipts;
    for (const std::string& name : golden_names()) {
        for (const std::string& text : golden_receipts(name)) {
            receipts.push_back(*read_receipt(text).receipt);
        }
    }
    std::vector<std::size_t> identical(8);
    std::vector<std::thread> threads;
    for (std::size_t& count : identical) {
        threads.emplace_back([&receipts, &count] {
            for (const Receipt& receipt : receipts) {
                count += replay(golden_maker(), receipt).verdict == ReplayVerdict::identical;
            }
        });
    }
    for (std::thread& thread : threads) {
        thread.join();
    }
    CHECK(identical == std::vector<std::size_t>(8, receipts.size()));
}

TEST_CASE("golden receipts are made again to the same bytes by many threads at once") {
    const std::vector<std::string> receipts = golden_receipts("plain-1.receipts");
    std::vector<std::string> seen(8 * receipts.size());
    std::vector<std::thread> threads;
    for (std::size_t t = 0; t < 8; ++t) {
        threads.emplace_back([&, t] {
            for (std::size_t i = 0; i < receipts.size(); ++i) {
                seen[t * receipts.size() + i] = made_again(*read_receipt(receipts[i]).receipt);
            }
        });
    }
    for (std::thread& thread : threads) {
        thread.join();
    }
    for (std::size_t i = 0; i < seen.size(); ++i) {
        CHECK(seen[i] == receipts[i % receipts.size()]);
    }
}

}  // namespace
}  // namespace toprail::test
