// Entry points: multiply, divide, describe.
#include "quantity/dimension.hpp"

#include <array>
#include <utility>

namespace toprail {
namespace {

std::int8_t narrow(int value) {
    return static_cast<std::int8_t>(value);
}

}  // namespace

Dimension multiply(Dimension a, Dimension b) {
    return {narrow(a.length + b.length), narrow(a.mass + b.mass), narrow(a.time + b.time),
            narrow(a.angle + b.angle)};
}

Dimension divide(Dimension a, Dimension b) {
    return {narrow(a.length - b.length), narrow(a.mass - b.mass), narrow(a.time - b.time),
            narrow(a.angle - b.angle)};
}

std::string describe(Dimension d) {
    static constexpr std::array<std::pair<Dimension, const char*>, 9> named{{
        {plain_number, "plain number"},
        {length_dimension, "length"},
        {mass_dimension, "mass"},
        {time_dimension, "time"},
        {angle_dimension, "angle"},
        {speed_dimension, "speed"},
        {force_dimension, "force"},
        {{1, 0, -2, 0}, "acceleration"},
        {{2, 1, -2, 0}, "energy"},
    }};
    for (const auto& [dimension, word] : named) {
        if (dimension == d) {
            return word;
        }
    }
    std::string text;
    const auto add = [&text](int power, const char* word) {
        if (power != 0) {
            text += (text.empty() ? "" : " x ") + std::string(word);
            if (power != 1) {
                text += "^" + std::to_string(power);
            }
        }
    };
    add(d.length, "length");
    add(d.mass, "mass");
    add(d.time, "time");
    add(d.angle, "angle");
    return text;
}

}  // namespace toprail
