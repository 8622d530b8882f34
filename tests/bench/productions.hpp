// The rules as productions of a general-purpose production-rule library, CLIPS.
#pragma once

#include "plain_rules.hpp"

#include <memory>

namespace bench {

class Productions {
  public:
    /// Throws std::runtime_error when a rule is not taken.
    explicit Productions(const PlainRules& rules);
    ~Productions();
    Productions(const Productions&) = delete;
    Productions& operator=(const Productions&) = delete;

    /// Forgets the case before.
    void reset();
    /// Asserts the facts of a case and runs the rules.
    void run(const std::uint8_t* row);
    /// Reads what was concluded, for the first duty.
    [[nodiscard]] std::uint8_t outcome() const;

  private:
    struct Data;
    std::unique_ptr<Data> data_;
};

}  // namespace bench
