// Holds an answer of the library against the oracle's.
#pragma once

#include "oracle/oracle.hpp"
#include "toprail/shelf.hpp"

#include <string>

namespace oracle {

/// What they disagree on, one line each; empty when they agree.
std::string disagreement(const Model& model, const Answer& expected, const toprail::Answer& seen);

}  // namespace oracle
