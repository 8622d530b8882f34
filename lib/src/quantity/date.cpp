// Entry points: Date::parse, Date::text.
#include "toprail/date.hpp"

#include <chrono>
#include <cstdio>

namespace toprail {
namespace {

constexpr int first_year = 1800;
constexpr int last_year = 2200;

std::optional<int> digits(std::string_view text) {
    int value = 0;
    for (const char c : text) {
        if (c < '0' || c > '9') {
            return std::nullopt;
        }
        value = value * 10 + (c - '0');
    }
    return value;
}

}  // namespace

std::optional<Date> Date::parse(std::string_view text) {
    if (text.size() != 10 || text[4] != '-' || text[7] != '-') {
        return std::nullopt;
    }
    const auto year = digits(text.substr(0, 4));
    const auto month = digits(text.substr(5, 2));
    const auto day = digits(text.substr(8, 2));
    if (!year || !month || !day || *year < first_year || *year > last_year) {
        return std::nullopt;
    }
    const std::chrono::year_month_day ymd{std::chrono::year{*year},
                                          std::chrono::month{static_cast<unsigned>(*month)},
                                          std::chrono::day{static_cast<unsigned>(*day)}};
    if (!ymd.ok()) {
        return std::nullopt;
    }
    return Date(static_cast<std::int32_t>(std::chrono::sys_days{ymd}.time_since_epoch().count()));
}

std::string Date::text() const {
    const std::chrono::year_month_day ymd{std::chrono::sys_days{std::chrono::days{days_}}};
    char buffer[16];
    std::snprintf(buffer, sizeof buffer, "%04d-%02u-%02u", static_cast<int>(ymd.year()),
                  static_cast<unsigned>(ymd.month()), static_cast<unsigned>(ymd.day()));
    return buffer;
}

}  // namespace toprail
