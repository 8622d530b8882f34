// What a single fact rules out: for each formula, the classes with which it may still hold when
// nothing else is known.
#pragma once

#include "bulk/formulas.hpp"

#include <bitset>
#include <map>
#include <vector>

namespace toprail::bulk {

/// By rows of facts (see single_facts.hpp).
using Classes = std::bitset<rows_of_facts>;

/// By fact; one that is missing rules nothing out.
using Reach = std::map<std::uint32_t, Classes>;

/// `of_parts`: per formula, as far as the formula has parts.
Reach reach_of(const Formula& formula, const std::vector<Reach>& of_parts);

/// That of a disjunction.
void widen(Reach& reach, const Reach& by);

}  // namespace toprail::bulk
