// Turns names into references once every file is read.
#pragma once

#include "rulepack/model.hpp"

namespace toprail {

/// Groups packs into authorities, orders their editions, and reports overlaps and gaps.
void arrange_editions(Model& model, Findings& findings);

/// Copies adopted provisions into the packs that adopt them, then orders all provisions.
void adopt_provisions(Model& model, Findings& findings);

/// Looks names up from inside one pack (or the vocabulary, when `pack` is invalid): its own
/// conditions and quantities, then those of packs it adopts, then the vocabulary's.
class Scope {
  public:
    Scope(const Model& model, PackId pack) : model_(model), pack_(pack) {}
    [[nodiscard]] Ref find(std::string_view name) const;
    /// Every name that could have been meant, for help texts.
    [[nodiscard]] std::vector<std::string> names() const;

  private:
    [[nodiscard]] std::vector<PackId> homes() const;

    const Model& model_;
    PackId pack_;
};

/// Looks up the name of a word, or reports unknown-name with the nearest known one.
Ref look_up(const Word& word, const Scope& scope, Findings& findings);

/// Resolves every sentence in a condition. Names of other conditions are looked up in `scope`.
void resolve_tree(ConditionTree& tree, const Model& model, const Scope& scope, Findings& findings);

/// Resolves the names in a quantity's formulas and checks that their kinds agree.
void resolve_quantity(Quantity& quantity, const Model& model, const Scope& scope,
                      Findings& findings);

/// Resolves provisions: effects, displacements, dates; checks powers and ids.
void resolve_provisions(Model& model, Findings& findings);

/// All of the above, in order.
void resolve(Model& model, Findings& findings);

/// "facts", "authorities": reports a word that is not among the known ones.
void report_unknown(Kind kind, const Word& word, std::string_view what,
                    const std::vector<std::string>& known, Findings& findings);

}  // namespace toprail
