#include "findings/collector.hpp"
#include "findings/text.hpp"

#include <doctest/doctest.h>

using namespace toprail;

TEST_CASE("text: characters, not bytes") {
    CHECK(count_characters("") == 0);
    CHECK(count_characters("tie-off") == 7);
    CHECK(count_characters("n\xC3\xA3o") == 3);
    CHECK(count_characters("\xF0\x9F\xAA\x9C") == 1);
}

TEST_CASE("text: bytes that are no UTF-8") {
    CHECK_FALSE(first_invalid_utf8("plain"));
    CHECK_FALSE(first_invalid_utf8("\xC3\xA3 \xE2\x82\xAC \xF0\x9F\xAA\x9C"));
    CHECK(first_invalid_utf8("ab\xFF") == 2);
    CHECK(first_invalid_utf8("\xC0\xAF") == 0);          // overlong slash
    CHECK(first_invalid_utf8("a\xED\xA0\x80") == 1);     // a surrogate
    CHECK(first_invalid_utf8("\xF4\x90\x80\x80") == 0);  // past the last code point
    CHECK(first_invalid_utf8("\xE2\x82") == 0);          // cut off
    CHECK(first_invalid_utf8("\x80") == 0);
    CHECK(first_invalid_utf8("\xE0\x9F\xBF") == 0);  // overlong
    CHECK(first_invalid_utf8("\xF0\x8F\xBF\xBF") == 0);
    CHECK(first_invalid_utf8("\xC3z") == 0);  // no continuation
    CHECK(first_invalid_utf8("\xC3") == 0);
    CHECK(first_invalid_utf8("\xF0\x9F\xAAz") == 0);
    CHECK_FALSE(first_invalid_utf8("\xE0\xA0\x80\xED\x9F\xBF\xF0\x90\x80\x80\xF4\x8F\xBF\xBF"));
    CHECK(shown("a\xFF\xC3z") == "a<FF><C3>z");
}

// Each range at its ends, and one past them.
TEST_CASE("text: what hides is what hides, and its neighbours do not") {
    const std::pair<char32_t, char32_t> ranges[] = {
        {0x00, 0x08},       {0x0B, 0x0C},       {0x0E, 0x1F},      {0x7F, 0x9F},
        {0x00AD, 0x00AD},   {0x034F, 0x034F},   {0x061C, 0x061C},  {0x115F, 0x1160},
        {0x17B4, 0x17B5},   {0x180B, 0x180F},   {0x200B, 0x200F},  {0x2028, 0x202E},
        {0x2060, 0x206F},   {0x2800, 0x2800},   {0x3164, 0x3164},  {0xFE00, 0xFE0F},
        {0xFEFF, 0xFEFF},   {0xFFA0, 0xFFA0},   {0xFFF0, 0xFFFB},  {0x13430, 0x1343F},
        {0x1BCA0, 0x1BCA3}, {0x1D173, 0x1D17A}, {0xE0000, 0xE0FFF}};
    for (const auto& [first, last] : ranges) {
        const auto from = static_cast<unsigned>(first);
        CAPTURE(from);
        CHECK(hides_text(first));
        CHECK(hides_text(last));
        CHECK((first == 0 || !hides_text(first - 1)));
        CHECK_FALSE(hides_text(last + 1));
    }
}

TEST_CASE("text: what hides or turns text is shown as its code point") {
    CHECK(shown("a\xE2\x80\xAE"
                "b") == "a<U+202E>b");
    CHECK(shown("a\x1b[31m") == "a<U+001B>[31m");
    CHECK(shown("zero\xE2\x80\x8Bwidth") == "zero<U+200B>width");
    CHECK(shown("a\rb") == "a<U+000D>b");
    CHECK(shown("tab\tand n\xC3\xA3o stay") == "tab\tand n\xC3\xA3o stay");
    CHECK(hides_text(0xFEFF));
    CHECK_FALSE(hides_text(U'\t'));
}

TEST_CASE("text: cut at whole characters") {
    CHECK(shorten("short", 10) == "short");
    CHECK(shorten("abcdef", 3) == "abc");
    CHECK(shorten("ab\xE2\x82\xAC", 4) == "ab");
    CHECK(shorten("\xE2\x82\xAC", 2) == "");
}

TEST_CASE("text: edit distance counts a swap of neighbours once") {
    CHECK(edit_distance("", "") == 0);
    CHECK(edit_distance("tie-off", "tie-off") == 0);
    CHECK(edit_distance("height", "hieght") == 1);
    CHECK(edit_distance("gate", "gates") == 1);
    CHECK(edit_distance("gate", "") == 4);
    CHECK(edit_distance("arrest", "restraint") == edit_distance("restraint", "arrest"));
}

TEST_CASE("text: the nearest name, or none") {
    const std::vector<std::string> names{"platform-height", "guardrail", "gate-open"};
    CHECK(nearest("platform-hight", names) == "platform-height");
    CHECK(nearest("platfrom-height", names) == "platform-height");
    CHECK(nearest("gate-opened", names) == "gate-open");
    CHECK(nearest("weather", names).empty());
    CHECK(nearest("xy", names).empty());
    const std::string endless(101, 'a');
    CHECK(nearest(endless, names).empty());
    CHECK(nearest("aaa", {endless, "aab"}) == "aab");
    CHECK(nearest("", {}).empty());
    CHECK(nearest(std::string(101, 'a'), {std::string(101, 'a')}).empty());
}

TEST_CASE("text: a list with or") {
    CHECK(list_or({}).empty());
    CHECK(list_or({"a"}) == "a");
    CHECK(list_or({"a", "b"}) == "a or b");
    CHECK(list_or({"a", "b", "c"}) == "a, b or c");
}

TEST_CASE("text: on one line every kind of space is a plain one") {
    CHECK(shown_on_one_line("a\tb\nc\xC2\xA0"
                            "d\xE2\x80\x89"
                            "e\xE3\x80\x80"
                            "f") == "a b c d e f");
    for (const char32_t c :
         {U'\u00A0', U'\u1680', U'\u2000', U'\u200A', U'\u202F', U'\u205F', U'\u3000'}) {
        CHECK(odd_space(c));
    }
    for (const char32_t c : {U' ', U'\u009F', U'\u1FFF', U'\u200B', U'\u2030', U'\u3001'}) {
        CHECK_FALSE(odd_space(c));
    }
}
