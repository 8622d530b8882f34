#include "reading/sentence.hpp"

#include <doctest/doctest.h>

using namespace toprail;

namespace {

// A text that stands at line 3, column 10 of some file.
struct Read {
    explicit Read(std::string text, bool quoted = false)
        : source("s.yaml", "\n\n         " + (quoted ? "\"" + text + "\"" : text) + "\n") {
        node.text = std::move(text);
        node.quoted = quoted;
        node.span = {&source, 3, 10, static_cast<std::uint32_t>(node.text.size())};
        sentence = read_sentence(node, findings);
    }

    Source source;
    Node node;
    Findings findings;
    std::optional<Sentence> sentence;
};

std::vector<std::string> objects(const Sentence& sentence) {
    std::vector<std::string> texts;
    for (const Word& word : sentence.objects) {
        texts.push_back(word.text);
    }
    return texts;
}

void reads_as(const char* text, Verb verb, const char* subject, std::vector<std::string> expected,
              bool negated = false) {
    CAPTURE(text);
    const Read read(text);
    REQUIRE(read.sentence);
    CHECK(read.sentence->verb == verb);
    CHECK(read.sentence->subject.text == subject);
    CHECK(read.sentence->negated == negated);
    CHECK(objects(*read.sentence) == expected);
    CHECK(read.sentence->whole.text == text);
}

}  // namespace

TEST_CASE("sentence: every form") {
    reads_as("gate-open", Verb::holds, "gate-open", {});
    reads_as("not gate-open", Verb::holds, "gate-open", {}, true);
    reads_as("guardrail is none", Verb::is, "guardrail", {"none"});
    reads_as("guardrail is not none", Verb::is_not, "guardrail", {"none"});
    reads_as("guardrail is one of [none, removed]", Verb::is_one_of, "guardrail",
             {"none", "removed"});
    reads_as("guardrail is not one of [none]", Verb::is_not_one_of, "guardrail", {"none"});
    reads_as("height is more than 10 ft", Verb::more_than, "height", {"10 ft"});
    reads_as("height is at least 5 ft 6 in", Verb::at_least, "height", {"5 ft 6 in"});
    reads_as("height is at most width", Verb::at_most, "height", {"width"});
    reads_as("height is less than 3.048 m", Verb::less_than, "height", {"3.048 m"});
    reads_as("height is exactly 0 ft", Verb::exactly, "height", {"0 ft"});
    reads_as("made is before 2000-01-01", Verb::before, "made", {"2000-01-01"});
    reads_as("made is on or before 2000-01-01", Verb::on_or_before, "made", {"2000-01-01"});
    reads_as("made is on or after 2000-01-01", Verb::on_or_after, "made", {"2000-01-01"});
    reads_as("made is after 2000-01-01", Verb::after, "made", {"2000-01-01"});
    reads_as("made is on 2000-01-01", Verb::on_day, "made", {"2000-01-01"});
}

TEST_CASE("sentence: words of every verb read back as that verb") {
    for (const Verb verb : {Verb::is, Verb::is_not, Verb::more_than, Verb::at_least, Verb::at_most,
                            Verb::less_than, Verb::exactly, Verb::before, Verb::on_or_before,
                            Verb::on_or_after, Verb::after, Verb::on_day}) {
        const Read read("a " + std::string(words_of(verb)) + " b");
        REQUIRE(read.sentence);
        CHECK(read.sentence->verb == verb);
    }
}

TEST_CASE("sentence: several spaces are as good as one") {
    reads_as("height  is   more than   10  ft", Verb::more_than, "height", {"10 ft"});
    reads_as("guardrail is one of [ none ,removed ]", Verb::is_one_of, "guardrail",
             {"none", "removed"});
}

TEST_CASE("sentence: every word knows its place") {
    const Read read("guardrail is one of [none, removed]");
    REQUIRE(read.sentence);
    CHECK(read.sentence->subject.span.column == 10);
    CHECK(read.sentence->objects[0].span.column == 31);
    CHECK(read.sentence->objects[1].span.column == 37);
    CHECK(read.sentence->objects[1].span.length == 7);
    const Read quoted("height is more than 10 ft", true);
    REQUIRE(quoted.sentence);
    CHECK(quoted.sentence->subject.span.column == 11);
    CHECK(quoted.sentence->objects[0].span.column == 31);
    CHECK(quoted.sentence->objects[0].span.length == 5);
}

TEST_CASE("sentence: what is refused") {
    for (const char* text :
         {"", "not", "Gate-Open", "gate-open and tied-off", "a or b", "height > 10 ft", "a is",
          "a is more than", "a is b c", "not a is b", "a is one of none", "a is one of [none",
          "a is one of [none,, removed]", "a is one of [two words]", "a = b", "10 ft", "a-"}) {
        CAPTURE(text);
        Read read(text);
        CHECK_FALSE(read.sentence);
        const std::vector<Finding> all = read.findings.take();
        REQUIRE(all.size() == 1);
        CHECK(all.front().code == "bad-sentence");
        CHECK_FALSE(all.front().help.empty());
    }
}

TEST_CASE("name: what is one") {
    for (const char* text : {"a", "gate-open", "class-2", "a92-20", "x1-y2-z3"}) {
        CAPTURE(text);
        CHECK(is_name(text));
    }
    for (const char* text :
         {"", "-a", "a-", "a--b", "A", "2-class", "a_b", "a.b", "a b", "\xC3\xA3"}) {
        CAPTURE(text);
        CHECK_FALSE(is_name(text));
    }
    CHECK(is_name(std::string(80, 'a')));
    CHECK_FALSE(is_name(std::string(81, 'a')));
    CHECK(is_dotted_name("us.federal.construction"));
    CHECK(is_dotted_name("us"));
    for (const char* text : {"", ".", "us.", ".us", "us..federal", "us.Federal"}) {
        CAPTURE(text);
        CHECK_FALSE(is_dotted_name(text));
    }
}
