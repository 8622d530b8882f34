// Reads the parts of packs that hold sentences, figures and days into the oracle's own model, and
// notes every figure, day and comparison that it meets there.
#pragma once

#include "findings/collector.hpp"
#include "oracle/model.hpp"
#include "reading/formula.hpp"
#include "reading/tree.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace oracle {

/// The value under a key. Throws Unusable when there is none.
const toprail::Node& need(const toprail::Node& node, std::string_view key);

/// The text under a key; empty when there is none.
std::string text_of(const toprail::Node& node, std::string_view key);

/// A text or a list of texts; nothing for null.
std::vector<std::string> texts_of(const toprail::Node* node);

/// The dimension of a fact type or of the kind of a quantity.
toprail::Dimension dimension_of(const std::string& kind);

/// Every method throws Unusable. The model and the findings must outlive the reader.
class PartReader {
  public:
    PartReader(Model& model, toprail::Findings& findings) : model_(model), findings_(findings) {}

    Condition condition(const Scope& scope, const toprail::Node& node);
    Expression expression(const toprail::Node& node);
    /// A figure or the name of a quantity.
    Expression bound(const std::string& text);
    Period period(const toprail::Node& node);

  private:
    Condition sentence(const Scope& scope, const toprail::Node& node);
    Expression from_terms(const toprail::Formula& formula, std::size_t at);
    void mention(const toprail::Figure& figure);

    Model& model_;
    toprail::Findings& findings_;
};

}  // namespace oracle
