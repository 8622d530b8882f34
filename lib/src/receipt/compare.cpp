// Entry points: conclusions_that_differ, steps_that_differ, causes_of_difference.
//
// The older receipt may come from anybody whose digest is right, so that nothing about its inner
// shape is taken for granted: `text` and `list` give empty values for what is missing.
#include "receipt/compare.hpp"

#include <algorithm>
#include <map>
#include <set>

namespace toprail {
namespace {

const Json& list(const Json& map, const char* key) {
    static const Json none = Json::array();
    if (!map.is_object()) {
        return none;
    }
    const auto found = map.find(key);
    return found != map.end() && found->is_structured() ? *found : none;
}

std::string text(const Json& map, const char* key) {
    if (!map.is_object()) {
        return {};
    }
    const auto found = map.find(key);
    return found != map.end() && found->is_string() ? found->get<std::string>() : std::string{};
}

std::string joined(const Json& words, const char* otherwise) {
    std::string all;
    for (const Json& each : words) {
        all += (all.empty() ? "" : ", ") + (each.is_string() ? each.get<std::string>() : "?");
    }
    return all.empty() ? otherwise : all;
}

std::map<std::string, const Json*> by_name(const Json& items, const char* key) {
    std::map<std::string, const Json*> all;
    for (const Json& each : items) {
        all.emplace(text(each, key), &each);
    }
    return all;
}

/// A conclusion as people read it, and the provisions that it rests on.
struct Conclusion {
    std::string told;
    std::set<std::string> provisions;
};

using Conclusions = std::map<std::pair<std::string, std::string>, Conclusion>;

void add_provisions(const Json& names, Conclusion& conclusion) {
    for (const Json& each : names) {
        if (each.is_string()) {
            conclusion.provisions.insert(each.get<std::string>());
        }
    }
}

std::map<std::pair<std::string, std::string>, std::string> bound_texts(const Json& root) {
    std::map<std::pair<std::string, std::string>, std::string> all;
    for (const Json& entry : list(root, "told")) {
        const Json& tells = list(entry, "tells");
        if (text(entry, "about") == "bound" && !text(tells, "bound").empty()) {
            all[{text(entry, "name"), text(tells, "provision")}] = text(tells, "bound");
        }
    }
    return all;
}

Conclusions conclusions_of(const Json& root) {
    Conclusions all;
    for (const Json& duty : list(root, "outcomes")) {
        Conclusion& one = all[{"duty", text(duty, "duty")}];
        one.told = text(duty, "outcome");
        if (one.told == word(Outcome::undetermined)) {
            one.told += " (" + joined(list(duty, "possible"), "") + ")";
        }
        add_provisions(list(duty, "provisions"), one);
    }
    for (const Json& choice : list(root, "choices")) {
        Conclusion& one = all[{"choice", text(choice, "choice")}];
        one.told = "admissible: " + joined(list(choice, "admissible"), "none");
        const Json& open = list(choice, "open");
        for (const auto& [value, by] : open.items()) {
            one.told += "; " + value + " is open";
            add_provisions(by, one);
        }
        for (const auto& [value, by] : list(choice, "barred").items()) {
            add_provisions(by, one);
        }
    }
    const auto bounds = bound_texts(root);
    for (const Json& limit : list(root, "limits")) {
        const std::string quantity = text(limit, "quantity");
        Conclusion& one = all[{"limit", quantity}];
        for (const Json& bound : list(limit, "bounds")) {
            const auto strictest = bound.find("strictest");
            const bool counts = strictest != bound.end() && *strictest == true;
            if (!counts && text(bound, "status") != word(Status::open)) {
                continue;
            }
            const std::string provision = text(bound, "provision");
            const auto figure = bounds.find({quantity, provision});
            one.told += std::string(one.told.empty() ? "" : "; ") + (counts ? "" : "perhaps ") +
                        text(bound, "side") + " " +
                        (figure == bounds.end() ? "a bound" : figure->second);
            one.provisions.insert(provision);
        }
    }
    return all;
}

std::string cited(const std::string& provision, const Json& root) {
    for (const Json& step : list(root, "steps")) {
        if (text(step, "provision") == provision) {
            return provision + " (" + text(step, "cite") + ")";
        }
    }
    return provision;
}

Difference difference(const std::pair<std::string, std::string>& key, const Conclusion& was,
                      const Conclusion& now, const Json& old_root, const Json& new_root) {
    Difference found{key.first, key.second, was.told, now.told, {}};
    for (const std::string& provision : now.provisions) {
        if (!was.provisions.contains(provision)) {
            found.by.push_back(cited(provision, new_root) + " now counts");
        }
    }
    for (const std::string& provision : was.provisions) {
        if (!now.provisions.contains(provision)) {
            found.by.push_back(cited(provision, old_root) + " no longer counts");
        }
    }
    return found;
}

// What is told of one provision apart from its step: effect and reasons, in their order.
std::map<std::string, Json> wordings(const Json& root) {
    std::map<std::string, Json> all;
    for (const Json& entry : list(root, "told")) {
        const std::string about = text(entry, "about");
        if (about == "effect" || about == "reason") {
            all[text(entry, "name")].push_back(list(entry, "tells"));
        }
    }
    return all;
}

std::string wording_text(const Json& wording) {
    std::string all;
    for (const Json& each : wording) {
        std::string one = text(each, "effect") + text(each, "says");
        const std::string truth = text(each, "truth");
        one += truth.empty() ? "" : " [" + truth + "]";
        all += (all.empty() ? "" : "; ") + one;
    }
    return all;
}

std::string short_digest(const Json& pack) {
    return text(pack, "digest").substr(0, 12);
}

}  // namespace

std::vector<Difference> conclusions_that_differ(const Json& was, const Json& now) {
    Conclusions before = conclusions_of(was);
    Conclusions after = conclusions_of(now);
    for (const auto& [key, conclusion] : before) {
        after.try_emplace(key, Conclusion{"not spoken of", {}});
    }
    std::vector<Difference> all;
    for (const auto& [key, conclusion] : after) {
        const auto [old, fresh] = before.try_emplace(key, Conclusion{"not spoken of", {}});
        if (old->second.told != conclusion.told) {
            all.push_back(difference(key, old->second, conclusion, was, now));
        }
    }
    return all;
}

std::vector<Difference> steps_that_differ(const Json& was, const Json& now) {
    std::vector<Difference> all;
    const auto before = by_name(list(was, "steps"), "provision");
    const auto after = by_name(list(now, "steps"), "provision");
    const auto told_before = wordings(was);
    const auto told_after = wordings(now);
    const auto wording = [](const std::map<std::string, Json>& told, const std::string& name) {
        const auto found = told.find(name);
        return found == told.end() ? std::string{} : wording_text(found->second);
    };
    for (const auto& [name, step] : before) {
        const auto found = after.find(name);
        if (found == after.end()) {
            all.push_back({"step", name, text(*step, "status"), "not weighed", {}});
        } else if (text(*step, "status") != text(*found->second, "status")) {
            all.push_back(
                {"step", name, text(*step, "status"), text(*found->second, "status"), {}});
        } else if (*step != *found->second) {
            all.push_back({"wording", name, canonical(*step), canonical(*found->second), {}});
        }
        if (found != after.end() && wording(told_before, name) != wording(told_after, name)) {
            all.push_back(
                {"wording", name, wording(told_before, name), wording(told_after, name), {}});
        }
    }
    for (const auto& [name, step] : after) {
        if (!before.contains(name)) {
            all.push_back({"step", name, "not weighed", text(*step, "status"), {}});
        }
    }
    return all;
}

std::vector<std::string> causes_of_difference(const Json& was, const Json& now) {
    std::vector<std::string> causes;
    const auto compare = [&causes](const Json& before, const Json& after, const char* name,
                                   const char* edition) {
        std::map<std::pair<std::string, std::string>, const Json*> left;
        for (const Json& each : after) {
            left[{text(each, name), text(each, edition)}] = &each;
        }
        for (const Json& each : before) {
            const std::string day = text(each, edition);
            const std::string title = std::string(day.empty() ? "vocabulary " : "") +
                                      text(each, name) + (day.empty() ? "" : ", edition " + day);
            const auto found = left.find({text(each, name), day});
            if (found == left.end()) {
                causes.push_back(title + ", is not used now");
                continue;
            }
            if (text(each, "digest") != text(*found->second, "digest")) {
                causes.push_back(title + ", has other bytes: " + short_digest(each) + "... then, " +
                                 short_digest(*found->second) + "... now");
            }
            left.erase(found);
        }
        for (const auto& [key, each] : left) {
            causes.push_back(key.first + (key.second.empty() ? "" : ", edition " + key.second) +
                             ", is used now and was not then");
        }
    };
    compare(list(was, "packs"), list(now, "packs"), "authority", "edition");
    compare(list(was, "vocabularies"), list(now, "vocabularies"), "vocabulary", "edition");
    return causes;
}

}  // namespace toprail
