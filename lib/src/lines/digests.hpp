// Digests of names that were met.
#pragma once

#include <cstddef>
#include <cstdint>
#include <utility>
#include <vector>

namespace toprail::lines {

/// A set of digests, each at the first free place from where its lower bits lead. However they were
/// chosen, a look takes a bounded time: one that finds no place near by is not kept.
class Digests {
  public:
    Digests() : places_(std::size_t{1} << 10U) {}

    [[nodiscard]] std::size_t size() const { return size_; }

    [[nodiscard]] bool contains(std::uint64_t digest) const {
        const std::uint64_t* const place = find(some(digest));
        return place != nullptr && *place != 0;
    }

    void insert(std::uint64_t digest) {
        if (2 * size_ >= places_.size()) {
            const std::vector<std::uint64_t> before = std::move(places_);
            places_ = std::vector<std::uint64_t>(2 * before.size());
            size_ = 0;
            for (const std::uint64_t each : before) {
                if (each != 0) {
                    put(each);
                }
            }
        }
        put(some(digest));
    }

    /// For a look that follows soon.
    void bring_nearer(std::uint64_t digest) const {
        __builtin_prefetch(&places_[digest & (places_.size() - 1)]);
    }

  private:
    static constexpr std::size_t most_steps = 1'000;

    // Zeros stand where there is none.
    static std::uint64_t some(std::uint64_t digest) { return digest == 0 ? 1 : digest; }

    // Where it is or could be; null where there is no place.
    [[nodiscard]] const std::uint64_t* find(std::uint64_t digest) const {
        for (std::size_t step = 0; step < most_steps; ++step) {
            const std::uint64_t& place = places_[(digest + step) & (places_.size() - 1)];
            if (place == digest || place == 0) {
                return &place;
            }
        }
        return nullptr;
    }

    void put(std::uint64_t digest) {
        const std::uint64_t* const place = find(digest);
        if (place != nullptr && *place == 0) {
            places_[static_cast<std::size_t>(place - places_.data())] = digest;
            ++size_;
        }
    }

    std::vector<std::uint64_t> places_;  // a power of two of them, at most half of them taken
    std::size_t size_ = 0;
};

}  // namespace toprail::lines
