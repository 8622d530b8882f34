// Values of one fact as they stand in lines, each read once: what comes again costs a look-up.
#pragma once

#include "bulk/plan_data.hpp"

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace toprail::lines {

/// A look reads this many bytes from where a token begins: there must be as many.
inline constexpr std::size_t token_bytes = 32;

/// Not thread-safe.
class Tokens {
  public:
    /// The class byte of a JSON token (quotes included) that was kept; empty for any other.
    [[nodiscard]] std::optional<std::uint8_t> look(const char* token, std::size_t size) const {
        if (size > token_bytes) {
            return std::nullopt;
        }
        const Key key = key_of(token, size);
        const std::size_t place = place_of(key);
        for (const Entry* const entry : {&entries_[place], &entries_[place ^ 1U]}) {
            if (entry->size == size && same(entry->key, key)) {
                return entry->byte;
            }
        }
        return std::nullopt;
    }

    void keep(std::string_view token, std::uint8_t byte);

  private:
    using Key = std::array<std::uint64_t, 4>;
    struct Entry {
        Key key{};
        std::size_t size = 0;
        std::uint8_t byte = 0;
    };
    static constexpr std::size_t places = 256;

    // Not array's own comparison, which is a call.
    static bool same(const Key& a, const Key& b) {
        return ((a[0] ^ b[0]) | (a[1] ^ b[1]) | (a[2] ^ b[2]) | (a[3] ^ b[3])) == 0;
    }

    static Key key_of(const char* token, std::size_t size) {
        Key key;
        __builtin_memcpy(key.data(), token, sizeof key);
        for (std::size_t w = 0; w < key.size(); ++w) {
            const std::size_t left = size > 8 * w ? size - 8 * w : 0;
            key[w] &= left >= 8 ? ~std::uint64_t{0} : (std::uint64_t{1} << (8 * left)) - 1;
        }
        return key;
    }

    static std::size_t place_of(const Key& key) {
        const std::uint64_t mixed = (key[0] * 0x9E3779B97F4A7C15U) ^
                                    (key[1] * 0xC2B2AE3D27D4EB4FU) ^
                                    (key[2] * 0x165667B19E3779F9U) ^ key[3];
        return static_cast<std::size_t>((mixed * 0x9E3779B97F4A7C15U) >> 56U);
    }

    // Each key has two places: its own, and the one beside it.
    std::vector<Entry> entries_ = std::vector<Entry>(places);
};

/// The class bytes of texts, and what is wrong with those that have none.
class Texts {
  public:
    Texts(const BulkPlan::Data& plan, std::size_t fact) : plan_(&plan), fact_(fact) {}

    struct Read {
        std::optional<std::uint8_t> byte;
        std::string says;  // where there is no byte
    };
    const Read& read(std::string_view text);

  private:
    const BulkPlan::Data* plan_;
    std::size_t fact_;
    std::unordered_map<std::string, Read, bulk::TextHash, std::equal_to<>> known_;
};

}  // namespace toprail::lines
