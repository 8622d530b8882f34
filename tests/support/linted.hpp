// What lint says of a shelf, for tests of one kind of finding at a time.
#pragma once

#include "support/shelves.hpp"

#include <string_view>
#include <vector>

namespace toprail::test {

/// The findings of lint_shelf that have this code.
inline std::vector<Finding> linted(const Shelf& shelf, std::string_view code) {
    std::vector<Finding> found = lint_shelf(shelf);
    std::erase_if(found, [code](const Finding& each) { return each.code != code; });
    return found;
}

}  // namespace toprail::test
