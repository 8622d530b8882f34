// What lies behind a fact, condition or quantity.
#pragma once

#include "graph/dependencies.hpp"

#include <memory>
#include <set>
#include <string>
#include <vector>

namespace toprail {

/// The names of all facts that these rest on, conditions on the pieces of quantities included.
/// Precondition: the model is resolved, without circles. Pure.
std::set<std::string> facts_behind(const Model& model, std::vector<Ref> of);

using SharedFacts = std::shared_ptr<const std::set<std::string>>;

/// The same for every quantity, in their order. Quantities that rest on the same facts share them.
/// Where quantities rest on so many facts that telling them apart would take gigabytes, the rest
/// counts as resting on every fact. Precondition: the graph is that of the model. Pure.
std::vector<SharedFacts> facts_behind_quantities(const Model& model, const DependencyGraph& graph);

}  // namespace toprail
