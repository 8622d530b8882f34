#include "quantity/unit.hpp"

#include <doctest/doctest.h>

using namespace toprail;

namespace {

Figure figure(std::string_view text) {
    const FigureReading reading = read_figure(text);
    CAPTURE(text);
    REQUIRE(reading.figure);
    return *reading.figure;
}

FigureTrouble trouble(std::string_view text, std::string* culprit = nullptr) {
    const FigureReading reading = read_figure(text);
    CAPTURE(text);
    REQUIRE_FALSE(reading.figure);
    if (culprit != nullptr) {
        *culprit = reading.culprit;
    }
    return reading.trouble;
}

}  // namespace

TEST_CASE("figure: one length in three units is one length") {
    CHECK(figure("10 ft") == figure("120 in"));
    CHECK(figure("10 ft") == figure("3.048 m"));
    CHECK(figure("10 ft") == figure("3048 mm"));
    CHECK(figure("10 ft") == figure("304.8 cm"));
    CHECK(figure("1 yd") == figure("3 ft"));
    CHECK(figure("1 km") == figure("1,000 m"));
    CHECK_FALSE(figure("10 ft") == figure("3.05 m"));
}

TEST_CASE("figure: each unit against its definition") {
    // International yard and pound of 1959; standard gravity of the third CGPM, 1901.
    CHECK(figure("1 in").base == Number(254, 10000));
    CHECK(figure("1 lb").base == Number(45359237, 100000000));
    CHECK(figure("1 kg") == figure("1000 g"));
    CHECK(figure("1 lbf").base == Number(45359237, 100000000) * Number(980665, 100000));
    CHECK(figure("1 kN") == figure("1000 N"));
    CHECK(figure("1 h") == figure("60 min"));
    CHECK(figure("1 day") == figure("86400 s"));
    CHECK(figure("60 mph") == figure("88 ft/s"));
    CHECK(figure("60 ft/min") == figure("1 ft/s"));
    CHECK(figure("3.6 km/h") == figure("1 m/s"));
    CHECK(figure("90 deg").dimension == angle_dimension);
}

TEST_CASE("figure: pounds of mass and of force are two things") {
    CHECK(figure("310 lb").dimension == mass_dimension);
    CHECK(figure("310 lbf").dimension == force_dimension);
    CHECK_FALSE(figure("1 lb") == figure("1 lbf"));
}

TEST_CASE("figure: several parts add up") {
    CHECK(figure("5 ft 6 in") == figure("66 in"));
    CHECK(figure("5ft 6in") == figure("5.5 ft"));
    CHECK(figure("1 m 50 cm 5 mm") == figure("1505 mm"));
    CHECK(figure("-5 ft 6 in") == figure("-66 in"));
    CHECK(figure("  5 ft   6 in ") == figure("66 in"));
    CHECK(figure("5 ft 6 in").text == "5 ft 6 in");
}

TEST_CASE("figure: a plain number has no unit") {
    CHECK(figure("7").dimension == plain_number);
    CHECK(figure("1,800").base == Number(1800));
    CHECK(figure("0.5").base == Number(1, 2));
}

TEST_CASE("figure: what is refused, and why") {
    std::string culprit;
    CHECK(trouble("10 feet", &culprit) == FigureTrouble::unknown_unit);
    CHECK(culprit == "feet");
    CHECK(trouble("10 FT") == FigureTrouble::unknown_unit);
    CHECK(trouble("10 ft/h", &culprit) == FigureTrouble::unknown_unit);
    CHECK(culprit == "ft/h");
    CHECK(trouble("5 ft 6 lb", &culprit) == FigureTrouble::mixed_units);
    CHECK(culprit == "lb");
    for (const char* text : {"9 ft 9 ft", "6 in 5 ft", "2 m 1 km", "1 h 5 s 2 min"}) {
        CHECK(trouble(text, &culprit) == FigureTrouble::parts_out_of_order);
        CHECK(culprit == text);
    }
    CHECK(figure("1 h 59 min 59 s") == figure("7199 s"));
    CHECK(trouble("5 ft 6", &culprit) == FigureTrouble::mixed_units);
    for (const char* text :
         {"", " ", "ft", "ten ft", "about 10 ft", "1,00 ft", "5 ft -6 in", "-"}) {
        CAPTURE(text);
        CHECK(trouble(text) == FigureTrouble::not_a_figure);
    }
}

TEST_CASE("figure: shown in a unit") {
    const Unit* foot = find_unit("ft");
    REQUIRE(foot != nullptr);
    CHECK(show_in_unit(figure("120 in").base, *foot) == "10 ft");
    CHECK(show_in_unit(figure("3.5 ft").base, *foot) == "3.5 ft");
    CHECK(show_in_unit(figure("1 in").base, *foot) == "about 0.08 ft");
    CHECK(show_in_unit(figure("1 in").base, *foot, 4) == "about 0.0833 ft");
    CHECK(show_in_unit(figure("-69 in").base, *foot) == "-5.75 ft");
}

TEST_CASE("unit: the longest name that ends with the word") {
    CHECK(leading_unit("ft/s + a") == 4);
    CHECK(leading_unit("ft / s") == 2);
    CHECK(leading_unit("min)") == 3);
    CHECK(leading_unit("minimum") == 0);
    CHECK(leading_unit("inch") == 0);
    CHECK(leading_unit("") == 0);
}

TEST_CASE("unit: every name is found again") {
    for (const Dimension dimension : {length_dimension, mass_dimension, force_dimension,
                                      time_dimension, speed_dimension, angle_dimension}) {
        CHECK_FALSE(units_of(dimension).empty());
        for (const std::string_view name : units_of(dimension)) {
            const Unit* unit = find_unit(name);
            REQUIRE(unit != nullptr);
            CHECK(unit->dimension == dimension);
            CHECK(unit->scale > 0);
        }
    }
    CHECK(find_unit("foot") == nullptr);
    CHECK(find_unit("") == nullptr);
}

TEST_CASE("dimension: products and names") {
    CHECK(divide(length_dimension, time_dimension) == speed_dimension);
    const Dimension acceleration = divide(speed_dimension, time_dimension);
    CHECK(multiply(mass_dimension, acceleration) == force_dimension);
    CHECK(divide(length_dimension, length_dimension).plain());
    CHECK(describe(force_dimension) == "force");
    CHECK(describe(multiply(force_dimension, length_dimension)) == "energy");
    CHECK(describe(multiply(length_dimension, length_dimension)) == "length^2");
    CHECK(describe(plain_number) == "plain number");
}
