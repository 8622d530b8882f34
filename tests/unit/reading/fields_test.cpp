// Keys and values of one map: what is taken, and what is said where something else stands.
#include "reading/fields.hpp"

#include <doctest/doctest.h>

#include <functional>

using namespace toprail;

namespace {

using Told = std::vector<std::string>;

// "line:column message > what to do", for each finding.
Told told(const std::string& text, const std::function<void(Fields&)>& read) {
    const Source source("t.yaml", text);
    Findings findings;
    const std::optional<Node> root = read_tree(source, {}, findings);
    REQUIRE(root);
    Fields fields(*root, "a thing", findings);
    read(fields);
    Told all;
    for (const Finding& one : findings.take()) {
        all.push_back(std::to_string(one.place.line) + ":" + std::to_string(one.place.column) +
                      " " + one.message + (one.help.empty() ? "" : " > " + one.help));
    }
    return all;
}

}  // namespace

TEST_CASE("fields: a map is expected, with the keys that it has to have and no others") {
    CHECK(told("[a]\n", [](Fields& fields) { fields.require("name"); }) ==
          Told{"1:1 a thing is a map of keys and values; a list stands here"});
    CHECK(told("a: 1\n", [](Fields& fields) {
              fields.take("a");
              fields.require("name");
          }) == Told{"1:1 a thing has no \"name\""});
    const auto take_two = [](Fields& fields) {
        fields.take("title");
        fields.take("cite");
        fields.take("cite");
        fields.finish();
    };
    CHECK(told("title: 1\ncite: 2\n", take_two).empty());
    CHECK(told("titel: 1\nq: 2\n", take_two) ==
          Told{"1:1 \"titel\" is not a key of a thing > did you mean title?",
               "2:1 \"q\" is not a key of a thing > its keys are cite or title"});
}

TEST_CASE("fields: texts, maps and lists are told apart") {
    CHECK(told("a: [1]\nb: 1\nc: {d: 1}\n",
               [](Fields& fields) {
                   CHECK(fields.text("a").empty());
                   CHECK(fields.map("b") == nullptr);
                   CHECK(fields.list("c") == nullptr);
               }) == Told{"1:4 \"a\" takes a text; a list stands here",
                          "2:4 \"b\" takes a map; a text stands here",
                          "3:4 \"c\" takes a list; a map stands here"});
    CHECK(told("a: 1\nb: {c: 1}\nd: [1]\n", [](Fields& fields) {
              CHECK(fields.text("a") == "1");
              CHECK(fields.map("b") != nullptr);
              CHECK(fields.list("d") != nullptr);
              CHECK(fields.text("e").empty());
          }).empty());
    CHECK(told("x: 1\na:\n", [](Fields& fields) { fields.require_text("a"); }) ==
          Told{"2:1 \"a\" is empty > write its text behind the colon; a text that begins with # "
               "needs quotes"});
}

TEST_CASE("fields: a text of blanks alone is empty") {
    const auto require = [](Fields& fields) { fields.require_text("a"); };
    for (const char* blanks : {" ", "\t", "\\t", "\\n", "\\u00A0", "\\u2007", "\\u202F", "\\u3000",
                               "\\u2003 \\u205F\\u1680", "\u00A0"}) {
        CAPTURE(blanks);
        const Told all = told("x: 1\na: \"" + std::string(blanks) + "\"\n", require);
        REQUIRE(all.size() == 1);
        CHECK(all[0].starts_with("2:1 \"a\" is empty > "));
    }
    CHECK(told("a: \"\u00A0.\"\n", require).empty());
    CHECK(told("a: \"\u30A2\"\n", require).empty());
}

TEST_CASE("fields: yes and no are said without quotes") {
    CHECK(told("a: yes\nb: no\n", [](Fields& fields) {
              CHECK(fields.flag("a"));
              CHECK_FALSE(fields.flag("b"));
              CHECK_FALSE(fields.flag("c"));
          }).empty());
    for (const char* value : {"\"yes\"", "true", "[yes]", "'no'"}) {
        CAPTURE(value);
        CHECK(told("a: " + std::string(value) + "\n", [](Fields& fields) {
                  CHECK_FALSE(fields.flag("a"));
              }) == Told{"1:4 \"a\" takes yes or no > write yes or no, without quotes"});
    }
}

