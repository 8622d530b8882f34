#include "reading/tree.hpp"

#include <doctest/doctest.h>

using namespace toprail;

namespace {

struct Read {
    explicit Read(std::string text, const Limits& limits = {}) : source("t.yaml", std::move(text)) {
        root = read_tree(source, limits, findings);
    }
    [[nodiscard]] std::vector<std::string> codes() {
        std::vector<std::string> all;
        for (const Finding& finding : findings.take()) {
            all.push_back(std::string(finding.code) + " " + std::to_string(finding.place.line) +
                          ":" + std::to_string(finding.place.column));
        }
        return all;
    }

    Source source;
    Findings findings;
    std::optional<Node> root;
};

void check_span(const Span& span, std::uint32_t line, std::uint32_t column, std::uint32_t length) {
    CHECK(span.line == line);
    CHECK(span.column == column);
    CHECK(span.length == length);
}

}  // namespace

TEST_CASE("tree: keys, values and lists know their places") {
    Read read("rulepack: test.pack\nlist:\n  - one\n  - {key: \"two words\"}\n");
    REQUIRE(read.root);
    REQUIRE(read.root->entries.size() == 2);
    check_span(read.root->entries[0].key_span, 1, 1, 8);
    check_span(read.root->find("rulepack")->span, 1, 11, 9);
    const Node* list = read.root->find("list");
    REQUIRE(list != nullptr);
    REQUIRE(list->is_list());
    REQUIRE(list->items.size() == 2);
    check_span(list->items[0].span, 3, 5, 3);
    const Node* quoted = list->items[1].find("key");
    REQUIRE(quoted != nullptr);
    CHECK(quoted->text == "two words");
    CHECK(quoted->quoted);
    check_span(quoted->span, 4, 11, 11);
    CHECK(read.root->find("absent") == nullptr);
    CHECK(read.codes().empty());
}

TEST_CASE("tree: a text in quotes is marked as such") {
    Read read("a: yes\nb: \"yes\"\nc: 'yes'\n");
    REQUIRE(read.root);
    CHECK_FALSE(read.root->find("a")->quoted);
    CHECK(read.root->find("b")->quoted);
    CHECK(read.root->find("c")->quoted);
    CHECK(read.root->find("c")->text == "yes");
}

TEST_CASE("tree: nothing behind a key is an empty text") {
    Read read("a:\nb: ~\n");
    REQUIRE(read.root);
    CHECK(read.root->find("a")->is_text());
    CHECK(read.root->find("a")->text.empty());
    CHECK(read.root->find("b")->text.empty());
    // The parser names the place of what follows.
    check_span(read.root->find("a")->span, 2, 1, 0);
    CHECK(read.root->find("a")->span.source == &read.source);
    check_span(read.root->find("b")->span, 2, 4, 0);
}

TEST_CASE("tree: line ends of either kind") {
    Read read("a: 1\r\nb: 2\r\n");
    REQUIRE(read.root);
    CHECK(read.root->find("b")->text == "2");
    check_span(read.root->find("b")->span, 2, 4, 1);
}

TEST_CASE("tree: several slips are told in one reading, and the rest is read") {
    Read read("a: &x 1\nb: *x\na: 2\nc: !!int 3\nd: 4\n");
    REQUIRE(read.root);
    CHECK(read.root->find("a")->text == "1");
    CHECK(read.root->find("d")->text == "4");
    CHECK(read.codes() ==
          std::vector<std::string>{"anchor 1:4", "alias 2:4", "duplicate-key 3:1", "tag 4:4"});
}

TEST_CASE("tree: what is refused is told with what to do") {
    for (const auto& [text, help] : std::initializer_list<std::pair<const char*, const char*>>{
             {"a: &b 1\n", "leave the anchor out and write the value where it is needed"},
             {"a: !!str 1\n",
              "leave the tag out; the key already says what kind of value is expected"},
             {"<<: {b: 1}\n", "write the keys out that it would copy"},
             {"a: 1\na: 2\n", "keep one of the two"},
             {"a: \x07\n", "remove it"},
             {"a: \"\\x07\"\n", "take the escape out"},
             {"a: \xff\n", "save the file as UTF-8"},
             {"a: \"b\n", "close it on the line where the text ends"},
             {"a: 1\n---\nb: 2\n", "put it into a file of its own"}}) {
        const char* const written = text;  // Clang 14: a lambda may not take a binding
        CAPTURE(written);
        Read read(written);
        const std::vector<Finding> all = read.findings.take();
        REQUIRE(all.size() == 1);
        CHECK(all[0].help == help);
    }
}

TEST_CASE("tree: of a key that stands twice the first is named, whatever its value was") {
    for (const char* value : {"1", "", "{b: 1}", "[1]"}) {
        CAPTURE(value);
        Read read("a: " + std::string(value) + "\nb: 2\na: 3\n");
        const std::vector<Finding> all = read.findings.take();
        REQUIRE_FALSE(all.empty());
        const Finding& twice = all.back();
        CHECK(twice.code == "duplicate-key");
        CHECK(twice.place.line == 3);
        REQUIRE(twice.others.size() == 1);
        CHECK(twice.others[0].place.line == 1);
        CHECK(twice.others[0].place.column == 1);
    }
}

TEST_CASE("tree: a bomb of aliases stays small") {
    std::string text = "a0: &a0 [x, x, x, x, x, x, x, x, x]\n";
    for (int i = 1; i < 12; ++i) {
        const std::string before = "*a" + std::to_string(i - 1);
        std::string line = "a" + std::to_string(i) + ": &a" + std::to_string(i) + " [" + before;
        for (int k = 0; k < 8; ++k) {
            line += ", " + before;
        }
        text += line + "]\n";
    }
    Read read(text);
    REQUIRE(read.root);
    CHECK(read.root->find("a11")->items.size() == 9);
    CHECK(read.root->find("a11")->items.front().is_text());
}

TEST_CASE("tree: at the limit is inside, past it is not") {
    Limits limits;
    limits.depth = 3;
    CHECK(Read("a: [[1]]\n", limits).codes().empty());
    CHECK(Read("a: [[[1]]]\n", limits).codes() == std::vector<std::string>{"too-deep 1:6"});
    limits = {};
    limits.nodes = 3;
    CHECK(Read("a: 1\n", limits).codes().empty());
    CHECK(Read("a: 1\nb: 2\n", limits).codes() == std::vector<std::string>{"too-many-nodes 2:4"});
    limits = {};
    limits.text = 4;
    CHECK(Read("a: four\n", limits).codes().empty());
    CHECK(Read("a: fiver\n", limits).codes() == std::vector<std::string>{"long-text 1:4"});
    limits = {};
    limits.bytes = 5;
    CHECK(Read("a: 1\n", limits).codes().empty());
    CHECK(Read("a: 12\n", limits).codes() == std::vector<std::string>{"too-large 0:0"});
}

TEST_CASE("tree: thousands of brackets are refused at the limit of depth") {
    // While no bracket is closed, yaml-cpp takes each for the key of a pair: two levels a bracket.
    Read read("a: " + std::string(5000, '[') + "\n");
    CHECK_FALSE(read.root);
    CHECK(read.codes() == std::vector<std::string>{"too-deep 1:20"});
}

TEST_CASE("tree: a hundred thousand brackets are refused before the parser keeps them") {
    Read read("a: " + std::string(100000, '[') + "\n");
    CHECK_FALSE(read.root);
    CHECK(read.codes() == std::vector<std::string>{"too-deep 1:10004"});
}
