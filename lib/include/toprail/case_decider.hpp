// One case after another by a plan, as fast as rules written out by hand: outcomes, statuses of the
// provisions, and a short trail in JSON. Part of toprail::bulk.
//
//   toprail::CaseDecider decider(plan);                          // one per thread
//   const std::size_t height = *plan.fact("platform-height");    // a handle, for good
//   decider.clear();
//   decider.set(height, "14 ft");
//   decider.set("guardrail", "complete");
//   std::uint8_t outcome = decider.settle()[0];
//
// What can be told of missing facts, choices, limits and the plan's fit stands in the decision of
// Shelf::decide alone: its outcomes are these.
#pragma once

#include "toprail/bulk.hpp"

#include <cstdint>
#include <memory>
#include <span>
#include <string>
#include <string_view>

namespace toprail {

/// Not thread-safe; shares its plan, which it keeps alive. Once it has seen a few cases it takes no
/// memory from the heap any more, but for `settle` on a case that is open, texts that it has not
/// seen before, and a trail longer than the string it is appended to has room for.
class CaseDecider {
  public:
    explicit CaseDecider(const BulkPlan& plan, std::size_t budget = DecideOptions{}.budget);
    CaseDecider(const CaseDecider&) = delete;
    CaseDecider& operator=(const CaseDecider&) = delete;
    CaseDecider(CaseDecider&& other) noexcept;
    CaseDecider& operator=(CaseDecider&& other) noexcept;
    ~CaseDecider();

    /// All facts not known.
    void clear();

    /// Sets a fact from what a person gives, as Facts::set does. False when it is no value of the
    /// fact, or no fact has that name: the case then has no answer until `clear`, or until the fact
    /// is set again. Precondition: fact < BulkPlan::facts().size().
    bool set(std::size_t fact, std::string_view text);
    bool set(std::string_view fact, std::string_view text);
    /// Sets a class, as BulkPlan::class_of gives them. Any other byte leaves the answer
    /// unspecified.
    void set_class(std::size_t fact, std::uint8_t byte);
    /// The unit in which `set_number` gives a measured fact; plain numbers and counts have an empty
    /// one. Throws std::invalid_argument when the fact is not given in it.
    void count_in(std::size_t fact, const std::string& unit);
    /// NumberColumn::not_known and does_not_apply count as such. As `set` otherwise. Precondition:
    /// count_in was called for the fact.
    bool set_number(std::size_t fact, std::int64_t value);

    /// An outcome byte for each duty of the plan, as in BulkPlan::decide: the three-valued answer,
    /// never wrong, sometimes undetermined where the facts settle it together. Valid until the next
    /// call.
    std::span<const std::uint8_t> decide();
    /// The same for a case given as a class byte for every fact of the plan. Facts that were set
    /// are neither used nor changed.
    std::span<const std::uint8_t> decide(std::span<const std::uint8_t> class_bytes);
    /// `decide`, and what it leaves open through the exact search, as Shelf::decide.
    std::span<const std::uint8_t> settle();

    /// What became of each provision in the case decided last, in the order of
    /// BulkPlan::provisions; of the three-valued pass: what is open may be settled by all facts
    /// together. Empty unless the plan tells statuses. Valid until the next call.
    std::span<const Status> statuses();
    /// Appends {"on", "duties", "trail", "cautions"} of the case decided last. An open duty says
    /// what to act as if. Throws std::invalid_argument unless the plan tells statuses.
    void append_json(std::string& out);

  private:
    struct Data;
    std::unique_ptr<Data> data_;
};

}  // namespace toprail
