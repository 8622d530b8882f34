// Entry points: read_facts, read_fact_entries.
#include "reading/facts_node.hpp"
#include "reading/fields.hpp"

#include <unordered_set>
#include <utility>

namespace toprail {
namespace {

void read_case(const Node& node, std::vector<Case>& cases, Findings& findings) {
    Fields fields(node, "a case", findings);
    Case result;
    result.name = fields.require_text("case");
    result.says = fields.text("says");
    fields.require("facts");
    if (const Node* facts = fields.map("facts")) {
        result.facts = read_fact_entries(*facts, findings);
    }
    fields.finish();
    cases.push_back(std::move(result));
}

void read_cases(const Node& list, const Limits& limits, std::vector<Case>& cases,
                Findings& findings) {
    if (list.items.empty()) {
        findings.add(Kind::empty_list, list.span, "no case stands here").help =
            "a file without cases is most likely cut off or was filled from the wrong place";
    }
    if (list.items.size() > limits.cases) {
        findings
            .add(Kind::too_many_cases, list.items[limits.cases].span,
                 std::to_string(list.items.size()) + " cases stand here, and the limit is " +
                     std::to_string(limits.cases))
            .help = "split the file, or write one case a line and decide them as lines";
        return;
    }
    std::unordered_set<std::string> names;
    for (const Node& item : list.items) {
        read_case(item, cases, findings);
        if (!names.insert(cases.back().name).second) {
            const Node* name = item.find("case");
            findings.add(Kind::name_taken, name == nullptr ? item.span : name->span,
                         "the case \"" + cases.back().name + "\" stands twice");
        }
    }
}

}  // namespace

Facts read_fact_entries(const Node& node, Findings& findings) {
    // Names are keys of one map, so none stands twice.
    std::vector<FactEntry> facts;
    for (const Entry& entry : node.entries) {
        FactEntry fact;
        fact.name = entry.key;
        fact.place = place_of(entry.value.span);
        std::string value;
        if (entry.value.is_map()) {
            Fields fields(entry.value, "a fact", findings);
            const Word word = fields.word("value");
            fields.require("value");
            fact.from = fields.text("from");
            fields.finish();
            value = word.text;
            if (word.span.source != nullptr) {
                fact.place = place_of(word.span);
            }
        } else if (entry.value.is_list()) {
            findings.add(Kind::wrong_shape, entry.value.span, "a fact has one value, not a list");
            continue;
        } else {
            value = entry.value.text;
        }
        if (value.empty()) {
            findings
                .add(Kind::unreadable_fact, entry.key_span,
                     "the fact \"" + entry.key + "\" has no value")
                .help = "give its value, or write: not known";
            continue;
        }
        Facts one;
        one.set(fact.name, value, fact.from);
        FactEntry read = one.entries().front();
        read.place = std::move(fact.place);
        read.name_place = place_of(entry.key_span);
        facts.push_back(std::move(read));
    }
    return Facts(std::move(facts));
}

FactsFile read_facts(std::string text, std::string name, const Limits& limits) {
    FactsFile file;
    const Source source(std::move(name), std::move(text));
    Findings findings(limits.findings);
    if (const auto root = read_tree(source, limits, findings)) {
        Fields fields(*root, "a facts file", findings);
        file.site = fields.text("site");
        const Node* cases = fields.list("cases");
        const Node* facts = fields.map("facts");
        fields.finish();
        if ((cases == nullptr) == (facts == nullptr) && root->is_map()) {
            findings.add(Kind::missing_key, root->span,
                         "a facts file has either \"cases\" or \"facts\"");
        } else if (facts != nullptr) {
            file.cases.push_back({"case", {}, read_fact_entries(*facts, findings)});
        } else if (cases != nullptr) {
            read_cases(*cases, limits, file.cases, findings);
        }
    }
    file.findings = findings.take();
    return file;
}

}  // namespace toprail
