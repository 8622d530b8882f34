// Receipts from anybody: too deep, too many, numbers of every kind, and what whoever has this
// library could seal.
#include "receipt/read_json.hpp"
#include "receipt_support.hpp"

#include <limits>

using namespace toprail;
using namespace toprail::test;

namespace {

std::string repeated(std::string_view piece, std::size_t count) {
    std::string text;
    for (std::size_t i = 0; i < count; ++i) {
        text += piece;
    }
    return text;
}

void refused(std::string_view text, std::string_view message, const Limits& limits = {}) {
    const ReadReceipt read = read_receipt(text, limits);
    CHECK_FALSE(read.receipt);
    CHECK(read.trouble == ReceiptTrouble::unreadable);
    CHECK_MESSAGE(read.message.find(message) != std::string::npos, read.message);
}

}  // namespace

TEST_CASE("hostile receipt: every limit is its own refusal") {
    refused(repeated("[", 1'000'000), "nested deeper");
    refused(repeated("{\"a\":", 1'000'000), "nested deeper");
    refused("[" + repeated("{},", 1'000'000) + "{}]", "more keys and values");
    refused("{" + repeated("\"a\":0,", 600'000) + "\"a\":0}", "more keys and values");
    Limits limits;
    limits.bytes = 100;
    refused(repeated(" ", 101), "more bytes", limits);
    limits = {};
    limits.depth = 3;
    CHECK(read_json("[[[0]]]", limits).trouble.empty());
    CHECK_FALSE(read_json("[[[[0]]]]", limits).trouble.empty());
    limits.nodes = 4;
    CHECK(read_json("{\"a\":[0]}", limits).trouble.empty());
    CHECK_FALSE(read_json("{\"a\":[0,0]}", limits).trouble.empty());
}

// Where every list and map that ends made the reader look through its neighbours, this took hours.
TEST_CASE("hostile receipt: very many small maps side by side are read, in one pass") {
    const std::string text = "[" + repeated("{},", 499'000) + "{}]";
    const JsonReading read = read_json(text, {});
    CHECK(read.trouble.empty());
    CHECK(read.tree.size() == 499'001);
    refused(text, "not a receipt");
}

TEST_CASE("hostile receipt: numbers of every kind, and texts that are none") {
    for (const char* text : {"1.0", "[1e2]", "{\"receipt\":1.5}", "[-0.0]"}) {
        refused(text, "not whole");
    }
    refused("[1e999]", "too large");
    for (const char* text : {"", " ", "nul", "[1,]", "{\"a\":1,}", "[01]", "\"\t\"", "\"\\x\"",
                             "[1", "{\"a\"}", "[] []", "\"\\ud800\"", "NaN"}) {
        refused(text, "not JSON");
    }
    refused("\"\xff\"", "not valid UTF-8");
    const JsonReading read =
        read_json("[18446744073709551615,-9223372036854775808,true,null,\"\\u0000\"]", {});
    REQUIRE(read.trouble.empty());
    CHECK(read.tree[0].get<std::uint64_t>() == 18446744073709551615U);
    CHECK(read.tree[1].get<std::int64_t>() == std::numeric_limits<std::int64_t>::min());
    CHECK(read.tree[4].get<std::string>() == std::string(1, '\0'));
}

TEST_CASE("hostile receipt: a tree is read as the library's own reader reads it") {
    const std::string text = lift_receipt().text;
    CHECK(read_json(text, {}).tree == Json::parse(text));
    // Of a key that stands twice the last value counts, here as there; its bytes give it away.
    const std::string twice = "{\"a\":[1],\"a\":{\"b\":2}}";
    CHECK(read_json(twice, {}).tree == Json::parse(twice));
}

TEST_CASE("hostile receipt: sealed again with a fact that stands twice") {
    Json root = Json::parse(lift_receipt().text);
    Json& told = root["told"];
    for (std::size_t i = 0; i < told.size(); ++i) {
        if (told[i]["about"] == "fact") {
            told.push_back(Json(told[i]));
            break;
        }
    }
    refused(reseal(canonical(root)), "a fact stands twice");
}
