// Values of one fact as they stand in lines, each read once: what comes again costs a look-up.
#pragma once

#include "bulk/plan_data.hpp"
#include "lines/abreast.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace toprail::lines {

/// Tokens and their class bytes. No two share a place: where they would, a multiplier is changed.
/// Not thread-safe.
class Tokens {
  public:
    Tokens();

    /// The class byte of a token that was kept; empty for any other. From the token on
    /// `window_bytes` bytes can be read, and eight before it.
    [[nodiscard]] std::optional<std::uint8_t> look(const char* token, std::size_t size) const;

    /// Keeps a token as it stands in its line, unless it is too long; when there are very many, the
    /// others are forgotten.
    void keep(const char* token, std::size_t size, std::uint8_t byte);

    /// Valid until a token is kept.
    [[nodiscard]] KnownPlaces places() const {
        return {tokens_.data(), multipliers_.data(), mask_};
    }

  private:
    void clear(std::size_t places);
    bool put(const KnownToken& token, std::uint32_t hash);
    bool move_group(const KnownToken& more, std::uint32_t hash);

    std::vector<KnownToken> tokens_;
    std::vector<std::uint32_t> hashes_;  // of those that are there
    std::vector<std::uint32_t> multipliers_;
    std::uint32_t mask_ = 0;
    std::size_t kept_ = 0;
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
