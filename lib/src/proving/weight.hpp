// When something matters: the cases in which taking it out changes an answer.
#pragma once

#include "proving/law.hpp"

namespace toprail {

/// True in exactly the cases in which an answer of the law differs without what is removed. Answers
/// are those that the provision or, where a displacement is removed, the displaced one bears on.
z3::expr weight_of(z3::context& context, const Law& law, const Removal& removal);

}  // namespace toprail
