// JSON text to a tree, within limits. Internal.
#pragma once

#include "receipt/tree.hpp"
#include "toprail/limits.hpp"

#include <string>
#include <string_view>

namespace toprail {

struct JsonReading {
    JsonReading() = default;
    JsonReading(const JsonReading&) = delete;
    JsonReading& operator=(const JsonReading&) = delete;
    JsonReading(JsonReading&&) = default;
    JsonReading& operator=(JsonReading&&) = delete;
    ~JsonReading() { give_back(tree); }

    Json tree;
    /// What is wrong with the text, or empty.
    std::string trouble;
};

/// Reads a text that must hold valid UTF-8. The limits are kept while it is read: nothing beyond
/// them is built. The work grows with the bytes alone.
JsonReading read_json(std::string_view text, const Limits& limits);

}  // namespace toprail
