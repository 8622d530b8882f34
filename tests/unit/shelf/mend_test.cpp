// Mending: what it changes, what it leaves, and that no decision changes with it.
#include "shelf/sameness.hpp"
#include "shelf/shelf_data.hpp"
#include "support/shelves.hpp"
#include "toprail/mending.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <fstream>
#include <iterator>

using namespace toprail;
using namespace toprail::test;

namespace {

constexpr std::string_view vocabulary = R"(vocabulary: lifts
title: Words
standings:
  regulation: {rank: 2, may: [require, relax, limit, explain]}
facts:
  gate-open: {type: yes-no, reads: the gate is open, ask: Is it so, why: All}
  platform-height:
    {type: length, unit: ft, from: 0 ft, to: 500 ft, reads: the height, ask: How much, why: All}
duties:
  tie-off: {asks: Is it required, reads: tie-off}
)";

// A pack in which the platform is raised above `figure`, with further lines among its conditions.
std::string pack_with(const std::string& figure, const std::string& conditions) {
    return R"(rulepack: example.authority
title: Rules
format: 1
standing: regulation
vocabulary: lifts
edition: {from: 2020-01-01, verified-through: 2024-12-31, picked-by: work-date}
conditions:
  raised:
    reads: the platform is raised
    is: platform-height is more than )" +
           figure + "\n" + conditions + R"(provisions:
  - id: raised-tie-off
    cite: Rule 1
    source: read
    where: raised
    gist: Tie off.
    duty: tie-off
    calls-for: required
)";
}

const std::string untidy = pack_with("010 ft", R"(  # what nobody asks
  left-over:
    reads: the gate is open high up
    all-of:
      - open-gate

      - raised
  # what only that one asks
  open-gate: {reads: the gate is open, is: gate-open}
  # and this stays
)");

const std::string tidy = pack_with("10 ft", R"(  # what nobody asks
  # what only that one asks
  # and this stays
)");

std::vector<SourceText> shelf_texts(std::string_view pack) {
    return {{"lifts.yaml", std::string(vocabulary)}, {"pack.yaml", std::string(pack)}};
}

MendOptions pack_alone() {
    MendOptions options;
    options.may_change = [](const std::string& file) { return file == "pack.yaml"; };
    return options;
}

Mending mended(std::string_view pack) {
    return mend(shelf_texts(pack), pack_alone());
}

std::string with(std::string_view from, std::string_view to) {
    std::string text(tidy);
    const std::size_t at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

bool alike(std::string_view a, std::string_view b) {
    return decide_alike(shelf_of(shelf_texts(a)).data(), shelf_of(shelf_texts(b)).data());
}

}  // namespace

TEST_CASE(
    "mend: conditions without use go, one after the other, and misread numbers are rewritten") {
    const Mending mending = mended(untidy);
    CHECK_MESSAGE(mending.findings.empty(), told(mending.findings));
    REQUIRE(mending.texts.size() == 1);
    CHECK(mending.texts[0].name == "pack.yaml");
    CHECK(mending.texts[0].text == tidy);
    REQUIRE(mending.parts.size() == 3);
    CHECK(mending.parts[0].says == "010 is now 10");
    CHECK(mending.parts[0].line == 10);
    CHECK(mending.parts[0].removed ==
          std::vector<std::string>{"    is: platform-height is more than 010 ft"});
    CHECK(mending.parts[0].added ==
          std::vector<std::string>{"    is: platform-height is more than 10 ft"});
    CHECK(mending.parts[1].says == "took out the condition \"left-over\", which decides nothing");
    CHECK(mending.parts[1].line == 12);
    CHECK(mending.parts[1].removed.size() == 6);
    CHECK(mending.parts[1].removed.front() == "  left-over:");
    CHECK(mending.parts[1].added.empty());
    CHECK(mending.parts[2].says == "took out the condition \"open-gate\", which decides nothing");
    CHECK(mending.parts[2].line == 19);
    CHECK(mending.dropped == 0);
}

TEST_CASE("mend: a tidy pack stays as it is") {
    const Mending mending = mended(tidy);
    CHECK(mending.texts.empty());
    CHECK(mending.parts.empty());
}

TEST_CASE("mend: files that may not change do not") {
    MendOptions options;
    options.may_change = [](const std::string&) { return false; };
    const Mending mending = mend(shelf_texts(untidy), options);
    CHECK(mending.texts.empty());
}

TEST_CASE("mend: nothing changes while there is an error") {
    const Mending mending = mended(with("calls-for: required", "calls-for: yes"));
    CHECK(has_error(mending.findings));
    CHECK(mending.texts.empty());
}

