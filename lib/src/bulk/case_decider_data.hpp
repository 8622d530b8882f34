// What a CaseDecider holds. Not thread-safe.
#pragma once

#include "bulk/plan_data.hpp"
#include "bulk/run.hpp"
#include "toprail/case_decider.hpp"

#include <optional>
#include <string>
#include <unordered_map>
#include <vector>

namespace toprail {

struct GivenText {
    std::optional<BoundFact> value;
    std::uint8_t byte = bulk::byte_not_known;
};

/// Where the value of a fact comes from, for the search: its class byte need not tell it.
enum class GivenBy : std::uint8_t { class_byte, number, text };

struct Given {
    std::int64_t number = 0;
    const GivenText* text = nullptr;  // one of `texts`
    std::unordered_map<std::string, GivenText, bulk::TextHash, std::equal_to<>> texts;
    std::optional<bulk::NumberReader> reader;
};

struct CaseDecider::Data {
    Data(const BulkPlan& of, std::size_t search_budget);

    void clear();
    bool set(std::size_t fact, std::string_view text);
    bool set_number(std::size_t fact, std::int64_t value);
    void give(std::size_t fact, std::uint8_t byte, bool usable);
    std::span<const std::uint8_t> decide(const std::uint8_t* class_bytes);
    /// What comes to settle a duty in the case decided last: required, excepted, not required (0 to
    /// 2). Where outcomes come by strips the plan has to tell statuses: classes are kept only then.
    [[nodiscard]] std::uint8_t value_of(std::size_t duty, std::size_t rank) const;
    std::span<const std::uint8_t> settle();
    /// Of the first `rows` rows; provisions come first. Valid until the next call.
    std::span<const Status> tell_statuses(std::size_t rows);
    void spread_values();
    void write_rows(const std::vector<std::uint32_t>& stands,
                    const std::vector<bulk::OfRow<std::uint32_t>>& displaced, std::size_t rows);
    void append_json(std::string& out);
    void bind(std::size_t fact);
    /// Which piece tells the duty.
    [[nodiscard]] std::size_t piece_of(std::size_t duty) const;

    BulkPlan plan;
    std::size_t budget;
    // Per fact. What every setter writes stands close together.
    std::vector<std::uint8_t> classes;
    std::vector<GivenBy> given_by;
    std::vector<std::uint8_t> is_unusable;
    std::size_t unusable = 0;  // how many facts of the case could not be read
    std::vector<Given> given;
    // By strips: the classes of the case decided last, which statuses are told by, and the words of
    // those.
    const bulk::Kernel* kernel;
    bulk::StripsView strips;
    std::vector<std::uint8_t> kept_classes;
    std::vector<std::uint64_t> words;
    std::vector<std::uint8_t> values;
    std::vector<std::uint8_t> outcomes;
    // Per row of statuses; what nothing displaces is never set.
    std::vector<std::uint8_t> row_stands;
    std::vector<std::uint8_t> row_displaced;
    std::vector<Status> statuses;
    std::vector<BoundFact> bound;
    std::vector<std::uint8_t> searched;
    std::string trail;  // where a trail is strung together before it is appended
};

}  // namespace toprail
