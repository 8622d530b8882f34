// Entry point: receipt_maker_data. Digests and dependencies that hold for every case on one shelf.
#include "receipt/body.hpp"
#include "shelf/shelf_data.hpp"

namespace toprail {
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
        data.behind.emplace(fact.name, std::make_shared<const std::set<std::string>>(
                                           std::set<std::string>{fact.name}));
        data.reads[fact.name] = fact.reads;
        data.asks[fact.name] = fact.ask;
        if (fact.type == FactType::measured || fact.type == FactType::count) {
            data.measured.insert(fact.name);
        }
    }
    // Packs may have quantities of one name; what rests on any of them rests on the facts of all.
    const std::vector<SharedFacts>& behind = shelf.data().program.facts_behind;
    for (std::size_t i = 0; i < behind.size(); ++i) {
        const auto [found, first] = data.behind.emplace(model.quantities[i].name, behind[i]);
        if (!first) {
            std::set<std::string> all = *found->second;
            all.insert(behind[i]->begin(), behind[i]->end());
            found->second = std::make_shared<const std::set<std::string>>(std::move(all));
        }
    }
    return data;
}

}  // namespace toprail
