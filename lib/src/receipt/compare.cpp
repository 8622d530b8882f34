// Entry points: conclusions_that_differ, grounds_that_differ, steps_that_differ,
// causes_of_difference.
#include "receipt/compare.hpp"

#include "receipt/provisions.hpp"

#include <map>
#include <set>

namespace toprail {
namespace {

std::string joined(const Json& words, const char* otherwise) {
    std::string all;
    for (const Json& each : words) {
        all += (all.empty() ? "" : ", ") + (each.is_string() ? each.get<std::string>() : "?");
    }
    return all.empty() ? otherwise : all;
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
    for (const Json& entry : list_in(root, "told")) {
        const Json& tells = list_in(entry, "tells");
        if (text_in(entry, "about") == "bound" && !text_in(tells, "bound").empty()) {
            all[{text_in(entry, "name"), text_in(tells, "provision")}] = text_in(tells, "bound");
        }
    }
    return all;
}

Conclusions conclusions_of(const Json& root) {
    Conclusions all;
    for (const Json& duty : list_in(root, "outcomes")) {
        Conclusion& one = all[{"duty", text_in(duty, "duty")}];
        one.told = text_in(duty, "outcome");
        if (one.told == word(Outcome::undetermined)) {
            one.told += " (" + joined(list_in(duty, "possible"), "") + ")";
        }
        add_provisions(list_in(duty, "provisions"), one);
    }
    for (const Json& choice : list_in(root, "choices")) {
        Conclusion& one = all[{"choice", text_in(choice, "choice")}];
        one.told = "admissible: " + joined(list_in(choice, "admissible"), "none");
        const Json& open = list_in(choice, "open");
        for (const auto& [value, by] : open.items()) {
            one.told += "; " + value + " is open";
            add_provisions(by, one);
        }
        for (const auto& [value, by] : list_in(choice, "barred").items()) {
            add_provisions(by, one);
        }
    }
    const auto bounds = bound_texts(root);
    for (const Json& limit : list_in(root, "limits")) {
        const std::string quantity = text_in(limit, "quantity");
        Conclusion& one = all[{"limit", quantity}];
        for (const Json& bound : list_in(limit, "bounds")) {
            const auto strictest = bound.find("strictest");
            const bool counts = strictest != bound.end() && *strictest == true;
            if (!counts && text_in(bound, "status") != word(Status::open)) {
                continue;
            }
            const std::string provision = text_in(bound, "provision");
            const auto figure = bounds.find({quantity, provision});
            one.told += std::string(one.told.empty() ? "" : "; ") + (counts ? "" : "perhaps ") +
                        text_in(bound, "side") + " " +
                        (figure == bounds.end() ? "a bound" : figure->second);
            one.provisions.insert(provision);
        }
    }
    return all;
}

std::string short_digest(const Json& pack) {
    return text_in(pack, "digest").substr(0, 12);
}

}  // namespace

std::vector<Difference> conclusions_that_differ(const Json& was, const Json& now) {
    Conclusions before = conclusions_of(was);
    Conclusions after = conclusions_of(now);
    for (const auto& [key, conclusion] : before) {
        after.try_emplace(key, Conclusion{"not spoken of", {}});
    }
    const Provisions then(was);
    const Provisions today(now);
    std::vector<Difference> all;
    for (const auto& [key, conclusion] : after) {
        const auto [old, fresh] = before.try_emplace(key, Conclusion{"not spoken of", {}});
        if (old->second.told != conclusion.told) {
            std::set<std::string> bearing = old->second.provisions;
            bearing.insert(conclusion.provisions.begin(), conclusion.provisions.end());
            all.push_back({key.first, key.second, old->second.told, conclusion.told,
                           turns_behind(key.second, std::move(bearing), then, today)});
        }
    }
    return all;
}

std::vector<Difference> grounds_that_differ(const Json& was, const Json& now) {
    const Conclusions before = conclusions_of(was);
    const Provisions then(was);
    const Provisions today(now);
    const auto told = [](const Conclusion& conclusion) {
        return conclusion.told + ", by " + joined(Json(conclusion.provisions), "no provision");
    };
    std::vector<Difference> all;
    for (const auto& [key, after] : conclusions_of(now)) {
        const auto old = before.find(key);
        if (old == before.end() || old->second.told != after.told) {
            continue;
        }
        std::set<std::string> bearing = old->second.provisions;
        bearing.insert(after.provisions.begin(), after.provisions.end());
        std::vector<ProvisionTurn> turned = turns_of(bearing, then, today);
        if (!turned.empty() || old->second.provisions != after.provisions) {
            all.push_back(
                {"grounds", key.second, told(old->second), told(after), std::move(turned)});
        }
    }
    return all;
}

std::vector<Difference> cautions_that_differ(const Json& was, const Json& now) {
    const auto cautions_of = [](const Json& root) {
        std::set<std::string> all;
        for (const Json& entry : list_in(root, "told")) {
            if (text_in(entry, "about") == "caution") {
                all.insert(text_in(list_in(entry, "tells"), "says"));
            }
        }
        return all;
    };
    const std::set<std::string> before = cautions_of(was);
    const std::set<std::string> after = cautions_of(now);
    std::vector<Difference> all;
    for (const std::string& caution : before) {
        if (!after.contains(caution)) {
            all.push_back({"caution", "of the answer", caution, not_told, {}});
        }
    }
    for (const std::string& caution : after) {
        if (!before.contains(caution)) {
            all.push_back({"caution", "of the answer", not_told, caution, {}});
        }
    }
    return all;
}

std::vector<Difference> steps_that_differ(const Json& was, const Json& now) {
    std::vector<Difference> all;
    const Provisions then(was);
    const Provisions today(now);
    for (const auto& [name, before] : then.all()) {
        const ToldProvision* after = today.find(name);
        if (after == nullptr) {
            all.push_back({"step", name, before.status, not_weighed, {}});
            continue;
        }
        if (before.status != after->status) {
            all.push_back({"step", name, before.status, after->status, {}});
        } else if (*before.step != *after->step) {
            all.push_back({"wording", name, canonical(*before.step), canonical(*after->step), {}});
        }
        if (before.told_apart != after->told_apart) {
            all.push_back({"wording", name, before.wording(), after->wording(), {}});
        }
    }
    for (const auto& [name, after] : today.all()) {
        if (then.find(name) == nullptr) {
            all.push_back({"step", name, not_weighed, after.status, {}});
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
            left[{text_in(each, name), text_in(each, edition)}] = &each;
        }
        for (const Json& each : before) {
            const std::string day = text_in(each, edition);
            const std::string title = std::string(day.empty() ? "vocabulary " : "") +
                                      text_in(each, name) + (day.empty() ? "" : ", edition " + day);
            const auto found = left.find({text_in(each, name), day});
            if (found == left.end()) {
                causes.push_back(title + ", is not used now");
                continue;
            }
            if (text_in(each, "digest") != text_in(*found->second, "digest")) {
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
    compare(list_in(was, "packs"), list_in(now, "packs"), "authority", "edition");
    compare(list_in(was, "vocabularies"), list_in(now, "vocabularies"), "vocabulary", "edition");
    return causes;
}

}  // namespace toprail
