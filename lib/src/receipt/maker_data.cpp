// Entry point: receipt_maker_data. Digests and dependencies that hold for every case on one shelf.
#include "receipt/body.hpp"
#include "shelf/shelf_data.hpp"

namespace toprail {
namespace {

// The facts that a quantity is worked out from, conditions on its pieces included. Walks with a
// stack of its own: chains of conditions may be long.
class Behind {
  public:
    explicit Behind(const Model& model) : model_(model) {}

    std::set<std::string> facts(Ref start) {
        open_.push_back(start);
        while (!open_.empty()) {
            const Ref at = open_.back();
            open_.pop_back();
            if (seen_.insert({at.kind, at.index}).second) {
                expand(at);
            }
        }
        return std::move(facts_);
    }

  private:
    void expand(Ref at) {
        const auto push = [this](Ref ref) { open_.push_back(ref); };
        switch (at.kind) {
        case RefKind::fact:
            facts_.insert(model_.facts[at.index].name);
            break;
        case RefKind::condition:
            each_ref(model_.conditions[at.index].tree, push);
            break;
        case RefKind::quantity:
            for (const Piece& piece : model_.quantities[at.index].pieces) {
                if (piece.where) {
                    each_ref(*piece.where, push);
                }
                open_.insert(open_.end(), piece.refs.begin(), piece.refs.end());
            }
            break;
        case RefKind::none:
            break;
        }
    }

    const Model& model_;
    std::vector<Ref> open_;
    std::set<std::pair<RefKind, std::uint32_t>> seen_;
    std::set<std::string> facts_;
};

}  // namespace

ReceiptMakerData receipt_maker_data(const Shelf& shelf) {
    ReceiptMakerData data{shelf, {}, {}, {}, {}, {}, {}, {}};
    const Model& model = shelf.data().model;
    for (const Rulepack& pack : model.packs) {
        data.pack_digests.push_back(digest_of(pack.source->bytes()));
    }
    for (std::size_t i = 0; i < model.trees.size(); ++i) {
        const Node* name = model.trees[i]->find("vocabulary");
        if (name != nullptr && model.trees[i]->find("rulepack") == nullptr) {
            data.vocabulary_digests[name->text] = digest_of(model.sources[i]->bytes());
        }
    }
    for (const Provision& provision : model.provisions) {
        if (provision.effect.kind == EffectKind::governs) {
            data.naming.insert(provision.pack);
        }
    }
    for (const Fact& fact : model.facts) {
        data.behind[fact.name] = {fact.name};
        data.reads[fact.name] = fact.reads;
        data.asks[fact.name] = fact.ask;
        if (fact.type == FactType::measured || fact.type == FactType::count) {
            data.measured.insert(fact.name);
        }
    }
    // Packs may have quantities of one name; what rests on any of them rests on the facts of all.
    for (std::size_t i = 0; i < model.quantities.size(); ++i) {
        const Ref ref{RefKind::quantity, static_cast<std::uint32_t>(i)};
        data.behind[model.quantities[i].name].merge(Behind(model).facts(ref));
    }
    return data;
}

}  // namespace toprail
