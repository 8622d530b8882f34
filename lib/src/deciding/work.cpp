// Entry point: the helpers of Work.
#include "deciding/work.hpp"

#include <algorithm>

namespace toprail {

Status Work::status(ProvisionId id) const {
    const LoweredProvision& lowered = program.provisions[id.value];
    if (knowledge.truth(lowered.displaced) == Truth::yes) {
        return Status::displaced;
    }
    switch (knowledge.truth(lowered.stands)) {
    case Truth::yes:
        // Standing, but whether something displaces it hangs on unknown facts.
        return knowledge.truth(lowered.displaced) == Truth::open ? Status::open : Status::stands;
    case Truth::no:
        return Status::falls;
    case Truth::open:
        break;
    }
    return Status::open;
}

bool Work::plan_only(const std::vector<FactId>& facts) const {
    return std::all_of(facts.begin(), facts.end(), [this](FactId f) { return model[f].plan; });
}

std::vector<std::string> Work::names(const std::vector<FactId>& facts) const {
    std::vector<std::string> names;
    names.reserve(facts.size());
    for (const FactId fact : facts) {
        names.push_back(model[fact].name);
    }
    std::sort(names.begin(), names.end());
    return names;
}

std::string Work::given_text(FactId fact) const {
    switch (knowledge.facts()[fact.value].state) {
    case FactState::given:
        return given.find(model[fact].name)->text;
    case FactState::does_not_apply:
        return "does not apply";
    case FactState::not_known:
        break;
    }
    return "not known";
}

std::string value_text(const std::optional<Value>& value, const std::string& unit) {
    if (!value || value->kind == Value::Kind::open) {
        return "not known";
    }
    if (value->kind == Value::Kind::absent) {
        return "does not apply";
    }
    if (const Unit* known = find_unit(unit)) {
        return show_in_unit(value->high, *known);
    }
    bool exact = true;
    const std::string text = tell_number(value->high, 2, exact);
    return exact ? text : "about " + text;
}

bool Work::may_lack_value(Ref ref) const {
    return ref.kind == RefKind::quantity &&
           knowledge.first().without_value[program.quantities[ref.index].value];
}

bool Work::without_value(Ref ref) const {
    return may_lack_value(ref) && knowledge.value(program.quantities[ref.index]);
}

std::string Work::value_text(Ref ref) const {
    if (ref.kind == RefKind::fact) {
        return given_text(FactId(ref.index));
    }
    if (without_value(ref)) {
        return "no value";
    }
    return toprail::value_text(knowledge.value(program.quantities[ref.index]), model.unit(ref));
}

std::string Work::bound_text(ProvisionId id) const {
    const Effect& effect = model[id].effect;
    if (effect.bound_figure) {
        return effect.bound_figure->text;
    }
    return effect.bound.text + " (" + value_text(effect.bound_ref) + ")";
}

}  // namespace toprail
