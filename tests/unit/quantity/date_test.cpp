#include "toprail/date.hpp"

#include <doctest/doctest.h>

using toprail::Date;

TEST_CASE("date: days that exist") {
    for (const char* text :
         {"1800-01-01", "1970-01-01", "2000-02-29", "2024-02-29", "2024-06-30", "2200-12-31"}) {
        CAPTURE(text);
        const auto day = Date::parse(text);
        REQUIRE(day);
        CHECK(day->text() == text);
    }
    CHECK(Date::parse("1970-01-01")->days() == 0);
    CHECK(Date::parse("1969-12-31")->days() == -1);
    CHECK(Date::parse("2000-03-01")->days() - Date::parse("2000-02-28")->days() == 2);
}

TEST_CASE("date: days that do not, and other shapes") {
    for (const char* text :
         {"2024-06-31", "2023-02-29", "1900-02-29", "2024-00-10", "2024-13-01", "2024-01-00",
          "1799-12-31", "2201-01-01", "2024-6-1", "24-06-01", "2024/06/01", "01.06.2024",
          "2024-06-01T00:00", " 2024-06-01", "2024-06-0a", "", "today"}) {
        CAPTURE(text);
        CHECK_FALSE(Date::parse(text));
    }
}

TEST_CASE("date: order and count") {
    const Date last = *Date::parse("2017-01-16");
    const Date first = *Date::parse("2017-01-17");
    CHECK(last < first);
    CHECK(Date::from_days(last.days() + 1) == first);
}
