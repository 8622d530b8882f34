// Entry point: Facts.
#include "toprail/facts.hpp"

#include <algorithm>
#include <utility>

namespace toprail {
namespace {

constexpr std::size_t few = 64;

}  // namespace

Facts::Facts(std::vector<FactEntry> entries)
    : entries_(std::move(entries)),
      positions_(positions()) {}

Facts& Facts::set(std::string_view name, std::string_view value, std::string_view from) {
    FactEntry entry;
    entry.name = name;
    entry.from = from;
    if (value == "not known") {
        entry.state = FactState::not_known;
    } else if (value == "does not apply") {
        entry.state = FactState::does_not_apply;
    } else {
        entry.state = FactState::given;
        entry.text = value;
    }
    return set(std::move(entry));
}

Facts& Facts::set(FactEntry entry) {
    const std::size_t at = position(entry.name);
    if (at < entries_.size()) {
        entries_[at] = std::move(entry);
        return *this;
    }
    entries_.push_back(std::move(entry));
    try {
        if (!positions_.empty()) {
            positions_.emplace(entries_.back().name, at);
        } else {
            positions_ = positions();
        }
    } catch (...) {
        // Want of memory: as if it had not been set, since a fact that cannot be found is none.
        entries_.pop_back();
        throw;
    }
    return *this;
}

void Facts::remove(std::string_view name) {
    const std::size_t at = position(name);
    if (at < entries_.size()) {
        positions_.clear();
        entries_.erase(entries_.begin() + static_cast<std::ptrdiff_t>(at));
        positions_ = positions();
    }
}

const FactEntry* Facts::find(std::string_view name) const {
    const std::size_t at = position(name);
    return at < entries_.size() ? &entries_[at] : nullptr;
}

// entries_.size() where no entry has the name.
std::size_t Facts::position(std::string_view name) const {
    if (!positions_.empty()) {
        const auto found = positions_.find(name);
        return found == positions_.end() ? entries_.size() : found->second;
    }
    const auto found = std::find_if(entries_.begin(), entries_.end(),
                                    [name](const FactEntry& e) { return e.name == name; });
    return static_cast<std::size_t>(found - entries_.begin());
}

Facts::Positions Facts::positions() const {
    Positions made;
    if (entries_.size() > few) {
        made.reserve(entries_.size());
        for (std::size_t i = 0; i < entries_.size(); ++i) {
            made.emplace(entries_[i].name, i);
        }
    }
    return made;
}

}  // namespace toprail
