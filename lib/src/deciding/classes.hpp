// The classes of an unknown fact: sets of values that no test of the case tells apart.
#pragma once

#include "deciding/value.hpp"
#include "rulepack/model.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace toprail {

struct FactClass {
    bool absent = false;                // "does not apply"
    std::vector<std::uint32_t> values;  // choice and yes-no: positions
    std::int32_t first_day = 0;         // date: the days from first to last
    std::int32_t last_day = 0;
    Number sample;  // measured and count: one value of the class
};

/// Choice and yes-no facts: values that every test treats alike are one class.
std::vector<FactClass> value_classes(const Fact& fact,
                                     const std::vector<const std::vector<bool>*>& tests);

/// Dates: `cuts` are first days of classes. Days before `first` are left out.
std::vector<FactClass> day_classes(const Fact& fact, std::vector<std::int32_t> cuts,
                                   std::optional<Date> first = std::nullopt);

/// Measured facts and counts: each threshold is a class of its own, and so is each gap between them
/// that holds a sensible value.
std::vector<FactClass> number_classes(const Fact& fact, std::vector<Number> thresholds);

}  // namespace toprail
