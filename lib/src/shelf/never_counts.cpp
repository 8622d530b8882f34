// Entry point: report_never_counts. The first piece whose `where` is true counts, and one without
// `where` always does: what stands behind it is dead.
#include "shelf/checks.hpp"

#include <algorithm>

namespace toprail {
namespace {

const Span& formula_of(const Piece& piece) {
    return piece.formula.terms.back().span;
}

}  // namespace

void report_never_counts(const Model& model, Findings& findings) {
    for (const Quantity& quantity : model.quantities) {
        const auto& pieces = quantity.pieces;
        const auto always = std::find_if(pieces.begin(), pieces.end(),
                                         [](const Piece& piece) { return !piece.where; });
        if (always == pieces.end()) {
            continue;
        }
        for (auto dead = always + 1; dead != pieces.end(); ++dead) {
            Finding& finding =
                findings.add(Kind::never_counts, formula_of(*dead),
                             "this piece of \"" + quantity.name + "\" can never count");
            finding.others.push_back({place_of(formula_of(*always)), "this one always counts"});
            finding.help = "put the piece without \"where\" last, or give it the \"where\" that "
                           "it lacks";
        }
    }
}

}  // namespace toprail
