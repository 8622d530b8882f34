// What lies behind a fact, condition or quantity.
#pragma once

#include "rulepack/model.hpp"

#include <set>
#include <string>
#include <vector>

namespace toprail {

/// The names of all facts that these rest on, conditions on the pieces of quantities included.
/// Precondition: the model is resolved, without circles. Pure.
std::set<std::string> facts_behind(const Model& model, std::vector<Ref> of);

}  // namespace toprail
