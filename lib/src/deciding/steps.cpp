// Entry point: tell_steps. One step per provision that was considered, in the order of the model.
#include "deciding/reasons.hpp"

#include <algorithm>

namespace toprail {
namespace {

std::string values_text(const std::vector<Word>& values) {
    std::vector<std::string> texts;
    for (const Word& value : values) {
        texts.push_back(value.text);
    }
    std::sort(texts.begin(), texts.end());
    std::string text;
    for (const std::string& each : texts) {
        text += (text.empty() ? "" : ", ") + each;
    }
    return text;
}

std::string effect_text(const Work& work, ProvisionId id) {
    const Effect& effect = work.model[id].effect;
    switch (effect.kind) {
    case EffectKind::duty:
        return effect.target.text + (effect.required ? ": required" : ": not required");
    case EffectKind::exception:
        return "relaxes " + values_text(effect.relaxes);
    case EffectKind::choice:
        return effect.target.text + (effect.admits ? ": admits " : ": bars ") +
               values_text(effect.values);
    case EffectKind::limit:
        return effect.target.text + (effect.at_most ? ": at most " : ": at least ") +
               work.bound_text(id);
    case EffectKind::remark:
        return "remarks on " + effect.target.text;
    case EffectKind::governs:
        return effect.target.text + " governs";
    case EffectKind::none:
        break;
    }
    return {};
}

std::string days_text(const Days& days) {
    std::string text = "in force";
    if (days.from) {
        text += " from " + days.from->text();
    }
    if (days.until) {
        text += " until " + days.until->text();
    }
    return text;
}

// The date that an interval is held against: its name and what was given.
std::string clock_text(const Work& work, FactId picked_by) {
    return picked_by.valid() ? work.model[picked_by].name + ": " + work.given_text(picked_by)
                             : "work-date: " + work.circumstances.on.text();
}

void add_date_reasons(const Work& work, ProvisionId id, Step& step) {
    const LoweredProvision& lowered = work.program.provisions[id.value];
    const Truth in_force = work.knowledge.truth(lowered.in_force);
    const Provision& provision = work.model[id];
    const std::string_view truth = in_force == Truth::no ? "false" : "unknown";
    if (in_force == Truth::yes) {
        return;
    }
    const auto add = [&](std::string says, FactId picked_by) {
        Reason reason;
        reason.says = std::move(says);
        reason.truth = truth;
        if (picked_by.valid()) {
            reason.facts.push_back(work.model[picked_by].name);
        }
        step.because.push_back(std::move(reason));
    };
    const Rulepack& pack = work.model[provision.pack];
    if (work.knowledge.truth(lowered.edition) == in_force) {
        add("the edition from " + pack.from.text() + " counts (" +
                clock_text(work, pack.edition_picked.picked_by) + ")",
            pack.edition_picked.picked_by);
        return;
    }
    add(days_text(provision.in_force) + " (" + clock_text(work, provision.in_force.picked_by) + ")",
        provision.in_force.picked_by);
}

// A fallen provision is told by the conditions that are false, any other by all of them.
void add_condition_reasons(const Work& work, Status status,
                           const std::vector<const LoweredTree*>& trees, ReasonCache& cache,
                           Step& step) {
    for (const LoweredTree* tree : trees) {
        if (status == Status::falls && work.knowledge.truth(tree->node) == Truth::yes) {
            continue;
        }
        for (Reason& reason : reasons_for(work, *tree, cache)) {
            step.because.push_back(std::move(reason));
        }
    }
}

void add_displacing(const Work& work, ProvisionId id, Step& step) {
    const bool met = work.knowledge.truth(work.program.provisions[id.value].stands) == Truth::yes;
    const bool waits = step.status == Status::open && met;
    if (step.status != Status::displaced && !waits) {
        return;
    }
    const Truth live = waits ? Truth::open : Truth::yes;
    for (std::size_t i = 0; i < work.model.provisions.size(); ++i) {
        const auto& displaced = work.model.provisions[i].displaced;
        if (std::find(displaced.begin(), displaced.end(), id) != displaced.end() &&
            work.knowledge.truth(work.program.provisions[i].live) == live) {
            step.displaced_by.push_back(work.model.key(ProvisionId(i)));
        }
    }
}

Step tell_step(const Work& work, ProvisionId id, ReasonCache& cache) {
    const Provision& provision = work.model[id];
    const LoweredProvision& lowered = work.program.provisions[id.value];
    Step step;
    step.provision = work.model.key(id);
    step.authority = work.model[provision.pack].id;
    step.status = work.status(id);
    step.cite = provision.cite;
    step.also_cite = provision.also_cite;
    for (const Adoption& adoption : work.model[provision.pack].adopts) {
        if (provision.pack != provision.written_in && adoption.adopted == provision.written_in) {
            step.adopted_by = adoption.cite + " (" + adoption.source + ")";
        }
    }
    if (provision.pack != provision.written_in) {
        step.adopted_from = work.model[provision.written_in].id;
        if (step.adopted_by.empty()) {
            step.adopted_by = "through " + step.adopted_from;
        }
    }
    step.standing = provision.standing;
    step.source = word(provision.mark);
    step.source_note = provision.source_note;
    step.gist = provision.gist;
    if (provision.in_force.from || provision.in_force.until) {
        step.in_force = days_text(provision.in_force);
    }
    step.effect = effect_text(work, id);
    add_date_reasons(work, id, step);
    const bool dates_decide = work.knowledge.truth(lowered.in_force) == Truth::no;
    // A provision that is out of force falls for its dates, whatever its condition says.
    if (!dates_decide) {
        std::vector<const LoweredTree*> trees;
        if (lowered.where) {
            trees.push_back(&*lowered.where);
        }
        for (const LoweredTree& guard : lowered.guards) {
            trees.push_back(&guard);
        }
        add_condition_reasons(work, step.status, trees, cache, step);
    }
    add_displacing(work, id, step);
    return step;
}

// What is weighed in every case is told where it stands or may stand: what falls is too much. When
// the host named the authorities it decides nothing, and only that of the named ones is told.
bool tells(const Work& work, ProvisionId id) {
    if (!work.program.provisions[id.value].always_weighed) {
        return work.may_govern(id);
    }
    const std::vector<bool>& named = work.circumstances.named;
    return named.empty() ? work.status(id) != Status::falls
                         : named[work.model[work.model[id].pack].authority.value];
}

}  // namespace

std::vector<Step> tell_steps(Work& work) {
    std::vector<Step> steps;
    ReasonCache cache;
    for (std::size_t i = 0; i < work.model.provisions.size(); ++i) {
        const ProvisionId id(i);
        if (tells(work, id)) {
            steps.push_back(tell_step(work, id, cache));
        }
    }
    return steps;
}

}  // namespace toprail
