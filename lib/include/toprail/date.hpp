// Calendar days. A day is a plain value; every function here is thread-safe.
#pragma once

#include <compare>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace toprail {

/// A day of the proleptic Gregorian calendar, years 1800 to 2200.
class Date {
  public:
    /// Reads "2024-06-01". Empty when the text has another shape, the day does not exist
    /// (31 June), or the year is out of range.
    static std::optional<Date> parse(std::string_view text);

    /// The day with that count of days since 1970-01-01. Precondition: a day of the range above.
    static Date from_days(std::int32_t days) { return Date(days); }

    [[nodiscard]] std::int32_t days() const { return days_; }
    [[nodiscard]] std::string text() const;

    friend auto operator<=>(const Date&, const Date&) = default;

  private:
    explicit Date(std::int32_t days) : days_(days) {}
    std::int32_t days_;
};

}  // namespace toprail