TEST_CASE("mend: an alternative that is always true is no candidate") {
    std::size_t asked = 0;
    MendOptions options = pack_alone();
    options.proved_equal = [&asked](const Shelf&, const Shelf&) {
        ++asked;
        return false;
    };
    const auto changes_with = [&](const std::string& figure) {
        asked = 0;
        const std::string text =
            with("    is: platform-height is more than 10 ft\n",
                 "    any-of:\n      - gate-open\n      - platform-height is " + figure + "\n");
        return mend(shelf_texts(text), options).dropped;
    };
    CHECK(changes_with("at least 0 ft") == 0);
    CHECK(asked == 0);
    CHECK(changes_with("more than 500 ft") == 1);
    CHECK(asked == 1);
}

TEST_CASE("mend: plain truth words are put in quotes") {
    const Mending mending = mended(with("title: Rules", "title: no"));
    REQUIRE(mending.texts.size() == 1);
    CHECK(mending.texts[0].text == with("title: Rules", "title: \"no\""));
}

TEST_CASE("mend: the only condition stays, since an empty map would not be read") {
    const std::string only = with("    where: raised\n", "");
    const Mending mending = mended(only);
    CHECK(mending.texts.empty());
}

TEST_CASE("mend: a quantity without use stays, since decisions tell it") {
    const Mending mending = mended(with("conditions:", R"(quantities:
  idle: {kind: length, unit: ft, reads: twice the height, equals: platform-height * 2}
  double: {kind: length, unit: ft, reads: the height again, equals: platform-height * 2}
conditions:)"));
    CHECK_MESSAGE(!has_error(mending.findings), told(mending.findings));
    CHECK(mending.parts.empty());
    CHECK(mending.dropped == 0);
}

namespace {

std::string with_idle_alternative() {
    return with("    where: raised\n", "    where:\n      any-of:\n        - raised\n        - "
                                       "platform-height is more than 500 ft\n");
}

}  // namespace

TEST_CASE("mend: an alternative that is never true stays while nobody proves that it may go") {
    const Mending mending = mended(with_idle_alternative());
    CHECK(mending.parts.empty());
    MendOptions options = pack_alone();
    std::size_t asked = 0;
    options.proved_equal = [&asked](const Shelf&, const Shelf&) {
        ++asked;
        return false;
    };
    const Mending refused = mend(shelf_texts(with_idle_alternative()), options);
    CHECK(asked == 1);
    CHECK(refused.parts.empty());
    CHECK(refused.texts.empty());
    CHECK(refused.dropped == 1);
}

TEST_CASE("mend: an alternative that is never true goes once that is proved equal") {
    MendOptions options = pack_alone();
    options.proved_equal = [](const Shelf&, const Shelf&) { return true; };
    const Mending mending = mend(shelf_texts(with_idle_alternative()), options);
    REQUIRE(mending.parts.size() == 1);
    CHECK(mending.parts[0].says == "took out the alternative \"platform-height is more than 500 "
                                   "ft\", which is never true");
    CHECK(mending.texts[0].text ==
          with("    where: raised\n", "    where:\n      any-of:\n        - raised\n"));
}

TEST_CASE("mend: figures of worked cases are rewritten as well") {
    const std::string cases =
        with("title: Rules", "title: no") +
        "worked-cases:\n  - name: high\n    facts: {platform-height: 012 ft}\n"
        "    answers: {tie-off: required}\n";
    const Mending mending = mended(cases);
    REQUIRE(mending.parts.size() == 2);
    CHECK(mending.parts[1].says == "012 is now 12");
}

TEST_CASE("mend: without a host's word every file may be touched, from its first line on") {
    const std::string pack = "title: no\n" + with("title: Rules\n", "");
    const Mending mending = mend(shelf_texts(pack));
    REQUIRE(mending.parts.size() == 1);
    CHECK(mending.parts[0].line == 1);
    CHECK(mending.parts[0].says == "no is now \"no\"");
    CHECK(mending.parts[0].removed == std::vector<std::string>{"title: no"});
    CHECK(mending.parts[0].added == std::vector<std::string>{"title: \"no\""});
}

TEST_CASE("mend: what does not stand on lines of its own stays") {
    // The condition stands in a line with another, and the alternative in a list on one line.
    const std::string in_flow = "conditions: {raised: {reads: r, is: platform-height is more than "
                                "10 ft}, idle: {reads: i, is: gate-open}}\n";
    std::string pack(tidy);
    const std::size_t from = pack.find("conditions:");
    pack.replace(from, pack.find("provisions:") - from, in_flow);
    CHECK(mended(pack).parts.empty());
    MendOptions options = pack_alone();
    options.proved_equal = [](const Shelf&, const Shelf&) { return true; };
    for (const char* where :
         {"    where: {any-of: [raised, platform-height is more than 500 ft]}\n",
          "    where:\n      any-of: [raised,\n        platform-height is more than 500 ft]\n",
          "    where:\n      any-of:\n        - raised\n        - all-of: [gate-open,\n"
          "            platform-height is more than 500 ft]\n",
          "    where:\n      any-of:\n        - platform-height is more than 500 ft\n",
          "    where:\n      all-of:\n        - raised\n        - platform-height is more than 500 "
          "ft\n"}) {
        CAPTURE(where);
        CHECK(mend(shelf_texts(with("    where: raised\n", where)), options).parts.empty());
    }
    // A comment behind the alternative goes with it.
    const Mending with_comment =
        mend(shelf_texts(with("    where: raised\n",
                              "    where:\n      any-of:\n        - raised\n        "
                              "- platform-height is more than 500 ft  # idle\n")),
             options);
    CHECK(with_comment.parts.size() == 1);
}

TEST_CASE("mend: of several changes those that are safe are made, and each other is tried once") {
    const std::string two = R"(    where:
      any-of:
        - raised
        - platform-height is more than 500 ft
    gist: Tie off.
    duty: tie-off
    calls-for: required
  - id: other
    cite: Rule 2
    source: read
    where:
      any-of:
        - gate-open
        - platform-height is more than 600 ft
)";
    const std::string pack = with("    where: raised\n", two);
    MendOptions options = pack_alone();
    std::size_t asked = 0;
    // The host does without the alternative of 500 ft only.
    options.proved_equal = [&asked](const Shelf&, const Shelf& after) {
        ++asked;
        const auto& provisions = after.data().model.provisions;
        return std::all_of(provisions.begin(), provisions.end(), [](const Provision& p) {
            return p.id != "other" || p.where->parts.size() == 2;
        });
    };
    const Mending mending = mend(shelf_texts(pack), options);
    REQUIRE(mending.parts.size() == 1);
    CHECK(mending.parts[0].says.find("500 ft") != std::string::npos);
    CHECK(mending.dropped == 1);
    // Both together, each alone until one is safe, and the other once more with what is left.
    CHECK(asked <= 4);
}

