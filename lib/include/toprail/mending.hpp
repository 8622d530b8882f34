// Mending texts: changes that lint can make by itself because no decision changes with them.
//
// Not thread-safe while it runs, and it writes nothing: the host stores the new texts.
#pragma once

#include "toprail/shelf.hpp"

#include <cstddef>
#include <cstdint>
#include <functional>
#include <string>
#include <vector>

namespace toprail {

struct MendedPart {
    std::string file;
    /// The first line that changed, in the text as it was handed in, counted from 1.
    std::uint32_t line = 0;
    /// What was done: `took out the condition "raised", which decides nothing`.
    std::string says;
    /// The lines that went, and those that stand in their place.
    std::vector<std::string> removed;
    std::vector<std::string> added;
};

struct Mending {
    /// The files that changed, with their new texts.
    std::vector<SourceText> texts;
    std::vector<MendedPart> parts;
    /// Changes that were dropped because it was not shown that every decision stays.
    std::size_t dropped = 0;
    /// What loading the texts handed in brought. When any is an error the shelf does not load, and
    /// nothing was mended.
    std::vector<Finding> findings;
};

struct MendOptions {
    LoadOptions load;
    /// Files that may be touched; null: all of them.
    std::function<bool(const std::string& file)> may_change;
    /// True when every case is proved to be decided alike; see `compare` in proving.hpp. Null:
    /// only changes that leave the program as it was are made.
    std::function<bool(const Shelf& before, const Shelf& after)> proved_equal;
};

/// Takes out conditions that nothing uses, and rewrites values that other programs
/// read as something else. Such a change counts only when the shelf lowers to an equal program
/// afterwards and tells the same citations, gists, terms and questions, so that every decision is
/// the same, word for word. With `proved_equal` alternatives of an any-of that no case makes true
/// go as well: then every answer is the same, and the trail no longer tells of them.
/// No change is made with which a worked case would fail that did not before. Texts that are
/// neither rulepack nor vocabulary are left alone.
Mending mend(const std::vector<SourceText>& texts, const MendOptions& options = {});

}  // namespace toprail
