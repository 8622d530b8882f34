// Entry points: day, shipped, plan_of, draw_cases.
#include "plans.hpp"

#include <random>
#include <stdexcept>

namespace bench {

toprail::Date day() {
    return *toprail::Date::parse("2024-06-01");
}

toprail::Shelf shipped(const std::string& folder) {
    toprail::LoadedShelf loaded = toprail::load_shelf(folder);
    if (!loaded.shelf) {
        throw std::runtime_error(toprail::render_text(loaded.findings.front()));
    }
    return *loaded.shelf;
}

toprail::BulkPlan plan_of(const toprail::Shelf& shelf, bool statuses) {
    toprail::BulkOptions how;
    how.duties = {"tie-off"};
    how.statuses = statuses;
    const toprail::PlannedBulk planned = toprail::plan_bulk(shelf, day(), how);
    if (!planned.plan) {
        throw std::runtime_error(toprail::render_text(planned.findings.front()));
    }
    return *planned.plan;
}

std::vector<const std::uint8_t*> Cases::pointers() const {
    std::vector<const std::uint8_t*> all;
    for (const auto& column : columns) {
        all.push_back(column.data());
    }
    return all;
}

std::vector<toprail::BulkColumn> Cases::spans() const {
    return {columns.begin(), columns.end()};
}

Cases draw_cases(const toprail::BulkPlan& plan, std::size_t count, std::size_t different) {
    std::mt19937_64 random(11);
    Cases cases;
    cases.facts = plan.facts().size();
    cases.count = count;
    cases.rows.resize(cases.facts * count);
    const std::size_t drawn = different == 0 ? count : different;
    for (std::size_t i = 0; i < count; ++i) {
        for (std::size_t f = 0; f < cases.facts; ++f) {
            std::uint8_t& byte = cases.rows[i * cases.facts + f];
            if (i >= drawn) {
                byte = cases.rows[(i - drawn) * cases.facts + f];
            } else {
                byte = random() % 10 == 0
                           ? toprail::bulk_not_known
                           : static_cast<std::uint8_t>(random() % plan.facts()[f].classes);
            }
        }
    }
    cases.columns.assign(cases.facts, std::vector<std::uint8_t>(count));
    for (std::size_t f = 0; f < cases.facts; ++f) {
        for (std::size_t i = 0; i < count; ++i) {
            cases.columns[f][i] = cases.rows[i * cases.facts + f];
        }
    }
    return cases;
}

}  // namespace bench
