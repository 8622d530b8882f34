// What a BulkPlan shares. Made by plan_bulk, immutable afterwards.
#pragma once

#include "bulk/classes.hpp"
#include "bulk/tape.hpp"
#include "deciding/three_valued.hpp"
#include "toprail/bulk.hpp"

#include <map>
#include <string>
#include <vector>

namespace toprail {

struct BulkPlan::Data {
    explicit Data(Shelf kept) : shelf(std::move(kept)) {}

    Shelf shelf;  // keeps the model and the program alive
    Circumstances circumstances;
    std::vector<BulkFact> facts;             // per FactId
    std::vector<bulk::FactClasses> classes;  // per FactId
    std::map<std::string, std::size_t, std::less<>> fact_names;
    std::vector<DutyId> duties;
    std::vector<std::string> duty_names;

    std::vector<FactId> columns;  // those that the tape reads, in its order
    std::vector<bulk::TapeStep> steps;
    std::vector<bulk::LeafPlane> leaves;
    std::vector<std::uint32_t> code;
    std::vector<bulk::OutcomePlanes> outcomes;
    std::size_t slots = 0;

    [[nodiscard]] bulk::TapeView tape() const {
        return {steps.data(), steps.size(), leaves.data(), code.data(), outcomes.data(), slots};
    }
};

}  // namespace toprail
