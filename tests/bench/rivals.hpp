// What write_rivals emits for each set of rules: the rules as somebody would write them out in C++.
#pragma once

#include <cstddef>
#include <cstdint>

namespace bench {

/// Rows hold a class byte per fact of the plan; `outcomes` a byte per duty; `statuses` a byte per
/// provision, as toprail::Status.
struct Rival {
    /// Short-circuit: each part is looked at only when it still matters.
    void (*branchy)(const std::uint8_t* row, std::uint8_t* outcomes);
    /// Three-valued without branches: every part, as a pair of words.
    void (*plain)(const std::uint8_t* row, std::uint8_t* outcomes);
    void (*plain_statuses)(const std::uint8_t* row, std::uint8_t* outcomes, std::uint8_t* statuses);
    /// The same over columns. Outcomes stand duty by duty, statuses case by case.
    void (*columns)(const std::uint8_t* const* columns, std::size_t cases, std::uint8_t* outcomes);
    void (*columns_statuses)(const std::uint8_t* const* columns, std::size_t cases,
                             std::uint8_t* outcomes, std::uint8_t* statuses);
    /// Whether it writes statuses at all.
    bool statuses;
};

extern const Rival invented_rival;
extern const Rival shipped_rival;

}  // namespace bench
