// Changes that may be worth making in the texts of a shelf. Whether they are safe is for mend to
// say.
#pragma once

#include "shelf/shelf_data.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace toprail {

/// Bytes of one text to put something else in place of.
struct TextChange {
    const Source* source = nullptr;
    std::size_t from = 0;
    std::size_t size = 0;
    std::string instead;
    std::string says;
};

/// Values that other programs read as something else.
std::vector<TextChange> trap_changes(const ShelfData& data);

/// Conditions that nothing uses.
std::vector<TextChange> unused_changes(const ShelfData& data);

/// Alternatives of an any-of that no case makes true. One for each any-of at a time.
std::vector<TextChange> never_true_changes(const ShelfData& data);

}  // namespace toprail
