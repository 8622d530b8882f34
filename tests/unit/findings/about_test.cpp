// The explanations of findings: one for each kind, and their examples show what they say.
#include "support/shelves.hpp"
#include "toprail/about.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace toprail;

namespace {

constexpr std::string_view vocabulary = R"(vocabulary: lifts
title: Words for the examples
standings:
  regulation: {rank: 2, may: [require, relax, limit, explain]}
  company: {rank: 7, may: [require, limit, explain]}
facts:
  lift-mechanism:
    {type: choice, values: [telescopic-boom, scissor], reads: the mechanism, ask: Which one, why: All}
  guardrail:
    {type: choice, values: [complete, lowered], reads: the guardrail, ask: Which one, why: All}
  gate-open: {type: yes-no, reads: the gate is open, ask: Is it so, why: All}
  platform-height:
    {type: length, unit: ft, from: 0 ft, to: 500 ft, reads: the height, ask: How much, why: All}
  connector-length:
    {type: length, unit: ft, from: 0 ft, to: 50 ft, reads: the length, ask: How much, why: All}
duties:
  tie-off: {asks: Is it required, reads: tie-off}
)";

// The keys of a sound pack; an example replaces those that it has itself.
const std::vector<std::pair<std::string_view, std::string_view>> pack_keys{
    {"rulepack", "example.authority"},
    {"title", "Example rules"},
    {"format", "1"},
    {"standing", "regulation"},
    {"vocabulary", "[lifts]"},
    {"edition", "{from: 2020-01-01, verified-through: 2024-12-31, picked-by: work-date}"},
    {"provisions", R"(
  - id: raised-tie-off
    cite: Example Code 1.2
    source: read
    gist: The person is tied off.
    where: {any-of: [platform-height is more than 6 ft, lift-mechanism is telescopic-boom,
                     guardrail is lowered, gate-open, connector-length is more than 6 ft]}
    duty: tie-off
    calls-for: required)"},
};

bool has_key(std::string_view text, std::string_view key) {
    const std::string start = std::string(key) + ":";
    return text.starts_with(start) || text.find("\n" + start) != std::string_view::npos;
}

std::string whole_pack(std::string_view example) {
    std::string text;
    for (const auto& [key, value] : pack_keys) {
        if (!has_key(example, key)) {
            text += std::string(key) + ": " + std::string(value) + "\n";
        }
    }
    return text + std::string(example);
}

std::vector<SourceText> files_of(ExampleOf what, std::string_view example) {
    std::vector<SourceText> files{{"lifts.yaml", std::string(vocabulary)}};
    if (what == ExampleOf::list) {
        files.push_back({"shelf.yaml", std::string(example)});
    }
    if (what == ExampleOf::vocabulary) {
        std::string more = "vocabulary: more\n";
        if (!has_key(example, "title")) {
            more += "title: More words\n";
        }
        files.push_back({"more.yaml", more + std::string(example)});
    }
    if (what != ExampleOf::rulepack) {
        files.push_back({"pack.yaml", whole_pack({})});
        return files;
    }
    std::size_t mark = example.find(other_file_mark);
    files.push_back({"pack.yaml", whole_pack(example.substr(0, mark))});
    for (char number = '1'; mark != std::string_view::npos; ++number) {
        example.remove_prefix(example.find('\n', mark) + 1);
        mark = example.find(other_file_mark);
        files.push_back(
            {std::string("other-") + number + ".yaml", whole_pack(example.substr(0, mark))});
    }
    return files;
}

// Everything that loading, linting and deciding a case say of an example.
std::vector<Finding> findings_in(ExampleOf what, std::string_view example) {
    LoadedShelf loaded = load_shelf(files_of(what, example));
    std::vector<Finding> all = std::move(loaded.findings);
    const auto add = [&all](std::vector<Finding> more) {
        std::move(more.begin(), more.end(), std::back_inserter(all));
    };
    if (!loaded.shelf) {
        return all;
    }
    add(lint_shelf(*loaded.shelf));
    Facts facts;
    if (what == ExampleOf::facts) {
        FactsFile file = read_facts(std::string(example), "facts.yaml");
        add(std::move(file.findings));
        REQUIRE(file.cases.size() == 1);
        facts = file.cases.front().facts;
    }
    add(loaded.shelf->decide(facts, test::day("2024-06-01")).findings);
    return all;
}

bool has_code(const std::vector<Finding>& findings, std::string_view code) {
    return std::any_of(findings.begin(), findings.end(),
                       [code](const Finding& f) { return f.code == code; });
}

}  // namespace

TEST_CASE("every kind of finding is explained, in the order of the kinds") {
    const auto& kinds = finding_kinds();
    const auto& all = finding_explanations();
    REQUIRE(all.size() == kinds.size());
    for (std::size_t i = 0; i < kinds.size(); ++i) {
        CAPTURE(kinds[i].code);
        CHECK(all[i].code == kinds[i].code);
        CHECK(all[i].explains.size() > 80);
        CHECK((all[i].example == ExampleOf::none) == all[i].before.empty());
        CHECK((all[i].example == ExampleOf::none) == all[i].after.empty());
    }
}

TEST_CASE("the example of a finding has it before and no error after") {
    for (const FindingAbout& about : finding_explanations()) {
        if (about.example == ExampleOf::none) {
            continue;
        }
        CAPTURE(about.code);
        const std::vector<Finding> before = findings_in(about.example, about.before);
        CHECK_MESSAGE(has_code(before, about.code), test::told(before));
        const std::vector<Finding> after = findings_in(about.example, about.after);
        CHECK_MESSAGE(!has_error(after), test::told(after));
        CHECK_MESSAGE(!has_code(after, about.code), test::told(after));
    }
}

TEST_CASE("an explanation is told with its example, in short lines") {
    const std::string text = render_about("bad-sentence");
    CHECK(text.starts_with("bad-sentence (error): a condition sentence cannot be understood\n"));
    CHECK(text.find("\nBefore, in a rulepack:\n\n    conditions:\n") != std::string::npos);
    CHECK(text.find("\nAfter:\n\n    conditions:\n") != std::string::npos);
    CHECK(render_about("bad-sentences").empty());
    CHECK(nearest_code("bad-sentences") == "bad-sentence");
    CHECK(nearest_code("entirely-else-where-and-far").empty());
}

TEST_CASE("an explanation says in what kind of file its example stands, where it has one") {
    const auto place = [](ExampleOf example) {
        return example == ExampleOf::vocabulary ? "\nBefore, in a vocabulary:\n"
               : example == ExampleOf::facts    ? "\nBefore, in a facts file:\n"
               : example == ExampleOf::list     ? "\nBefore, in the list of a shelf:\n"
                                                : "\nBefore, in a rulepack:\n";
    };
    for (const FindingAbout& about : finding_explanations()) {
        const std::string text = render_about(about.code);
        CAPTURE(text);
        CHECK(text.starts_with(about.code));
        const bool has_example = about.example != ExampleOf::none;
        CHECK((text.find("\nBefore") != std::string::npos) == has_example);
        CHECK((!has_example || text.find(place(about.example)) != std::string::npos));
    }
}

TEST_CASE("an explanation shows hidden characters as their code points") {
    CHECK(render_about("control-character").find("lifts<U+200B> in") != std::string::npos);
}
