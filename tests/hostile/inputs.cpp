// Entry points: inputs, read.
#include "hostile/inputs.hpp"

#include "support/small_shelf.hpp"
#ifdef TOPRAIL_RECEIPTS
#include "toprail/receipt.hpp"
#endif
#include "toprail/telling.hpp"

#include <algorithm>

namespace hostile {

std::size_t file_size = std::size_t{1} << 20U;

namespace {

using namespace toprail;

std::string repeated(std::string_view piece, std::size_t count) {
    std::string text;
    text.reserve(piece.size() * count);
    for (std::size_t i = 0; i < count; ++i) {
        text += piece;
    }
    return text;
}

// `piece` with every # replaced by the number of the repetition.
std::string numbered(std::string_view piece, std::size_t count) {
    std::string text;
    for (std::size_t i = 0; i < count; ++i) {
        const std::string number = std::to_string(i);
        for (const char c : piece) {
            c == '#' ? text += number : text += c;
        }
    }
    return text;
}

std::string pack(std::string_view body) {
    return test::small_pack(body).text;
}

std::string provisions(std::string_view body) {
    return pack("provisions:\n" + std::string(body));
}

// One provision, with whatever stands in its `where`.
std::string where(const std::string& condition) {
    return provisions("  - {id: a, cite: Rule 1, source: read, gist: Gist., duty: tie-off, "
                      "calls-for: required, where: " +
                      condition + "}\n");
}

std::string nested(std::string_view open, std::string_view inner, std::string_view close,
                   std::size_t depth) {
    return repeated(open, depth) + std::string(inner) + repeated(close, depth);
}

// Every link doubles the digits of the one before.
std::string squares(std::size_t links) {
    return pack("quantities:\n  q0: {kind: ratio, reads: q, equals: 1.000000001 * persons}\n" +
                [links] {
                    std::string text;
                    for (std::size_t i = 1; i <= links; ++i) {
                        const std::string before = "q" + std::to_string(i - 1);
                        text += "  q" + std::to_string(i) +
                                ": {kind: ratio, reads: q, equals: " + before + " * " + before +
                                "}\n";
                    }
                    return text;
                }() +
                "provisions:\n  - {id: a, cite: Rule 1, source: read, gist: Gist., duty: "
                "tie-off, calls-for: required, where: q" +
                std::to_string(links) + " is more than 5}\n");
}

// Layers of conditions, each of which names those of the next over and over.
std::string layers(std::size_t count) {
    std::string text = "conditions:\n";
    for (std::size_t i = 0; i < count; ++i) {
        const std::string next = "c" + std::to_string(i + 1);
        std::string parts;
        for (const char* each : {"a", "b", "d", "e", "f", "g", "h", "i", "j", "k"}) {
            text += "  " + next + each + ": {reads: r, any-of: [" + next + ", gate-open]}\n";
            parts += (parts.empty() ? "" : ", ") + next + each;
        }
        text += "  c" + std::to_string(i) + ": {reads: r, all-of: [" + parts + "]}\n";
    }
    text += "  c" + std::to_string(count) + ": {reads: r, is: roofed}\n";
    return pack(text + "provisions:\n  - {id: a, cite: Rule 1, source: read, gist: Gist., duty: "
                       "tie-off, calls-for: required, where: c0}\n");
}

// Every link hangs on the next.
std::string chain(std::string_view heading, std::string_view link, std::string_view last,
                  std::size_t links, std::string_view condition) {
    std::string text(heading);
    for (std::size_t i = 0; i < links; ++i) {
        for (const char c : link) {
            if (c == '#' || c == '@') {
                text += std::to_string(c == '#' ? i : i + 1);
            } else {
                text += c;
            }
        }
    }
    return pack(text + "  x" + std::to_string(links) + std::string(last) +
                "provisions:\n  - {id: a, cite: Rule 1, source: read, gist: Gist., duty: tie-off, "
                "calls-for: required, where: " +
                std::string(condition) + "}\n");
}

std::vector<Input> made() {
    return {
        {"lists in each other, on one line", Kind::pack, [] { return repeated("[", file_size); },
         "too-deep"},
        {"maps in each other, on one line", Kind::pack,
         [] { return repeated("{a: ", file_size / 4); }, "too-deep"},
        {"lists in each other, by hyphens", Kind::pack,
         [] { return repeated("- ", file_size / 2); }, "too-deep"},
        {"keys that are keys, by question marks", Kind::pack,
         [] { return repeated("? ", file_size / 2); }, "too-deep"},
        {"conditions in each other", Kind::pack,
         [] { return where(nested("{none-of: [", "gate-open", "]}", 40)); }, "too-deep"},
        {"one word as long as the file", Kind::facts,
         [] { return "site: " + repeated("a", file_size - 100) + "\n"; }, "long-text"},
        {"one quoted text as long as the file", Kind::facts,
         [] { return "site: \"" + repeated("a ", file_size / 2 - 100) + "\"\n"; }, "long-text"},
        {"one block of text as long as the file", Kind::facts,
         [] { return "site: |\n" + repeated("  a\n", file_size / 4 - 100); }, "long-text"},
        {"a quote that nobody closes", Kind::facts,
         [] { return "site: \"" + repeated("a\n", file_size / 2 - 100); }, "not-yaml"},
        {"a key as long as a file", Kind::facts,
         [] { return repeated("k", file_size - 100) + ": a\n"; }, "not-yaml"},
        {"a byte more than a file may have", Kind::facts,
         [] { return repeated("#", Limits{}.bytes + 1); }, "too-large"},
        {"nothing but a comment", Kind::facts, [] { return repeated("#", file_size); }, "not-yaml"},
        {"nothing but line ends", Kind::facts, [] { return repeated("\n", file_size); },
         "not-yaml"},
        {"a million entries of a list", Kind::pack,
         [] { return "[" + repeated("a,", 1'000'001) + "]"; }, "too-many-nodes"},
        {"nothing but commas", Kind::pack, [] { return "[" + repeated(",", file_size); },
         "too-many-nodes"},
        {"brackets that open on lines of their own", Kind::pack,
         [] { return repeated("[\n", file_size / 2); }, "too-deep"},
        {"a million keys", Kind::facts, [] { return "facts:\n" + numbered("  k#: v\n", 600'000); },
         "too-many-nodes"},
        {"as many facts as there may be keys, all on one line", Kind::facts,
         [] { return "facts: {" + numbered("k#: v,", 490'000) + "}\n"; }, "unknown-fact"},
        {"one key over and over", Kind::facts,
         [] { return "facts:\n" + numbered("  k#: v\n  k: v\n", 240'000); }, "duplicate-key"},
        {"as many cases as there may be", Kind::facts,
         [] { return "cases:\n" + numbered("  - {case: c#, facts: {}}\n", 1'000); }, ""},
        {"more cases than there may be", Kind::facts,
         [] { return "cases:\n" + numbered("  - {case: c#, facts: {}}\n", 150'000); },
         "too-many-cases"},
        {"cases of one name", Kind::facts,
         [] { return "cases:\n" + repeated("  - {case: c, facts: {}}\n", 1'000); }, "name-taken"},
        {"aliases of aliases", Kind::pack,
         [] {
             std::string text = "a0: &a0 [x, x, x, x, x, x, x, x, x]\n";
             for (int i = 1; i < 30; ++i) {
                 const std::string before = ", *a" + std::to_string(i - 1);
                 text += "a" + std::to_string(i) + ": &a" + std::to_string(i) + " [x" +
                         repeated(before, 9) + "]\n";
             }
             return text;
         },
         "alias"},
        {"an alias of what it stands in", Kind::pack, [] { return std::string("a: &a [*a]\n"); },
         "alias"},
        {"anchors everywhere", Kind::pack, [] { return "[" + numbered("&a# x,", 200'000) + "]"; },
         "anchor"},
        {"tags everywhere", Kind::pack, [] { return "[" + repeated("!!int 1,", 200'000) + "]"; },
         "tag"},
        {"documents without end", Kind::facts,
         [] { return "site: a\n" + repeated("---\na: b\n", 1'000'000); }, "several-documents"},
        {"directives without end", Kind::pack,
         [] { return numbered("%TAG !a#! tag:a#\n", 300'000) + "--- a\n"; }, ""},
        {"bytes that are not UTF-8", Kind::facts, [] { return std::string("site: \xC0\xAF\n"); },
         "not-utf8"},
        {"half of a surrogate", Kind::facts, [] { return std::string("site: \xED\xA0\x80\n"); },
         "not-utf8"},
        {"a character beyond the last", Kind::facts,
         [] { return std::string("site: \xF4\x90\x80\x80\n"); }, "not-utf8"},
        {"a NUL byte", Kind::facts, [] { return std::string("site: a\0b\n", 10); },
         "control-character"},
        {"a NUL by its escape", Kind::facts, [] { return std::string("site: \"a\\0b\"\n"); },
         "control-character"},
        {"a terminal's escape by its escape", Kind::pack,
         [] { return pack("provisions: []\nx: \"\\e[2J\"\n"); }, "control-character"},
        {"a turned direction by its escape", Kind::facts,
         [] { return std::string("site: \"\\u202E.ton\"\n"); }, "control-character"},
        {"tens of thousands of unknown names", Kind::pack,
         [] {
             return pack("conditions:\n" +
                         numbered("  c#: {reads: r, is: no-such-name-#}\n", 60'000) +
                         "provisions: []\n");
         },
         "unknown-name"},
        {"tens of thousands of unknown keys", Kind::pack,
         [] { return pack(numbered("key-#: a\n", 200'000)); }, "unknown-key"},
        {"ten thousand provisions that displace each other in a circle", Kind::pack,
         [] {
             std::string text;
             for (int i = 0; i < 10'000; ++i) {
                 text += "  - {id: p" + std::to_string(i) +
                         ", cite: R, source: read, gist: G., duty: tie-off, calls-for: required, "
                         "displaces: [p" +
                         std::to_string((i + 1) % 10'000) + "]}\n";
             }
             return provisions(text);
         },
         "displacement-circle"},
        {"a sentence of ten thousand words", Kind::pack,
         [] { return where("\"height is more than " + repeated("1 ", 9'000) + "\""); },
         "unknown-unit"},
        {"brackets in each other, in a formula", Kind::pack,
         [] {
             return pack("quantities:\n  q: {kind: length, unit: ft, reads: q, equals: \"" +
                         nested("(", "height", ")", 5'000) + "\"}\nprovisions: []\n");
         },
         "bad-formula"},
        {"a formula of thousands of parts", Kind::pack,
         [] {
             return pack("quantities:\n  q: {kind: length, unit: ft, reads: q, equals: \"height" +
                         repeated(" + height", 2'000) + "\"}\nprovisions: []\n");
         },
         "bad-formula"},
        {"a figure of thousands of digits", Kind::pack,
         [] { return where("height is more than " + repeated("9", 10'000) + " ft"); },
         "bad-figure"},
        {"a figure of thousands of parts", Kind::pack,
         [] { return where("height is more than" + repeated(" 1 ft 1 in", 1'900)); }, "bad-figure"},
        {"layers of conditions that name the next ten times", Kind::pack, [] { return layers(60); },
         ""},
        {"a chain of conditions", Kind::pack,
         [] {
             return chain("conditions:\n", "  x#: {reads: r, is: x@}\n",
                          ": {reads: r, is: gate-open}\n", 60'000, "x0");
         },
         ""},
        {"a chain of quantities", Kind::pack,
         [] {
             return chain("quantities:\n",
                          "  x#: {kind: length, unit: ft, reads: r, equals: x@ + 1 in}\n",
                          ": {kind: length, unit: ft, reads: r, equals: height}\n", 40'000,
                          "x0 is more than 10 ft");
         },
         ""},
        {"pairs of facts at odds over quantities that each rest on one more fact", Kind::pack,
         [] {
             std::string text = "vocabulary: large\ntitle: T\nfacts:\n";
             text += numbered("  f#: {type: length, unit: ft, from: 0 ft, reads: r, ask: a, why: "
                              "w}\n",
                              3'000);
             text += "quantities:\n  q0: {kind: length, unit: ft, reads: r, equals: f0}\n";
             for (int i = 1; i < 3'000; ++i) {
                 text += "  q" + std::to_string(i) +
                         ": {kind: length, unit: ft, reads: r, equals: q" + std::to_string(i - 1) +
                         " + f" + std::to_string(i) + "}\n";
             }
             return text + "at-odds:\n" +
                    numbered(
                        "  o#: {says: s, where: {any-of: [q2999 is more than #.5 ft, height is "
                        "more than 1 ft]}}\n",
                        20'000);
         },
         ""},
        {"a circle of conditions", Kind::pack,
         [] {
             return chain("conditions:\n", "  x#: {reads: r, is: x@}\n", ": {reads: r, is: x0}\n",
                          40'000, "x0");
         },
         "circle"},
        {"ten thousand bounds on one fact that is not known", Kind::pack,
         [] {
             return provisions(
                 numbered("  - {id: p#, cite: R, source: read, gist: G., duty: tie-off, calls-for: "
                          "required, where: height is exactly 0.# ft}\n",
                          10'000));
         },
         ""},
        {"ten thousand provisions over every fact that is not known", Kind::pack,
         [] {
             return provisions(
                 numbered("  - {id: p#, cite: R, source: read, gist: G., duty: tie-off, calls-for: "
                          "required, where: {all-of: [height is more than 0.# ft, width is at most "
                          "7.# ft, mechanism is boom, depth is more than 1# mm]}}\n",
                          10'000));
         },
         ""},
        {"quantities that square each other", Kind::pack, [] { return squares(60); }, ""},
    };
}

}  // namespace

const std::vector<Input>& inputs() {
    static const std::vector<Input> all = made();
    return all;
}

std::vector<toprail::Finding> read(const Input& input, const std::string& text,
                                   const toprail::Limits& limits) {
    static const Shelf shelf = test::small_shelf(test::requires_tie_off("a", "gate-open"));
    const Date on = test::day("2024-06-01");
    if (input.kind == Kind::facts) {
        FactsFile file = read_facts(text, "facts.yaml", limits);
        if (has_error(file.findings)) {
            return std::move(file.findings);
        }
        // Deciding the others costs as much again for each, and is the host's to bound.
        constexpr std::size_t most_cases = 100;
        for (std::size_t i = 0; i < std::min(most_cases, file.cases.size()); ++i) {
            Answer answer = shelf.decide(file.cases[i].facts, on);
            if (!answer.decision) {
                return std::move(answer.findings);
            }
        }
        return {};
    }
    LoadOptions how;
    how.limits = limits;
    how.for_deciding = false;  // some hold no rulepack, and are asked for other findings
    LoadedShelf loaded = load_shelf({test::small_vocabulary(), {"pack.yaml", text, true}}, how);
    if (loaded.shelf) {
        const Answer answer =
            loaded.shelf->decide(test::facts_of({{"persons", "3"}, {"height", "12 ft"}}), on);
        (void)tell_text(*answer.decision, "case", {}, Length::everything);
        return {};
    }
    return std::move(loaded.findings);
}

bool look_longer(const std::string& text) {
    LoadOptions how;
    how.for_deciding = false;
    const LoadedShelf loaded =
        load_shelf({test::small_vocabulary(), {"pack.yaml", text, true}}, how);
    if (loaded.shelf) {
        (void)lint_shelf(*loaded.shelf);
#ifdef TOPRAIL_RECEIPTS
        (void)ReceiptMaker(*loaded.shelf)
            .make(test::facts_of({{"persons", "3"}, {"height", "12 ft"}}), test::day("2024-06-01"));
#endif
    }
    return loaded.shelf.has_value();
}

}  // namespace hostile
