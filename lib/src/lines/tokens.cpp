// Entry points: Tokens, Texts.
#include "lines/tokens.hpp"

#include "bulk/run.hpp"
#include "shelf/shelf_data.hpp"

#include <algorithm>
#include <cstring>
#include <utility>

namespace toprail::lines {
namespace {

// Past this many texts of a fact they are forgotten.
constexpr std::size_t most_kept = 50'000;

// Of places for known tokens: from a choice of few values to lengths of many.
constexpr std::size_t least_places = 16;
constexpr std::size_t most_places = std::size_t{1} << KnownPlaces::most_bits;

// One of so many stays free: looks are quickest where the known tokens fill few lines of a cache.
constexpr std::size_t free_share = 8;

// Odd, so that no two hashes become one.
constexpr std::uint32_t first_multiplier = 0x9E3779B1U;

// More than that is seldom worth the while; there is room enough elsewhere.
constexpr int most_tries = 1'000;

// With what ends it: a quote, or what follows in the line, so that 1 and 12 differ from their
// beginnings on.
std::size_t known_size(const char* token, std::size_t size) {
    return *token == '"' ? size : size + 1;
}

std::uint32_t hash_of(const char* token, std::size_t known_size) {
    const std::size_t last = known_size - 1;
    const Window seen = Window::load(token).up_to(last);
    return lines::hash_of(seen.word(), token, last);
}

}  // namespace

Tokens::Tokens() {
    clear(least_places);
}

void Tokens::clear(std::size_t places) {
    tokens_.assign(places, KnownToken{});
    hashes_.assign(places, 0);
    multipliers_.assign(std::size_t{1} << KnownPlaces::multiplier_bits, first_multiplier);
    mask_ = static_cast<std::uint32_t>(places - 1);
    kept_ = 0;
}

std::optional<std::uint8_t> Tokens::look(const char* token, std::size_t size) const {
    size = known_size(token, size);
    if (size > most_known_bytes) {
        return std::nullopt;
    }
    const std::uint32_t hash = hash_of(token, size);
    const KnownToken& known = tokens_[place_by(hash, multipliers_[group_of(hash)], mask_)];
    return known.size == size && std::memcmp(known.text, token, size) == 0
               ? std::optional(known.byte)
               : std::nullopt;
}

void Tokens::keep(const char* token, std::size_t size, std::uint8_t byte) {
    size = known_size(token, size);
    if (size > most_known_bytes) {
        return;
    }
    KnownToken known{};
    std::memcpy(known.text, token, size);
    known.size = static_cast<std::uint8_t>(size);
    known.byte = byte;
    const std::uint32_t hash = hash_of(token, size);
    if (put(known, hash)) {
        return;
    }
    // Not enough room: twice as much, or all anew.
    const std::vector<KnownToken> before = std::move(tokens_);
    const std::vector<std::uint32_t> hashes = std::move(hashes_);
    clear(std::min(2 * before.size(), most_places));
    if (tokens_.size() > before.size()) {
        for (std::size_t t = 0; t < before.size(); ++t) {
            if (before[t].size != 0) {
                put(before[t], hashes[t]);
            }
        }
    }
    put(known, hash);
}

bool Tokens::put(const KnownToken& token, std::uint32_t hash) {
    const std::uint32_t place = place_by(hash, multipliers_[group_of(hash)], mask_);
    const bool taken = tokens_[place].size != 0;
    // Otherwise it is the same token, or one that it could never stand beside.
    if (!taken || hashes_[place] != hash) {
        if (kept_ >= tokens_.size() - tokens_.size() / free_share) {
            return false;
        }
        if (taken && !move_group(token, hash)) {
            return false;
        }
        ++kept_;
        if (taken) {
            return true;
        }
    }
    tokens_[place] = token;
    hashes_[place] = hash;
    return true;
}

// Looks for a multiplier by which all tokens of the group come to stand in places that are free.
bool Tokens::move_group(const KnownToken& more, std::uint32_t hash) {
    const std::uint32_t group = group_of(hash);
    std::vector<KnownToken> moving{more};
    std::vector<std::uint32_t> hashes{hash};
    std::vector<std::size_t> from;
    for (std::size_t t = 0; t < tokens_.size(); ++t) {
        if (group_of(hashes_[t]) == group && tokens_[t].size != 0) {
            moving.push_back(tokens_[t]);
            hashes.push_back(hashes_[t]);
            from.push_back(t);
            tokens_[t].size = 0;
        }
    }
    std::uint32_t multiplier = multipliers_[group];
    std::vector<std::uint32_t> to(moving.size());
    for (int tries = 0; tries < most_tries; ++tries) {
        multiplier = multiplier * first_multiplier + 2;  // odd again
        std::size_t placed = 0;
        for (; placed < moving.size(); ++placed) {
            to[placed] = place_by(hashes[placed], multiplier, mask_);
            const auto end = to.begin() + static_cast<std::ptrdiff_t>(placed);
            if (tokens_[to[placed]].size != 0 || std::find(to.begin(), end, to[placed]) != end) {
                break;
            }
        }
        if (placed == moving.size()) {
            for (const std::size_t place : from) {
                tokens_[place] = KnownToken{};
            }
            for (std::size_t m = 0; m < moving.size(); ++m) {
                tokens_[to[m]] = moving[m];
                hashes_[to[m]] = hashes[m];
            }
            multipliers_[group] = multiplier;
            return true;
        }
    }
    for (std::size_t m = 0; m < from.size(); ++m) {
        tokens_[from[m]] = moving[m + 1];
    }
    return false;
}

const Texts::Read& Texts::read(std::string_view text) {
    const auto found = known_.find(text);
    if (found != known_.end()) {
        return found->second;
    }
    if (known_.size() >= most_kept) {
        known_.clear();
    }
    Findings findings;
    const auto value = bind_fact(plan_->shelf.data().model, FactId(fact_), text, findings);
    Read read;
    if (value) {
        read.byte = bulk::class_byte(*plan_, fact_, *value);
    } else {
        const std::vector<Finding> all = findings.take();
        read.says = all.front().message;
        read.says += all.front().help.empty() ? "" : "; " + all.front().help;
    }
    return known_.emplace(std::string(text), std::move(read)).first->second;
}

}  // namespace toprail::lines
