// A shelf cut down to the provisions of a few authorities, so that questions about those stay
// small.
#pragma once

#include "shelf/shelf_data.hpp"

#include <memory>
#include <vector>

namespace toprail {

/// The same vocabulary, conditions, packs and authorities with the provisions of some authorities
/// alone. Displacements and exceptions that reach outside are dropped: named alone, as in a worked
/// case, the others never govern.
Model narrow(const Model& model, const std::vector<AuthorityId>& authorities);

/// Builds the program of a model that was sound before it was changed.
std::shared_ptr<ShelfData> build_data(Model model);

/// Throws std::runtime_error when no authority of that id is on the shelf.
AuthorityId authority_of(const Model& model, const std::string& id);

}  // namespace toprail
