// Condition sentences: read by themselves, with their places, and as the condition of a provision.
// The first byte says whether the sentence stands in quotes.
#include "fuzz/holding.hpp"
#include "reading/sentence.hpp"
#include "support/small_shelf.hpp"

using namespace toprail;

namespace {

void hold_inside(const Word& word, const Node& node) {
    const std::size_t quotes = node.quoted ? 2 : 0;
    fuzz::hold(word.span.column >= node.span.column &&
                   word.span.column + word.span.length <=
                       node.span.column + node.text.size() + quotes,
               "a word stands inside its sentence");
}

// A JSON string is a YAML scalar in double quotes.
std::string quoted(const std::string& text) {
    return nlohmann::json(text).dump();
}

}  // namespace

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size == 0 || first_invalid_utf8(fuzz::text_of(data + 1, size - 1))) {
        return 0;
    }
    const bool quoted_there = data[0] % 2 == 1;
    const std::string text(fuzz::text_of(data + 1, size - 1));
    const Source source("sentence.yaml", quoted_there ? "\"" + text + "\"" : text);
    Node node;
    node.text = text;
    node.quoted = quoted_there;
    node.span = {&source, 1, 1, static_cast<std::uint32_t>(source.bytes().size())};
    Findings findings;
    const auto sentence = read_sentence(node, findings);
    fuzz::hold(sentence.has_value() != findings.any_error(), "a sentence, or a finding");
    fuzz::hold_findings(findings.take());
    if (!sentence) {
        return 0;
    }
    hold_inside(sentence->subject, node);
    for (const Word& object : sentence->objects) {
        hold_inside(object, node);
    }
    const LoadedShelf loaded = load_shelf(
        {test::small_vocabulary(),
         test::small_pack("provisions:\n  - {id: one, cite: Rule 1, source: read, gist: Gist., "
                          "duty: tie-off, calls-for: required, where: " +
                          quoted(text) + "}\n")});
    fuzz::hold_findings(loaded.findings);
    if (loaded.shelf) {
        fuzz::hold_deciding(*loaded.shelf, {}, "nothing known");
        fuzz::hold_deciding(*loaded.shelf,
                            test::facts_of({{"height", "10 ft"}, {"made-on", "does not apply"}}),
                            "something known");
    }
    return 0;
}