TEST_CASE("fields: lists of words, and one of several words") {
    const auto words_of_a = [](Told& words) {
        return [&words](Fields& fields) {
            for (const Word& word : fields.words("a")) {
                words.push_back(word.text);
            }
        };
    };
    Told words;
    CHECK(told("a: [x, {y: 1}, z]\n", words_of_a(words)) ==
          Told{"1:8 a text is expected in this list"});
    CHECK(told("a: alone\n", words_of_a(words)).empty());
    CHECK(told("b: 1\n", words_of_a(words)).empty());
    CHECK(words == Told{"x", "z", "alone"});
    CHECK(told("a: []\n", words_of_a(words)) ==
          Told{"1:4 \"a\" takes a list with at least one entry"});
    CHECK(told("a: {x: 1}\n", words_of_a(words)) ==
          Told{"1:4 \"a\" takes a list with at least one entry"});
    CHECK(words.size() == 3);
    const auto one_of = [](Fields& fields) {
        CHECK_FALSE(fields.require_one_of("a", {"boom", "mast", "scissor"}));
    };
    CHECK(told("b: 1\n", one_of) ==
          Told{"1:1 a thing has no \"a\" > write a: with boom, mast or scissor"});
    CHECK(told("a: crane\n", one_of) ==
          Told{"1:4 \"crane\" cannot stand under \"a\" > it takes boom, mast or scissor"});
    CHECK(told("a: [boom]\n", one_of) ==
          Told{"1:4 \"a\" takes one word > it takes boom, mast or scissor"});
    CHECK(told("a: mast\n", [](Fields& fields) {
              CHECK(fields.require_one_of("a", {"boom", "mast"}) == std::size_t{1});
          }).empty());
}

TEST_CASE("fields: days, with the way to write one that is written otherwise") {
    const auto date = [](const std::string& text) {
        return told("a: " + text + "\n", [](Fields& fields) { CHECK_FALSE(fields.date("a")); });
    };
    const std::string existing = "write an existing day as year-month-day, such as 2024-06-01";
    CHECK(date("[1]") == Told{"1:4 a day is expected here > " + existing});
    for (const char* text : {"6/1/2024", "2024-06-31", "2024", "June 1 2024", "2024-06",
                             "202406011", "24-06-01", "2024-6-1-1"}) {
        CAPTURE(text);
        CHECK(date(text) == Told{"1:4 \"" + std::string(text) + "\" is not a day > " + existing});
    }
    for (const char* text : {"2024/06/01", "2024.6.1", "20240601", "2024-6-1", "2024/6/01"}) {
        CAPTURE(text);
        CHECK(date(text) ==
              Told{"1:4 \"" + std::string(text) + "\" is not a day > write 2024-06-01"});
    }
}

TEST_CASE("fields: figures, with what is wrong with them") {
    const auto figure = [](const std::string& text) {
        return told("a: " + text + "\n", [](Fields& fields) { CHECK_FALSE(fields.figure("a")); });
    };
    CHECK(figure("[1]") == Told{"1:4 a figure is expected here"});
    CHECK(figure("ten") == Told{"1:4 \"ten\" is not a figure > write a number and a unit, such as "
                                "10 ft"});
    CHECK(figure("10 feet") == Told{"1:4 \"feet\" is not a unit > write ft"});
    CHECK(figure("10 qq") ==
          Told{"1:4 \"qq\" is not a unit > units are in ft yd mm cm m km, lb kg g, lbf N kN, s min "
               "h day, ft/s ft/min m/s mph km/h, deg"});
    CHECK(figure("5 ft 6 lb") == Told{"1:4 \"5 ft 6 lb\" mixes units of different kinds"});
}
