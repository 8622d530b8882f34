// Handles of distinct types, so that a fact is never taken for a condition.
#pragma once

#include <compare>
#include <cstdint>
#include <functional>
#include <limits>

namespace toprail {

template <class Tag>
struct Id {
    static constexpr std::uint32_t none = std::numeric_limits<std::uint32_t>::max();
    std::uint32_t value = none;

    constexpr Id() = default;
    constexpr explicit Id(std::size_t v) : value(static_cast<std::uint32_t>(v)) {}
    [[nodiscard]] constexpr bool valid() const { return value != none; }
    friend constexpr auto operator<=>(const Id&, const Id&) = default;
};

using FactId = Id<struct FactTag>;
using ConditionId = Id<struct ConditionTag>;
using QuantityId = Id<struct QuantityTag>;
using DutyId = Id<struct DutyTag>;
using ProvisionId = Id<struct ProvisionTag>;
using PackId = Id<struct PackTag>;
using AuthorityId = Id<struct AuthorityTag>;

}  // namespace toprail

template <class Tag>
struct std::hash<toprail::Id<Tag>> {
    std::size_t operator()(const toprail::Id<Tag>& id) const noexcept { return id.value; }
};
