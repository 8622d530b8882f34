// Entry point: FactClasses.
#include "bulk/classes.hpp"

#include <algorithm>
#include <limits>
#include <map>

namespace toprail::bulk {
namespace {

template <class List>
void sort_unique(List& list) {
    std::sort(list.begin(), list.end());
    list.erase(std::unique(list.begin(), list.end()), list.end());
}

// Lies `value` past the cut?
bool past(const Cut& cut, const Number& value) {
    return cut.above ? value > cut.at : value >= cut.at;
}

Number turn_of(const Value& line) {
    return -line.offset / line.slope;
}

bool truth_at(Verb verb, const Value& line, const Number& x) {
    return holds(verb, line.slope * x + line.offset);
}

}  // namespace

void FactClasses::cut(const Atom& atom) {
    if (atom.kind == AtomKind::member) {
        members_.push_back(atom.members);
    } else {
        day_cuts_.push_back(atom.first_day);
        if (atom.last_day < std::numeric_limits<std::int32_t>::max()) {
            day_cuts_.push_back(atom.last_day + 1);
        }
    }
}

void FactClasses::cut(Verb verb, const Value& line) {
    const Number turn = turn_of(line);
    // The test says one thing below the turn, and there, and above: cut where it changes.
    const bool below = truth_at(verb, line, turn - 1);
    const bool there = truth_at(verb, line, turn);
    const bool above = truth_at(verb, line, turn + 1);
    if (below != there) {
        cuts_.push_back({turn, false});
    }
    if (there != above) {
        cuts_.push_back({turn, true});
    }
}

bool FactClasses::finish(const Fact& fact) {
    type_ = fact.type;
    switch (type_) {
    case FactType::yes_no:
    case FactType::choice:
        finish_choice(fact);
        break;
    case FactType::date:
        finish_days();
        break;
    case FactType::count:
    case FactType::measured:
        finish_numbers(fact);
        break;
    }
    return samples_.size() <= most_classes;
}

void FactClasses::finish_choice(const Fact& fact) {
    const std::size_t count = type_ == FactType::yes_no ? 2 : fact.values.size();
    std::map<std::vector<bool>, std::size_t> classes;
    for (std::size_t value = 0; value < count; ++value) {
        std::vector<bool> said;
        for (const std::vector<bool>& test : members_) {
            said.push_back(test[value]);
        }
        const auto [found, fresh] = classes.try_emplace(std::move(said), samples_.size());
        if (fresh) {
            BoundFact sample;
            sample.state = FactState::given;
            sample.value = static_cast<std::uint32_t>(value);
            samples_.push_back(std::move(sample));
        }
        class_of_value_.push_back(static_cast<std::uint8_t>(found->second));
    }
}

void FactClasses::finish_days() {
    const std::int32_t first = Date::parse("1800-01-01")->days();
    const std::int32_t last = Date::parse("2200-12-31")->days();
    std::erase_if(day_cuts_, [&](std::int32_t day) { return day <= first || day > last; });
    sort_unique(day_cuts_);
    for (std::size_t i = 0; i <= day_cuts_.size(); ++i) {
        BoundFact sample;
        sample.state = FactState::given;
        sample.day = i == 0 ? first : day_cuts_[i - 1];
        samples_.push_back(std::move(sample));
    }
}

void FactClasses::finish_numbers(const Fact& fact) {
    if (type_ == FactType::count) {
        for (Cut& cut : cuts_) {
            // The next whole number begins the class.
            cut.at = cut.above || !cut.at.whole() ? cut.at.floor() + 1 : cut.at;
            cut.above = false;
        }
    }
    sort_unique(cuts_);
    for (std::size_t i = 0; i <= cuts_.size(); ++i) {
        const Cut* const low = i == 0 ? nullptr : &cuts_[i - 1];
        const Cut* const high = i == cuts_.size() ? nullptr : &cuts_[i];
        BoundFact sample;
        sample.state = FactState::given;
        if (low != nullptr && !low->above) {
            sample.number = low->at;
        } else if (high != nullptr && high->above) {
            sample.number = high->at;
        } else if (low != nullptr && high != nullptr) {
            sample.number = (low->at + high->at) / 2;
        } else if (low != nullptr) {
            sample.number = low->at + 1;
        } else if (high != nullptr) {
            sample.number =
                fact.from && fact.from->base < high->at ? fact.from->base : Number(high->at - 1);
        }
        samples_.push_back(std::move(sample));
    }
}

std::uint8_t FactClasses::class_of(const BoundFact& value) const {
    switch (type_) {
    case FactType::yes_no:
    case FactType::choice:
        return class_of_value_[value.value];
    case FactType::date:
        return static_cast<std::uint8_t>(
            std::upper_bound(day_cuts_.begin(), day_cuts_.end(), value.day) - day_cuts_.begin());
    case FactType::count:
    case FactType::measured:
        break;
    }
    const auto found = std::partition_point(
        cuts_.begin(), cuts_.end(), [&](const Cut& cut) { return past(cut, value.number); });
    return static_cast<std::uint8_t>(found - cuts_.begin());
}

std::vector<bool> FactClasses::truths(const Atom& atom) const {
    std::vector<bool> result;
    for (const BoundFact& sample : samples_) {
        result.push_back(atom.kind == AtomKind::member
                             ? atom.members[sample.value]
                             : sample.day >= atom.first_day && sample.day <= atom.last_day);
    }
    return result;
}

std::vector<bool> FactClasses::truths(Verb verb, const Value& line) const {
    std::vector<bool> result;
    for (const BoundFact& sample : samples_) {
        result.push_back(truth_at(verb, line, sample.number));
    }
    return result;
}

std::vector<bool> FactClasses::before(std::int32_t day) const {
    std::vector<bool> result;
    for (const BoundFact& sample : samples_) {
        result.push_back(sample.day < day);
    }
    return result;
}

std::vector<std::int64_t> FactClasses::starts(const Number& scale) const {
    std::vector<std::int64_t> result;
    for (const Cut& cut : cuts_) {
        const Number at = cut.at / scale;
        const Number start = cut.above || !at.whole() ? at.floor() + 1 : at;
        // A start that no 64-bit number reaches lies beyond them all.
        const Number most(std::numeric_limits<std::int64_t>::max());
        const Number least(std::numeric_limits<std::int64_t>::min() + 2);
        result.push_back(start > most    ? std::numeric_limits<std::int64_t>::max()
                         : start < least ? *least.integer()
                                         : *start.integer());
    }
    return result;
}

}  // namespace toprail::bulk
