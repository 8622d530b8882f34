// Whether two shelves decide alike, word for word: edits that count, one part of a pack at a time,
// and edits that do not.
#include "shelf/sameness.hpp"
#include "support/small_shelf.hpp"

#include <doctest/doctest.h>

namespace toprail::test {
namespace {

// Every kind of effect, of expression and of test stands in these two packs.
const std::string lender = R"(provisions:
  - {id: lent, cite: Rule 1, source: read, gist: Lent., where: gate-open, duty: vest, calls-for: required}
)";

const std::string whole = R"(adopts: {rulepack: test.lender, cite: Rule 9, source: read}
what-was-read: [the whole of it]
what-is-open: [nothing]
conditions:
  high: {reads: it is high, is: height is more than 10 ft}
  idle: {reads: nobody asks, is: width is more than 9 ft}
quantities:
  span:
    kind: length
    unit: ft
    reads: the span
    cite: Rule 2
    source: inference
    pieces:
      - {where: gate-open, equals: "6 ft"}
      - {where: high, equals: width * 2 + depth}
  slope: {kind: ratio, reads: the slope, equals: height / width}
provisions:
  - {id: first, cite: Rule 3, also-cite: [Letter A], source: read-part, source-note: seen, gist: First., where: {any-of: [high, "mechanism is one of [boom, mast]"]}, duty: tie-off, calls-for: required, in-force: {from: 2001-01-01, until: 2029-12-31}}
  - {id: second, cite: Rule 4, source: read, gist: Second., where: {none-of: [made-on is before 2010-01-01]}, relaxes: [first], terms: mind the gap, terms-met-by: tied-off}
  - {id: third, cite: Rule 5, source: read, gist: Third., where: slope is at least 2, choice: means, bars: [arrest]}
  - {id: fourth, cite: Rule 6, source: read, gist: Fourth., where: persons is more than 1, limit: reach, at-most: span}
  - {id: fifth, cite: Rule 7, source: read, gist: Fifth., limit: weight, at-least: 100 lb, displaces: [third]}
  - {id: sixth, cite: Rule 8, source: read, gist: Sixth., where: reach is more than span, governs: test.lender}
)";

std::string replaced(std::string text, std::string_view from, std::string_view to) {
    const std::size_t at = text.find(from);
    REQUIRE_MESSAGE(at != std::string::npos, from);
    return text.replace(at, from.size(), to);
}

Shelf shelf_with(const std::string& pack, const std::string& vocabulary = small_vocabulary().text) {
    return shelf_of({{"vocabulary.yaml", vocabulary},
                     small_pack(lender, "test.lender"),
                     {"test.pack.yaml", pack}});
}

std::string pack_text() {
    return small_pack(whole).text;
}

bool alike_after(std::string_view from, std::string_view to) {
    return decide_alike(shelf_with(pack_text()).data(),
                        shelf_with(replaced(pack_text(), from, to)).data());
}

bool alike_after_words(std::string_view from, std::string_view to) {
    const std::string vocabulary = replaced(small_vocabulary().text, from, to);
    return decide_alike(shelf_with(pack_text()).data(), shelf_with(pack_text(), vocabulary).data());
}

TEST_CASE("sameness: every part of a pack that a decision tells or rests on counts") {
    for (const auto& row : std::vector<std::pair<const char*, const char*>>{
             {"title: Rules of", "title: Other rules of"},
             {"cite: Rule 9", "cite: Rule 10"},
             {"{rulepack: test.lender, cite", "{rulepack: test.lender, where: roofed, cite"},
             {"the whole of it", "half of it"},
             {"[nothing]", "[something]"},
             {"reads: it is high", "reads: it is very high"},
             {"equals: \"6 ft\"", "equals: \"7 ft\""},
             {"{where: gate-open, equals", "{where: not gate-open, equals"},
             {"where: gate-open, equals: \"6 ft\"", "equals: \"6 ft\""},
             {"width * 2 + depth", "width * 2 - depth"},
             {"width * 2 + depth", "width * 2 + height"},
             {"reads: the span", "reads: a span"},
             {"cite: Rule 2", "cite: Rule 3"},
             {"source: inference", "source: read"},
             {"height / width", "width / height"},
             {"[Letter A]", "[Letter B]"},
             {"source-note: seen", "source-note: unseen"},
             {"[boom, mast]", "[boom, scissor]"},
             {"{any-of: [high", "{all-of: [high"},
             {"from: 2001-01-01", "from: 2001-01-02"},
             {"until: 2029-12-31", "until: 2029-12-30"},
             {"made-on is before", "made-on is on or before"},
             {"before 2010-01-01", "before 2010-01-02"},
             {"mind the gap", "mind the step"},
             {", terms-met-by: tied-off", ""},
             {"terms-met-by: tied-off", "terms-met-by: roofed"},
             {"bars: [arrest]", "bars: [restraint]"},
             {"at-most: span", "at-most: 5 ft"},
             {"at-most: span", "at-least: span"},
             {"at-least: 100 lb", "at-least: 101 lb"},
             {", displaces: [third]", ""},
             {"reach is more than span", "reach is at least span"},
             {"reach is more than span", "reach is more than 9 ft"},
             {"governs: test.lender", "governs: test.pack"}}) {
        const std::string from = row.first;
        const std::string to = row.second;
        CAPTURE(from);
        CAPTURE(to);
        CHECK_FALSE(alike_after(from, to));
    }
}

TEST_CASE("sameness: every word of the vocabulary that a decision tells counts") {
    for (const auto& row : std::vector<std::pair<const char*, const char*>>{
             {"rank: 4", "rank: 3"},
             {"reads: the height", "reads: height"},
             {"How high?", "How high up?"},
             {"to: 500 ft", "to: 501 ft"},
             {"{type: length, unit: ft, from: 0 ft, to: 500 ft",
              "{type: length, unit: ft, to: 500 ft"},
             {"values: [boom, scissor, mast]", "values: [boom, mast, scissor]"},
             {"plan: yes, reads: the person", "reads: the person"},
             {"may-not-apply: yes, reads: there is a roof", "reads: there is a roof"},
             {"Must a vest be worn?", "Vest?"},
             {", met-by: tied-off", ""},
             {"reads: the reach", "reads: reach"},
             {"height + width", "width + height + 0 ft"}}) {
        const std::string from = row.first;
        const std::string to = row.second;
        CAPTURE(from);
        CAPTURE(to);
        CHECK_FALSE(alike_after_words(from, to));
    }
}

TEST_CASE("sameness: what is told nowhere and decides nothing does not count") {
    CHECK(alike_after("title", "title"));
    CHECK(alike_after("reads: nobody asks", "reads: somebody asks"));
    CHECK(alike_after("is: width is more than 9 ft", "is: width is more than 8 ft"));
    CHECK(alike_after("height is more than 10 ft", "height is more than 120 in"));
    CHECK(alike_after("equals: \"6 ft\"", "equals: \"72 in\""));
    CHECK(alike_after("[boom, mast]", "[mast, boom]"));
}

}  // namespace
}  // namespace toprail::test
