// Parts that vocabularies and rulepacks share: conditions, quantities, their names.
#pragma once

#include "reading/fields.hpp"
#include "rulepack/model.hpp"

#include <optional>
#include <string>
#include <vector>

namespace toprail {

/// A sentence, or a map with one of all-of, any-of, none-of. Syntax only.
std::optional<ConditionTree> read_condition(const Node& node, Findings& findings);

/// The entries of a `conditions:` map.
std::vector<Condition> read_conditions(const Node* node, Findings& findings);

/// The entries of a `quantities:` map.
std::vector<Quantity> read_quantities(const Node* node, Findings& findings);

/// Reports bad-name unless the key is a name.
bool check_name(const std::string& name, const Span& span, Findings& findings);

/// The words of the measured kinds, and what each stands for.
const std::vector<std::string>& measured_kinds();
std::optional<Dimension> dimension_of_kind(std::string_view kind);

/// Reads `unit` and reports when it does not fit the dimension. "" for plain numbers.
std::string read_unit(Fields& fields, Dimension dimension, Findings& findings);

/// Reads a `vocabulary:` file into the model.
void read_vocabulary(const Node& root, Model& model, Findings& findings);

/// Reads a `rulepack:` file into the model. Provisions keep their order in the file for now.
void read_rulepack(const std::shared_ptr<const Source>& source,
                   const std::shared_ptr<const Node>& root, Model& model, Findings& findings);

/// The provisions of one file.
std::vector<Provision> read_provisions(const Node* node, Findings& findings);

}  // namespace toprail
