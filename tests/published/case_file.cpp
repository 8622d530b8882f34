// Entry point: read_case_file.
#include "published/case_file.hpp"

#include "reading/facts_node.hpp"
#include "reading/fields.hpp"

#include <fstream>
#include <iterator>
#include <utility>

namespace toprail::test {
namespace {

void read_fit(const Node* node, PublishedCase& published) {
    if (node == nullptr) {
        return;
    }
    for (const Entry& entry : node->entries) {
        published.fit.push_back(
            {{entry.key, entry.key_span}, {entry.value.text, entry.value.span}});
    }
}

void read_exact(const Node* node, PublishedCase& published, Findings& findings) {
    if (node == nullptr) {
        return;
    }
    for (const Entry& entry : node->entries) {
        ExpectedQuantity quantity;
        quantity.name = {entry.key, entry.key_span};
        if (!entry.value.is_text() || entry.value.text != "does not apply") {
            quantity.value = read_figure_node(entry.value, findings);
        }
        published.quantities.push_back(std::move(quantity));
    }
}

void read_near(const Node* node, PublishedCase& published, Findings& findings) {
    if (node == nullptr) {
        return;
    }
    for (const Entry& entry : node->entries) {
        Fields fields(entry.value, "a near figure", findings);
        fields.require("value");
        fields.require("within");
        ExpectedQuantity quantity;
        quantity.name = {entry.key, entry.key_span};
        quantity.value = fields.figure("value");
        quantity.within = fields.figure("within");
        fields.finish();
        published.quantities.push_back(std::move(quantity));
    }
}

PublishedCase read_case(const Node& node, Findings& findings) {
    Fields fields(node, "a published case", findings);
    PublishedCase published;
    published.span = node.span;
    published.name = fields.require_text("name");
    published.source = fields.require_text("source");
    published.argued = fields.require_text("argued");
    fields.require("on");
    published.on = fields.date("on");
    for (const Word& word : fields.words("authorities")) {
        published.authorities.push_back(word.text);
    }
    fields.require("facts");
    if (const Node* facts = fields.map("facts")) {
        published.facts = read_fact_entries(*facts, findings);
    }
    if (const Node* answers = fields.map("answers")) {
        for (const Entry& entry : answers->entries) {
            published.expected.answers.push_back({{entry.key, entry.key_span}, &entry.value});
        }
    }
    published.expected.stands = fields.words("stands");
    published.expected.falls = fields.words("falls");
    published.expected.open = fields.words("open");
    published.expected.displaced = fields.words("displaced");
    if (fields.has("asks")) {
        published.expected.asks = fields.words("asks");
    }
    read_fit(fields.map("fit"), published);
    read_exact(fields.map("quantities"), published, findings);
    read_near(fields.map("near"), published, findings);
    fields.finish();
    const Expectations& expected = published.expected;
    if (expected.answers.empty() && expected.stands.empty() && expected.falls.empty() &&
        expected.open.empty() && expected.displaced.empty() && published.fit.empty() &&
        published.quantities.empty()) {
        findings.add(Kind::missing_key, node.span, "this case expects nothing");
    }
    return published;
}

}  // namespace

CaseFile read_case_file(const std::string& path) {
    std::ifstream stream(path, std::ios::binary);
    std::string bytes{std::istreambuf_iterator<char>(stream), {}};
    CaseFile file;
    file.source = std::make_shared<const Source>(path, std::move(bytes));
    Findings findings;
    if (auto tree = read_tree(*file.source, {}, findings)) {
        file.tree = std::make_shared<const Node>(std::move(*tree));
        Fields fields(*file.tree, "a file of published cases", findings);
        fields.require_text("published");
        fields.require("cases");
        if (const Node* cases = fields.list("cases")) {
            for (const Node& item : cases->items) {
                file.cases.push_back(read_case(item, findings));
            }
        }
        fields.finish();
    }
    file.findings = findings.take();
    return file;
}

}  // namespace toprail::test
