// Deciding very many cases with one set of rules: columns of facts in, outcomes out.
//
//   toprail::BulkPlan plan = *toprail::plan_bulk(shelf, date).plan;
//   std::vector<toprail::BulkColumn> columns(plan.facts().size());
//   columns[*plan.fact("platform-height")] = toprail::NumberColumn{feet, "ft"};
//   std::vector<std::uint8_t> outcomes(plan.duties().size() * cases);
//   toprail::BulkReport report = plan.decide(columns, cases, outcomes);
//
// A plan is made once from a shelf, a deciding date and the duties that are wanted. It is
// immutable, cheap to copy, keeps its shelf alive, and any number of threads may use it at once.
#pragma once

#include "toprail/shelf.hpp"

#include <cstddef>
#include <cstdint>
#include <functional>
#include <limits>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace toprail {

/// Bytes of a class column beyond the class numbers.
inline constexpr std::uint8_t bulk_not_known = 255;
inline constexpr std::uint8_t bulk_does_not_apply = 254;
/// Outcomes are written as the number of their Outcome, or as this where a case has no answer:
/// a fact could not be read, or a day lies before the first edition of a governing authority.
inline constexpr std::uint8_t bulk_no_answer = 5;

struct BulkOptions {
    /// As in DecideOptions.
    std::vector<std::string> authorities;
    /// Names of the duties that are wanted; empty: all, in the order of the vocabulary.
    std::vector<std::string> duties;
    /// Whether the plan also tells the status of every provision, and who governs. It then works
    /// through all provisions, where it otherwise leaves out those that no wanted duty hangs on.
    bool statuses = false;
};

/// A fact as a plan sees it.
struct BulkFact {
    std::string name;
    /// Whether the wanted duties can hang on it. Columns of other facts are not read, beyond
    /// checking their texts.
    bool used = false;
    /// Whether it stands in a formula over several facts, so that classes do not tell enough: a
    /// case that such a formula leaves open can be searched only if the column has values.
    bool needs_values = false;
    /// Sets of values that no test tells apart; class bytes are below this number.
    std::size_t classes = 0;
};

/// One class byte per case, as BulkPlan::class_of gives them. Any other byte leaves the answer of
/// its case unspecified.
using ClassColumn = std::span<const std::uint8_t>;

/// One whole number per case, of a measured fact or a count.
struct NumberColumn {
    static constexpr std::int64_t not_known = std::numeric_limits<std::int64_t>::min();
    static constexpr std::int64_t does_not_apply = not_known + 1;
    std::span<const std::int64_t> values;
    /// What one is; empty for plain numbers and counts.
    std::string unit;
};

/// One double per case, of a measured fact or a count; NaN is not known. A double means the
/// shortest decimal that reads back as it: 14.1 is the 14.1 of a text. From 1e30 on it is no value:
/// a text of so many digits is none either.
struct RealColumn {
    std::span<const double> values;
    /// What one is; empty for plain numbers and counts.
    std::string unit;
};

/// One code per case: the number of a text, read as Facts::set does; below zero is not known. A
/// case whose code is the number of no text, or of one that cannot be read, has no answer.
struct CodedColumn {
    std::span<const std::int8_t> codes;
    std::vector<std::string_view> texts;
};

/// One text per case, read as Facts::set does.
using TextColumn = std::span<const std::string_view>;

/// Empty: not known in any case. Spans are not owned and hold an entry per case.
using BulkColumn =
    std::variant<std::monostate, ClassColumn, NumberColumn, RealColumn, CodedColumn, TextColumn>;

