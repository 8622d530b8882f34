// Entry points: value_classes, day_classes, number_classes.
#include "deciding/classes.hpp"

#include <algorithm>
#include <map>

namespace toprail {
namespace {

void add_absent(const Fact& fact, std::vector<FactClass>& classes) {
    if (fact.may_not_apply) {
        FactClass absent;
        absent.absent = true;
        classes.push_back(std::move(absent));
    }
}

// A value strictly between the ends (an absent end is infinite); whole for counts. Empty when none
// is.
std::optional<Number> between(const std::optional<Number>& low, const std::optional<Number>& high,
                              bool whole) {
    if (!low && !high) {
        return Number(0);
    }
    if (!whole) {
        if (low && high) {
            return Number((*low + *high) / 2);
        }
        return low ? Number(*low + 1) : Number(*high - 1);
    }
    if (!low) {
        const Number below = high->floor();
        return below == *high ? Number(below - 1) : below;
    }
    const Number above = low->floor() + 1;
    return !high || above < *high ? std::optional(above) : std::nullopt;
}

}  // namespace

std::vector<FactClass> value_classes(const Fact& fact,
                                     const std::vector<const std::vector<bool>*>& tests) {
    const std::size_t count = fact.type == FactType::yes_no ? 2 : fact.values.size();
    std::map<std::vector<bool>, std::size_t> seen;
    std::vector<FactClass> classes;
    for (std::size_t value = 0; value < count; ++value) {
        std::vector<bool> signature;
        signature.reserve(tests.size());
        for (const std::vector<bool>* test : tests) {
            signature.push_back((*test)[value]);
        }
        const auto [found, fresh] = seen.emplace(std::move(signature), classes.size());
        if (fresh) {
            classes.emplace_back();
        }
        classes[found->second].values.push_back(static_cast<std::uint32_t>(value));
    }
    add_absent(fact, classes);
    return classes;
}

std::vector<FactClass> day_classes(const Fact& fact, std::vector<std::int32_t> cuts,
                                   std::optional<Date> first_day) {
    // The range of Date, so that every class holds a day that somebody could give.
    const std::int32_t first = first_day ? first_day->days() : Date::parse("1800-01-01")->days();
    const std::int32_t last = Date::parse("2200-12-31")->days();
    std::erase_if(cuts, [&](std::int32_t cut) { return cut <= first || cut > last; });
    cuts.push_back(first);
    std::sort(cuts.begin(), cuts.end());
    cuts.erase(std::unique(cuts.begin(), cuts.end()), cuts.end());
    std::vector<FactClass> classes;
    for (std::size_t i = 0; i < cuts.size(); ++i) {
        FactClass days;
        days.first_day = cuts[i];
        days.last_day = i + 1 < cuts.size() ? cuts[i + 1] - 1 : last;
        classes.push_back(std::move(days));
    }
    add_absent(fact, classes);
    return classes;
}

std::vector<FactClass> number_classes(const Fact& fact, std::vector<Number> thresholds) {
    const bool whole = fact.type == FactType::count;
    std::optional<Number> low;
    std::optional<Number> high;
    if (fact.from) {
        low = fact.from->base;
        thresholds.push_back(*low);
    }
    if (fact.to) {
        high = fact.to->base;
        thresholds.push_back(*high);
    }
    std::sort(thresholds.begin(), thresholds.end());
    thresholds.erase(std::unique(thresholds.begin(), thresholds.end()), thresholds.end());
    std::erase_if(thresholds,
                  [&](const Number& t) { return (low && t < *low) || (high && t > *high); });
    std::vector<FactClass> classes;
    const auto add = [&classes](const Number& sample) {
        FactClass one;
        one.sample = sample;
        classes.push_back(std::move(one));
    };
    const auto add_gap = [&](const std::optional<Number>& from, const std::optional<Number>& to) {
        if (const auto sample = between(from, to, whole)) {
            add(*sample);
        }
    };
    if (!low) {
        add_gap(std::nullopt,
                thresholds.empty() ? std::nullopt : std::optional(thresholds.front()));
    }
    for (std::size_t i = 0; i < thresholds.size(); ++i) {
        if (!whole || thresholds[i].whole()) {
            add(thresholds[i]);
        }
        if (i + 1 < thresholds.size()) {
            add_gap(thresholds[i], thresholds[i + 1]);
        }
    }
    if (!high && !thresholds.empty()) {
        add_gap(thresholds.back(), std::nullopt);
    }
    add_absent(fact, classes);
    return classes;
}

}  // namespace toprail
