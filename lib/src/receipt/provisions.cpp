// Entry points: Provisions, turns_behind, turns_of, told (for a turn).
#include "receipt/provisions.hpp"

#include "receipt/wording.hpp"

#include <algorithm>

namespace toprail {
namespace {

bool status_is(const ToldProvision* provision, Status status) {
    return provision != nullptr && provision->status == word(status);
}

bool bears(const ToldProvision* provision) {
    return provision != nullptr && provision->bears();
}

std::set<std::string> says_of(const ToldProvision& provision) {
    std::set<std::string> all;
    for (const ToldProvision::Told& reason : provision.reasons) {
        all.insert(reason.says);
    }
    return all;
}

// A fallen provision tells only the conditions that made it fall, so that of one that was not
// changed the shorter list is part of the longer.
bool other_conditions(const ToldProvision& was, const ToldProvision& now) {
    const std::set<std::string> before = says_of(was);
    const std::set<std::string> after = says_of(now);
    if (was.status == now.status) {
        return before != after;
    }
    return !std::includes(before.begin(), before.end(), after.begin(), after.end()) &&
           !std::includes(after.begin(), after.end(), before.begin(), before.end());
}

bool was_changed(const ToldProvision& was, const ToldProvision& now) {
    const auto other = [&](const char* key) {
        return text_in(*was.step, key) != text_in(*now.step, key);
    };
    return was.effect != now.effect || other("gist") || other("cite") || other("standing") ||
           other_conditions(was, now);
}

Turn turn_of(const ToldProvision* was, const ToldProvision* now) {
    if (was != nullptr && now != nullptr && was->status == now->status) {
        return Turn::stays;
    }
    return status_is(now, Status::stands)      ? Turn::newly_stands
           : status_is(now, Status::open)      ? Turn::became_open
           : status_is(now, Status::displaced) ? Turn::displaced
                                               : Turn::fell_away;
}

std::string in_full(const ToldProvision* provision) {
    if (provision == nullptr) {
        return {};
    }
    const std::string gist = text_in(*provision->step, "gist");
    return provision->status + ": " + provision->wording() + (gist.empty() ? "" : "; ") + gist;
}

ProvisionTurn turn_of(const std::string& name, const ToldProvision* was, const ToldProvision* now) {
    ProvisionTurn turn;
    turn.provision = name;
    turn.cite = text_in(*(now != nullptr ? now : was)->step, "cite");
    turn.turn = turn_of(was, now);
    turn.changed = was != nullptr && now != nullptr && was_changed(*was, *now);
    turn.was = in_full(was);
    turn.now = in_full(now);
    if (was != nullptr && now != nullptr) {
        turn.changes = wording_changes(*was, *now);
    }
    return turn;
}

// Provisions whose effect is on this duty, choice or quantity, whether or not they bore on it.
void add_by_effect(const std::string& name, const Provisions& provisions,
                   std::set<std::string>& bearing) {
    const std::string lead = name + ": ";
    for (const auto& [key, told] : provisions.all()) {
        if (told.effect.starts_with(lead)) {
            bearing.insert(key);
        }
    }
}

void add_displacing(const Provisions& provisions, std::set<std::string>& bearing) {
    for (const std::string& name : std::set<std::string>(bearing)) {
        const ToldProvision* told = provisions.find(name);
        for (const Json& each : told == nullptr ? Json() : list_in(*told->step, "displaced-by")) {
            if (each.is_string()) {
                bearing.insert(each.get<std::string>());
            }
        }
    }
}

}  // namespace

bool ToldProvision::bears() const {
    return status == word(Status::stands) || status == word(Status::open);
}

std::string ToldProvision::wording() const {
    std::string all = effect;
    for (const Told& reason : reasons) {
        all += (all.empty() ? "" : "; ") + reason.says + " [" + reason.truth + "]";
    }
    return all;
}

Provisions::Provisions(const Json& root) {
    const auto format = root.find("receipt");
    const bool in_depth = format != root.end() && *format > 1;
    for (const Json& step : list_in(root, "steps")) {
        ToldProvision& one = all_[text_in(step, "provision")];
        one.step = &step;
        one.status = text_in(step, "status");
        one.in_depth = in_depth;
    }
    std::map<std::string, std::string> values;
    for (const Json& entry : list_in(root, "told")) {
        const std::string name = text_in(entry, "name");
        const auto found = all_.find(name);
        const std::string about = text_in(entry, "about");
        if (about == "value") {
            values[name] = text_in(list_in(entry, "tells"), "value");
        }
        if (found == all_.end() || (about != "effect" && about != "reason")) {
            continue;
        }
        const Json& tells = list_in(entry, "tells");
        found->second.told_apart.push_back(tells);
        if (about == "effect") {
            found->second.effect = text_in(tells, "effect");
        } else {
            ToldProvision::Told reason{text_in(tells, "says"), text_in(tells, "truth"), {}};
            for (const Json& each : list_in(tells, "since")) {
                reason.since.push_back({text_in(each, "says"), text_in(each, "truth"), {}});
            }
            found->second.reasons.push_back(std::move(reason));
        }
    }
    for (auto& [name, provision] : all_) {
        const auto value = values.find(provision.effect.substr(0, provision.effect.find(": ")));
        provision.value = value == values.end() ? "" : value->second;
    }
}

const ToldProvision* Provisions::find(const std::string& name) const {
    const auto found = all_.find(name);
    return found == all_.end() ? nullptr : &found->second;
}

std::vector<ProvisionTurn> turns_behind(const std::string& name, std::set<std::string> bearing,
                                        const Provisions& then, const Provisions& today) {
    add_by_effect(name, then, bearing);
    add_by_effect(name, today, bearing);
    add_displacing(then, bearing);
    add_displacing(today, bearing);
    std::vector<ProvisionTurn> turned;
    std::vector<ProvisionTurn> stayed;
    for (const std::string& key : bearing) {
        const ToldProvision* was = then.find(key);
        const ToldProvision* now = today.find(key);
        if (!toprail::bears(was) && !toprail::bears(now)) {
            continue;
        }
        ProvisionTurn turn = turn_of(key, was, now);
        (turn.turn != Turn::stays || turn.changed ? turned : stayed).push_back(std::move(turn));
    }
    return turned.empty() ? stayed : turned;
}

std::vector<ProvisionTurn> turns_of(const std::set<std::string>& bearing, const Provisions& then,
                                    const Provisions& today) {
    std::vector<ProvisionTurn> turned;
    for (const std::string& key : bearing) {
        const ToldProvision* was = then.find(key);
        const ToldProvision* now = today.find(key);
        if (was == nullptr && now == nullptr) {
            continue;
        }
        ProvisionTurn turn = turn_of(key, was, now);
        if (turn.turn != Turn::stays || turn.changed || !turn.changes.empty()) {
            turned.push_back(std::move(turn));
        }
    }
    return turned;
}

std::string_view word(Turn turn) {
    switch (turn) {
    case Turn::newly_stands:
        return "newly stands";
    case Turn::fell_away:
        return "fell away";
    case Turn::displaced:
        return "is displaced now";
    case Turn::became_open:
        return "is open now";
    case Turn::stays:
        break;
    }
    return "stays";
}

std::string told(const ProvisionTurn& turn) {
    const std::string lead = turn.provision + (turn.cite.empty() ? "" : " (" + turn.cite + ")");
    if (turn.turn == Turn::stays) {
        return lead + (turn.changed ? " was changed" : " rests on something that was changed");
    }
    return lead +
           (turn.changed       ? " was changed and "
            : turn.was.empty() ? " is new and "
            : turn.now.empty() ? " is not weighed any more: it "
                               : " ") +
           std::string(word(turn.turn));
}

}  // namespace toprail