TEST_CASE("mend: figures with zeros in front, in quotes and below one") {
    const Mending mending = mended(with("more than 10 ft", "more than 00.5 ft"));
    REQUIRE(mending.parts.size() == 1);
    CHECK(mending.parts[0].says == "00.5 is now 0.5");
    const Mending quoted = mended(
        with("platform-height is more than 10 ft", "\"platform-height is more than 010 ft\""));
    REQUIRE(quoted.parts.size() == 1);
    CHECK(quoted.texts[0].text ==
          with("platform-height is more than 10 ft", "\"platform-height is more than 10 ft\""));
}

TEST_CASE("mend: times of day are put in quotes, texts that only look like them are not") {
    const Mending mending = mended(with("gist: Tie off.", "gist: 12:30"));
    REQUIRE(mending.parts.size() == 1);
    CHECK(mending.parts[0].says == "12:30 is now \"12:30\"");
    for (const char* text : {"gist: Rule 12:30", "gist: '12:30'", "gist: ':30'", "gist: 1230"}) {
        CAPTURE(text);
        CHECK(mended(with("gist: Tie off.", text)).parts.empty());
    }
}

TEST_CASE("sameness: the order of entries and what nothing uses do not matter") {
    CHECK(alike(untidy, tidy));
    CHECK(alike(tidy, untidy));
}

TEST_CASE("sameness: whatever a decision tells or hangs on does matter") {
    CHECK_FALSE(alike(tidy, with("more than 10 ft", "at least 10 ft")));
    CHECK_FALSE(alike(tidy, with("more than 10 ft", "more than 10.01 ft")));
    CHECK(alike(tidy, with("more than 10 ft", "more than 120 in")));
    CHECK_FALSE(alike(tidy, with("    where: raised\n", "")));
    CHECK_FALSE(alike(tidy, with("calls-for: required", "calls-for: not required")));
    CHECK_FALSE(alike(tidy, with("cite: Rule 1", "cite: Rule 2")));
    CHECK_FALSE(alike(tidy, with("gist: Tie off.", "gist: Tie off now.")));
    CHECK_FALSE(alike(tidy, with("source: read", "source: memory")));
    CHECK_FALSE(alike(tidy, with("from: 2020-01-01", "from: 2020-01-02")));
    CHECK_FALSE(alike(tidy, with("through: 2024-12-31", "through: 2024-12-30")));
    CHECK_FALSE(alike(tidy, with("reads: the platform is raised", "reads: it is raised")));
    CHECK_FALSE(alike(tidy, with("where: raised", "where: not raised")));
    CHECK_FALSE(alike(tidy, with("where: raised", "where: {all-of: [raised]}")));
}

TEST_CASE("mend: the shipped rulepacks need none") {
    std::vector<SourceText> texts;
    for (const std::string& path : shelf_files(shipped_folder())) {
        std::ifstream stream(path, std::ios::binary);
        texts.push_back({path, {std::istreambuf_iterator<char>(stream), {}}});
    }
    REQUIRE(texts.size() > 50);
    const Mending mending = mend(texts);
    CHECK_MESSAGE(!has_error(mending.findings), told(mending.findings));
    CHECK(mending.parts.empty());
}
