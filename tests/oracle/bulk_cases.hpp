// Cases of a random shelf as columns for deciding in bulk, and what deciding them one by one gives.
#pragma once

#include "oracle/worlds.hpp"
#include "toprail/bulk.hpp"

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace oracle {

inline std::string_view text_of(const toprail::Facts& facts, const std::string& name) {
    const toprail::FactEntry* const entry = facts.find(name);
    if (entry == nullptr || entry->state == toprail::FactState::not_known) {
        return "not known";
    }
    return entry->state == toprail::FactState::given ? std::string_view(entry->text)
                                                     : "does not apply";
}

/// A column of texts for every fact. Keeps no case: they must outlive it.
class BulkTexts {
  public:
    BulkTexts(const toprail::BulkPlan& plan, const std::vector<TestCase>& cases) {
        for (const toprail::BulkFact& fact : plan.facts()) {
            texts_.emplace_back();
            for (const TestCase& each : cases) {
                texts_.back().push_back(text_of(each.facts, fact.name));
            }
        }
    }

    [[nodiscard]] std::vector<toprail::BulkColumn> columns() const {
        std::vector<toprail::BulkColumn> columns;
        for (const auto& column : texts_) {
            columns.emplace_back(toprail::TextColumn(column));
        }
        return columns;
    }

  private:
    std::vector<std::vector<std::string_view>> texts_;
};

/// The outcomes of all duties of the plan, as deciding in bulk writes them.
inline std::vector<std::uint8_t> one_by_one(const toprail::Shelf& shelf,
                                            const toprail::BulkPlan& plan,
                                            const std::vector<TestCase>& cases,
                                            const toprail::Date on,
                                            const std::vector<std::string>& authorities) {
    toprail::DecideOptions how;
    how.authorities = authorities;
    std::vector<std::uint8_t> expected(plan.duties().size() * cases.size());
    for (std::size_t i = 0; i < cases.size(); ++i) {
        const toprail::Answer answer = shelf.decide(cases[i].facts, on, how);
        for (std::size_t d = 0; d < plan.duties().size(); ++d) {
            std::uint8_t byte = toprail::bulk_no_answer;
            if (answer.decision) {
                const auto* const duty = answer.decision->duty(plan.duties()[d]);
                byte = static_cast<std::uint8_t>(duty == nullptr ? toprail::Outcome::not_addressed
                                                                 : duty->outcome);
            }
            expected[d * cases.size() + i] = byte;
        }
    }
    return expected;
}

}  // namespace oracle
