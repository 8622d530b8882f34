// Entry points: narrow, build_data.
#include "proving/narrow.hpp"

#include <algorithm>
#include <stdexcept>

namespace toprail {
namespace {

void remap(std::vector<ProvisionId>& ids, const std::vector<ProvisionId>& now) {
    std::vector<ProvisionId> kept;
    for (const ProvisionId id : ids) {
        if (now[id.value].valid()) {
            kept.push_back(now[id.value]);
        }
    }
    ids = std::move(kept);
}

}  // namespace

Model narrow(const Model& model, const std::vector<AuthorityId>& authorities) {
    Model narrowed;
    narrowed.sources = model.sources;
    narrowed.trees = model.trees;
    narrowed.vocabularies = model.vocabularies;
    narrowed.facts = model.facts;
    narrowed.duties = model.duties;
    narrowed.standings = model.standings;
    narrowed.conditions = model.conditions;
    narrowed.quantities = model.quantities;
    narrowed.packs = model.packs;
    narrowed.authorities = model.authorities;
    narrowed.shared_names = model.shared_names;
    narrowed.duty_names = model.duty_names;
    narrowed.authority_names = model.authority_names;
    std::vector<ProvisionId> now(model.provisions.size());
    for (std::size_t i = 0; i < model.provisions.size(); ++i) {
        const AuthorityId authority = model[model.provisions[i].pack].authority;
        if (std::find(authorities.begin(), authorities.end(), authority) != authorities.end()) {
            now[i] = ProvisionId(narrowed.provisions.size());
            narrowed.provisions.push_back(model.provisions[i]);
        }
    }
    for (Provision& provision : narrowed.provisions) {
        remap(provision.displaced, now);
        remap(provision.effect.relaxed, now);
    }
    return narrowed;
}

std::shared_ptr<ShelfData> build_data(Model model) {
    auto data = std::make_shared<ShelfData>();
    data->model = std::move(model);
    data->graph = build_dependencies(data->model);
    data->program = lower(data->model, data->graph);
    return data;
}

AuthorityId authority_of(const Model& model, const std::string& id) {
    const auto found = model.authority_names.find(id);
    if (found == model.authority_names.end()) {
        throw std::runtime_error("no authority on the shelf is called " + id);
    }
    return found->second;
}

}  // namespace toprail
