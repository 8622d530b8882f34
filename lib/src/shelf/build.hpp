// From parsed files to a shelf. Internal to this room.
#pragma once

#include "rulepack/model.hpp"
#include "toprail/shelf.hpp"

#include <memory>
#include <vector>

namespace toprail {

/// A file that holds a vocabulary or a rulepack. Shared by every shelf that is built from it.
struct Parsed {
    std::shared_ptr<const Source> source;
    std::shared_ptr<const Node> root;
};

/// Resolves and lowers the files. What reading them found stands in `findings` already and comes
/// back with the rest. Unless `complete`, some file could not be read at all: then names are not
/// looked up, and there is no shelf.
LoadedShelf build_shelf(const std::vector<Parsed>& files, Findings& findings,
                        const LoadOptions& options, bool complete = true);

}  // namespace toprail
