// Formulas: read by themselves, and as a limited quantity that is worked out.
#include "fuzz/holding.hpp"
#include "reading/formula.hpp"
#include "support/small_shelf.hpp"

using namespace toprail;

namespace {

// The small vocabulary, and a pack whose quantity is the formula.
LoadedShelf shelf_with(const std::string& formula) {
    return load_shelf(
        {test::small_vocabulary(),
         test::small_pack("quantities:\n  worked: {kind: length, unit: ft, reads: r, equals: " +
                          nlohmann::json(formula).dump() +
                          "}\nprovisions:\n  - {id: one, cite: Rule 1, source: read, gist: Gist., "
                          "limit: worked, at-most: 30 ft}\n")});
}

}  // namespace

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string text(fuzz::text_of(data, size));
    if (first_invalid_utf8(text)) {
        return 0;
    }
    const Source source("formula.yaml", text);
    Node node;
    node.text = text;
    node.span = {&source, 1, 1, static_cast<std::uint32_t>(text.size())};
    Findings findings;
    const auto formula = read_formula(node, findings);
    fuzz::hold(formula.has_value() != findings.any_error(), "a formula, or a finding");
    fuzz::hold_findings(findings.take());
    if (!formula) {
        return 0;
    }
    for (std::size_t i = 0; i < formula->terms.size(); ++i) {
        for (const std::size_t part : formula->terms[i].parts) {
            fuzz::hold(part < i, "every part stands before what uses it");
        }
    }
    const LoadedShelf loaded = shelf_with(text);
    fuzz::hold_findings(loaded.findings);
    if (loaded.shelf) {
        fuzz::hold_deciding(*loaded.shelf, {}, "nothing known");
        fuzz::hold_deciding(*loaded.shelf, test::facts_of({{"height", "10 ft"}, {"width", "1 ft"}}),
                            "some known");
        fuzz::hold_deciding(
            *loaded.shelf,
            test::facts_of({{"height", "0.001 in"}, {"width", "40 ft"}, {"depth", "7 mm"}}),
            "all known");
    }
    return 0;
}
