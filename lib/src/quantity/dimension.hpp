// Dimensions of measured things, as powers of length, mass, time and angle.
// Plain values; thread-safe as any value is.
#pragma once

#include <cstdint>
#include <string>

namespace toprail {

/// Powers of the base dimensions. A force is mass * length / time^2, so `{1, 1, -2, 0}`.
struct Dimension {
    std::int8_t length = 0;
    std::int8_t mass = 0;
    std::int8_t time = 0;
    std::int8_t angle = 0;

    friend bool operator==(const Dimension&, const Dimension&) = default;

    [[nodiscard]] bool plain() const { return *this == Dimension{}; }
};

inline constexpr Dimension plain_number{};
inline constexpr Dimension length_dimension{1, 0, 0, 0};
inline constexpr Dimension mass_dimension{0, 1, 0, 0};
inline constexpr Dimension time_dimension{0, 0, 1, 0};
inline constexpr Dimension angle_dimension{0, 0, 0, 1};
inline constexpr Dimension speed_dimension{1, 0, -1, 0};
inline constexpr Dimension force_dimension{1, 1, -2, 0};

Dimension multiply(Dimension a, Dimension b);
Dimension divide(Dimension a, Dimension b);

/// A word for people: "length", "force", "length x length", "plain number".
std::string describe(Dimension d);

}  // namespace toprail