struct BulkRun {
    /// Whether cases that the quick pass leaves open go through the exact search, as one case does
    /// in Shelf::decide. Without it they stay undetermined: never wrong, sometimes wider.
    bool search = true;
    /// As in DecideOptions.
    std::size_t budget = 200'000;
    /// Threads to work with, this one included; 0 counts as 1. The order of cases is kept. Where
    /// the system gives fewer, fewer do the work.
    unsigned threads = 1;
    /// Told how many cases are done, from one thread at a time; may be null.
    std::function<void(std::size_t)> progress;
    /// Where statuses go: BulkPlan::status_bytes of them, or none. They are those of the quick
    /// pass: what it calls open, the exact search may still settle for one case (Shelf::decide).
    std::span<std::uint8_t> statuses;
    /// "portable", "avx2" or "avx512"; empty: the widest that the processor has. One that it lacks
    /// counts as empty.
    std::string_view vectors;
};

struct BulkReport {
    std::size_t cases = 0;
    /// Cases that needed the exact search and went through it.
    std::size_t searched = 0;
    /// Cases of those that only a formula over several facts, or the like, left open.
    std::size_t beyond_plan = 0;
    /// Cases that the search would have needed values for where a column held classes only.
    std::size_t without_values = 0;
    /// Cases without an answer.
    std::size_t no_answer = 0;
    /// The vectors that were used.
    std::string_view vectors;
};

class BulkPlan {
  public:
    struct Data;
    explicit BulkPlan(std::shared_ptr<const Data> data);

    /// Every fact of the vocabulary, in its order: columns stand in this order too.
    [[nodiscard]] const std::vector<BulkFact>& facts() const;
    [[nodiscard]] std::optional<std::size_t> fact(std::string_view name) const;
    /// The duties that are wanted, in the order of the outcomes.
    [[nodiscard]] const std::vector<std::string>& duties() const;

    /// Where the plan tells statuses: every provision, as decisions name it, and every authority,
    /// both by name; otherwise empty.
    [[nodiscard]] const std::vector<std::string>& provisions() const;
    [[nodiscard]] const std::vector<std::string>& authorities() const;
    /// Bytes that the statuses of so many cases take: two bits for each provision and authority,
    /// for whole groups of 512 cases.
    [[nodiscard]] std::size_t status_bytes(std::size_t cases) const;
    /// Reads one of them. Preconditions: written by `decide` of this plan; the place is within.
    [[nodiscard]] Status status(std::span<const std::uint8_t> statuses, std::size_t provision,
                                std::size_t index) const;
    [[nodiscard]] Perhaps governs(std::span<const std::uint8_t> statuses, std::size_t authority,
                                  std::size_t index) const;

    /// The class byte of a value as a person gives it; empty when the fact does not take it.
    /// Precondition: fact < facts().size().
    [[nodiscard]] std::optional<std::uint8_t> class_of(std::size_t fact,
                                                       std::string_view text) const;

    /// Decides `cases` cases. `columns` has one entry per fact; `outcomes` takes one byte per duty
    /// and case, all cases of a duty together. Throws std::invalid_argument when a size does not
    /// fit, statuses are asked of a plan without them, or a column of numbers is in no unit of its
    /// fact.
    BulkReport decide(const std::vector<BulkColumn>& columns, std::size_t cases,
                      std::span<std::uint8_t> outcomes, const BulkRun& run = {}) const;

    /// The same for class bytes case by case: `rows` holds one for every fact of the plan for the
    /// first case, then for the second. Facts that formulas need values of count as in ClassColumn.
    BulkReport decide_rows(std::span<const std::uint8_t> rows, std::size_t cases,
                           std::span<std::uint8_t> outcomes, const BulkRun& run = {}) const;

    /// The vectors that this processor has, widest first; "portable" is always there.
    [[nodiscard]] static std::vector<std::string_view> vectors();

    [[nodiscard]] const Data& data() const { return *data_; }

  private:
    std::shared_ptr<const Data> data_;
};

struct PlannedBulk {
    /// Empty when some finding is an error.
    std::optional<BulkPlan> plan;
    std::vector<Finding> findings;
};

PlannedBulk plan_bulk(const Shelf& shelf, Date on, const BulkOptions& options = {});

}  // namespace toprail
