// The places of a shelf that other programs read as something else, with what to write instead.
#pragma once

#include "rulepack/model.hpp"

#include <string>
#include <vector>

namespace toprail {

struct YamlTrap {
    Span span;
    std::string message;
    std::string help;
    /// What to write in place of the bytes of `span`.
    std::string instead;
};

std::vector<YamlTrap> find_yaml_traps(const Model& model);

}  // namespace toprail
