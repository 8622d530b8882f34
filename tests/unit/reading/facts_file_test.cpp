#include "toprail/facts.hpp"

#include <doctest/doctest.h>

using namespace toprail;

namespace {

std::vector<std::string> codes(const FactsFile& file) {
    std::vector<std::string> all;
    for (const Finding& finding : file.findings) {
        all.emplace_back(finding.code);
    }
    return all;
}

}  // namespace

TEST_CASE("facts file: cases with their facts, states and sources") {
    const FactsFile file = read_facts("site: Harbour Street\n"
                                      "cases:\n"
                                      "  - case: lift-3\n"
                                      "    says: under the ceiling\n"
                                      "    facts:\n"
                                      "      mechanism: scissor\n"
                                      "      height: {value: 14 ft, from: tape measure}\n"
                                      "      guardrail: not known\n"
                                      "      depth: does not apply\n",
                                      "site.yaml");
    CHECK(file.findings.empty());
    CHECK(file.site == "Harbour Street");
    REQUIRE(file.cases.size() == 1);
    const Case& only = file.cases.front();
    CHECK(only.name == "lift-3");
    CHECK(only.says == "under the ceiling");
    REQUIRE(only.facts.entries().size() == 4);
    const FactEntry* height = only.facts.find("height");
    REQUIRE(height != nullptr);
    CHECK(height->state == FactState::given);
    CHECK(height->text == "14 ft");
    CHECK(height->from == "tape measure");
    CHECK(height->place.file == "site.yaml");
    CHECK(height->place.line == 7);
    CHECK(height->place.column == 23);
    CHECK(only.facts.find("guardrail")->state == FactState::not_known);
    CHECK(only.facts.find("depth")->state == FactState::does_not_apply);
    CHECK(only.facts.find("nothing") == nullptr);
}

TEST_CASE("facts file: a fact that cannot be read keeps none of the others back") {
    const FactsFile file = read_facts("facts:\n"
                                      "  mechanism:\n"
                                      "  guardrail: [complete]\n"
                                      "  height: {value: , from: tape}\n"
                                      "  width: {from: tape}\n"
                                      "  gate-open: yes\n"
                                      "  depth: {value: 2 ft}\n",
                                      "one.yaml");
    CHECK(codes(file) == std::vector<std::string>{"unreadable-fact", "wrong-shape",
                                                  "unreadable-fact", "unreadable-fact",
                                                  "missing-key"});
    REQUIRE(file.cases.size() == 1);
    const Facts& facts = file.cases.front().facts;
    REQUIRE(facts.entries().size() == 2);
    CHECK(facts.find("gate-open")->text == "yes");
    CHECK(facts.find("depth")->text == "2 ft");
    CHECK(facts.find("depth")->from.empty());
}

TEST_CASE("facts file: one case may stand alone") {
    const FactsFile file = read_facts("facts: {mechanism: boom}\n", "one.yaml");
    CHECK(file.findings.empty());
    REQUIRE(file.cases.size() == 1);
    CHECK(file.cases.front().facts.find("mechanism")->text == "boom");
}

TEST_CASE("facts file: JSON of the same shape says the same") {
    const FactsFile yaml = read_facts("site: Yard\ncases:\n  - case: a\n    facts:\n"
                                      "      mechanism: scissor\n"
                                      "      height: {value: 14 ft, from: tape}\n"
                                      "      persons: 2\n      gate-open: no\n",
                                      "a.yaml");
    const FactsFile json = read_facts(R"({
  "site": "Yard",
  "cases": [{"case": "a", "facts": {
    "mechanism": "scissor",
    "height": {"value": "14 ft", "from": "tape"},
    "persons": 2,
    "gate-open": "no"
  }}]
})",
                                      "a.json");
    CHECK(yaml.findings.empty());
    CHECK(json.findings.empty());
    CHECK(json.site == yaml.site);
    REQUIRE(yaml.cases.size() == 1);
    REQUIRE(json.cases.size() == 1);
    const auto& left = yaml.cases.front().facts.entries();
    const auto& right = json.cases.front().facts.entries();
    REQUIRE(left.size() == right.size());
    for (std::size_t i = 0; i < left.size(); ++i) {
        CHECK(left[i].name == right[i].name);
        CHECK(left[i].state == right[i].state);
        CHECK(left[i].text == right[i].text);
        CHECK(left[i].from == right[i].from);
    }
}

TEST_CASE("facts file: JSON true and null are neither guessed nor passed over") {
    const FactsFile file =
        read_facts(R"({"facts": {"gate-open": true, "mechanism": null}})", "a.json");
    CHECK(codes(file) == std::vector<std::string>{"unreadable-fact"});
    REQUIRE(file.cases.size() == 1);
    CHECK(file.cases.front().facts.find("gate-open")->text == "true");
}

TEST_CASE("facts file: more cases than the limit are not begun") {
    const std::string text = "cases:\n  - {case: a, facts: {}}\n  - {case: b, facts: {}}\n"
                             "  - {case: c, facts: {}}\n";
    Limits limits;
    limits.cases = 2;
    const FactsFile three = read_facts(text, "many.yaml", limits);
    CHECK(codes(three) == std::vector<std::string>{"too-many-cases"});
    CHECK(three.findings[0].place.line == 4);
    CHECK(three.findings[0].message == "3 cases stand here, and the limit is 2");
    CHECK(three.cases.empty());
    limits.cases = 3;
    CHECK(codes(read_facts(text, "many.yaml", limits)).empty());
}
