// Entry point: facts_behind. Walks with a stack of its own: chains of conditions may be long.
#include "graph/behind.hpp"

#include "graph/dependencies.hpp"

#include <utility>

namespace toprail {

std::set<std::string> facts_behind(const Model& model, std::vector<Ref> of) {
    std::set<std::string> facts;
    std::set<std::pair<RefKind, std::uint32_t>> seen;
    const auto push = [&of](Ref ref) { of.push_back(ref); };
    while (!of.empty()) {
        const Ref at = of.back();
        of.pop_back();
        if (!seen.insert({at.kind, at.index}).second) {
            continue;
        }
        switch (at.kind) {
        case RefKind::fact:
            facts.insert(model.facts[at.index].name);
            break;
        case RefKind::condition:
            each_ref(model.conditions[at.index].tree, push);
            break;
        case RefKind::quantity:
            for (const Piece& piece : model.quantities[at.index].pieces) {
                if (piece.where) {
                    each_ref(*piece.where, push);
                }
                of.insert(of.end(), piece.refs.begin(), piece.refs.end());
            }
            break;
        case RefKind::none:
            break;
        }
    }
    return facts;
}

}  // namespace toprail
