// Entry points: facts_behind, which walks with a stack of its own, since chains of conditions may
// be long, and facts_behind_quantities, which goes upwards from the facts.
#include "graph/behind.hpp"

#include <algorithm>
#include <iterator>
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

namespace {

class Upwards {
  public:
    explicit Upwards(const Model& model)
        : model_(model),
          facts_(model.facts.size()),
          conditions_(model.conditions.size()),
          quantities_(model.quantities.size()) {}

    std::vector<SharedFacts> run(const DependencyGraph& graph) {
        for (const Vertex& vertex : building_order(graph)) {
            if (vertex.kind == VertexKind::condition) {
                conditions_[vertex.index] = all_of(refs_of(model_.conditions[vertex.index].tree));
            } else {
                quantities_[vertex.index] = all_of(refs_of(model_.quantities[vertex.index]));
            }
        }
        return std::move(quantities_);
    }

  private:
    // Names copied until every further set is that of all facts; each takes some hundred bytes.
    static constexpr std::size_t most_copied = 500'000;

    static std::vector<Ref> refs_of(const ConditionTree& tree) {
        std::vector<Ref> refs;
        each_ref(tree, [&refs](Ref ref) { refs.push_back(ref); });
        return refs;
    }

    static std::vector<Ref> refs_of(const Quantity& quantity) {
        std::vector<Ref> refs;
        for (const Piece& piece : quantity.pieces) {
            if (piece.where) {
                const std::vector<Ref> where = refs_of(*piece.where);
                refs.insert(refs.end(), where.begin(), where.end());
            }
            std::copy_if(piece.refs.begin(), piece.refs.end(), std::back_inserter(refs),
                         [](Ref ref) { return ref.kind != RefKind::none; });
        }
        return refs;
    }

    const SharedFacts& behind(Ref ref) {
        if (ref.kind == RefKind::condition) {
            return conditions_[ref.index];
        }
        if (ref.kind == RefKind::quantity) {
            return quantities_[ref.index];
        }
        SharedFacts& fact = facts_[ref.index];
        if (!fact) {
            fact = std::make_shared<const Names>(Names{model_.facts[ref.index].name});
        }
        return fact;
    }

    SharedFacts all_of(const std::vector<Ref>& refs) {
        SharedFacts largest = std::make_shared<const Names>();
        for (const Ref ref : refs) {
            if (behind(ref)->size() > largest->size()) {
                largest = behind(ref);
            }
        }
        // Most add nothing to the largest: they share it.
        std::shared_ptr<Names> own;
        for (const Ref ref : refs) {
            const SharedFacts& more = behind(ref);
            const SharedFacts& so_far = own ? own : largest;
            if (more == largest ||
                std::includes(so_far->begin(), so_far->end(), more->begin(), more->end())) {
                continue;
            }
            if (!own) {
                copied_ += largest->size();
                if (copied_ > most_copied) {
                    return every_fact();
                }
                own = std::make_shared<Names>(*largest);
            }
            own->insert(more->begin(), more->end());
        }
        return own ? own : largest;
    }

    const SharedFacts& every_fact() {
        if (!every_fact_) {
            Names all;
            for (const Fact& fact : model_.facts) {
                all.insert(fact.name);
            }
            every_fact_ = std::make_shared<const Names>(std::move(all));
        }
        return every_fact_;
    }

    using Names = std::set<std::string>;

    const Model& model_;
    std::vector<SharedFacts> facts_;
    std::vector<SharedFacts> conditions_;
    std::vector<SharedFacts> quantities_;
    SharedFacts every_fact_;
    std::size_t copied_ = 0;
};

}  // namespace

std::vector<SharedFacts> facts_behind_quantities(const Model& model, const DependencyGraph& graph) {
    return Upwards(model).run(graph);
}

}  // namespace toprail
