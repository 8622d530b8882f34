// From parsed files to a shelf. Internal to this room.
#pragma once

#include "rulepack/model.hpp"
#include "toprail/shelf.hpp"

#include <memory>
#include <vector>

namespace toprail {

/// Rulepacks to be copied and filled in lie in folders of this name. What they say of somebody else
/// must not count.
inline constexpr const char* templates_folder = "templates";

/// A file that holds a vocabulary, a rulepack, or the list of a shelf. Shared by every shelf that
/// is built from it.
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
