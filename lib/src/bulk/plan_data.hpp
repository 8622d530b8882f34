// What a BulkPlan shares. Made by plan_bulk, immutable afterwards.
#pragma once

#include "bulk/classes.hpp"
#include "bulk/one_case.hpp"
#include "bulk/strips.hpp"
#include "bulk/tape.hpp"
#include "bulk/trail_texts.hpp"
#include "deciding/three_valued.hpp"
#include "toprail/bulk.hpp"

#include <map>
#include <string>
#include <unordered_map>
#include <vector>

namespace toprail {

namespace bulk {

/// Lets texts be looked up without making a string of them.
struct TextHash : std::hash<std::string_view> {
    using is_transparent = void;
};

}  // namespace bulk

struct BulkPlan::Data {
    explicit Data(Shelf kept) : shelf(std::move(kept)) {}

    Shelf shelf;  // keeps the model and the program alive
    Circumstances circumstances;
    Program program;              // what the search goes over: what the wanted duties hang on
    std::vector<BulkFact> facts;  // per FactId
    std::vector<bulk::FactClasses> classes;  // per FactId
    std::unordered_map<std::string, std::size_t, bulk::TextHash, std::equal_to<>> handles;
    std::vector<DutyId> duties;
    std::vector<std::string> duty_names;
    // Rows of statuses, provisions first, each by name; empty unless statuses are wanted.
    std::vector<ProvisionId> provisions;
    std::vector<std::string> provision_keys;
    std::vector<AuthorityId> authorities;
    std::vector<std::string> authority_names;
    // After them one row for each wanted duty: whether an authority says both of it.

    std::vector<FactId> columns;  // those that the tape reads, in its order
    std::vector<bulk::TapeStep> steps;
    std::vector<bulk::LeafPlane> leaves;
    std::vector<std::uint32_t> code;
    std::vector<bulk::OutcomePlanes> outcomes;
    std::vector<bulk::StatusPlanes> statuses;
    std::size_t slots = 0;

    bulk::OneCase one_case;
    bulk::Strips strips;
    bulk::TrailTexts texts;  // empty unless statuses are wanted

    [[nodiscard]] bulk::TapeView tape() const {
        return {steps.data(),    steps.size(),    leaves.data(), code.data(),
                outcomes.data(), statuses.data(), slots,         statuses.size()};
    }
};

}  // namespace toprail
