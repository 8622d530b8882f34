// Whether two shelves decide every case alike.
#pragma once

#include "shelf/shelf_data.hpp"

namespace toprail {

/// True when both lower to equal programs, up to parts that nothing uses, and tell the same texts.
/// False may also mean that they are alike in a way that this does not see.
bool decide_alike(const ShelfData& a, const ShelfData& b);

}  // namespace toprail
