// Runs a RapidCheck property from a stated seed, so that a run can be repeated.
#pragma once

#include "toprail/shelf.hpp"

#include <rapidcheck.h>

#include <cstdint>
#include <iostream>
#include <utility>

namespace oracle {

/// TOPRAIL_SEED, or a fixed number: nothing in the suite depends on the time.
std::uint64_t first_seed();

/// Whether TOPRAIL_LONG_RUN asks for more than the usual run.
bool long_run();

/// True, and logged to RapidCheck, when the shelf has findings that are errors.
bool has_trouble(const toprail::LoadedShelf& loaded);

/// Checks `property` on `count` values of the generator; shrinks and prints a failure with its
/// seed.
template <typename Value, typename Property>
bool check_property(rc::Gen<Value> gen, int count, std::uint64_t seed, Property property) {
    rc::detail::TestParams params;
    params.seed = seed;
    params.maxSuccess = count;
    const auto result = rc::detail::checkTestable([&] { property(*gen.as("shelf")); },
                                                  rc::detail::TestMetadata{}, params);
    if (result.template is<rc::detail::SuccessResult>()) {
        return true;
    }
    std::cerr << "seed " << seed << "\n";
    rc::detail::printResultMessage(result, std::cerr);
    std::cerr << "\n";
    return false;
}

}  // namespace oracle
