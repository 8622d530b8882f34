// Entry points: Shelf::facts, Shelf::duties, Shelf::packs.
#include "quantity/dimension.hpp"
#include "shelf/shelf_data.hpp"
#include "toprail/shelf.hpp"

namespace toprail {
namespace {

std::string type_name(const Fact& fact) {
    switch (fact.type) {
    case FactType::yes_no:
        return "yes-no";
    case FactType::choice:
        return "choice";
    case FactType::date:
        return "date";
    case FactType::count:
        return "count";
    case FactType::measured:
        break;
    }
    return fact.dimension.plain() ? "ratio" : describe(fact.dimension);
}

}  // namespace

std::vector<FactInfo> Shelf::facts() const {
    std::vector<FactInfo> all;
    for (const Fact& fact : data_->model.facts) {
        all.push_back({fact.name, type_name(fact), fact.unit, fact.values, fact.reads, fact.ask,
                       fact.why, fact.plan, fact.may_not_apply});
    }
    return all;
}

std::vector<DutyInfo> Shelf::duties() const {
    std::vector<DutyInfo> all;
    for (const Duty& duty : data_->model.duties) {
        all.push_back({duty.name, duty.asks, duty.reads});
    }
    return all;
}

std::vector<PackInfo> Shelf::packs() const {
    const Model& model = data_->model;
    std::vector<PackInfo> all;
    for (const auto& [name, id] : model.authority_names) {
        for (const PackId edition : model.authorities[id.value].editions) {
            const Rulepack& pack = model[edition];
            PackInfo info;
            info.authority = pack.id;
            info.title = pack.title;
            info.standing = pack.standing;
            info.from = pack.from.text();
            info.last_day = pack.last_day ? pack.last_day->text() : "";
            info.verified_through = pack.verified_through ? pack.verified_through->text() : "";
            const FactId picked_by = pack.edition_picked.picked_by;
            info.picked_by = picked_by.valid() ? model[picked_by].name : "work-date";
            info.what_was_read = pack.what_was_read;
            info.what_is_open = pack.what_is_open;
            for (const Provision& provision : model.provisions) {
                if (provision.pack == edition) {
                    ++info.provisions;
                    info.unverified += verified(provision.mark) ? 0U : 1U;
                }
            }
            all.push_back(std::move(info));
        }
    }
    return all;
}

}  // namespace toprail
