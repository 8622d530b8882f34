// The classes of one fact in a plan: sets of values that no test of the plan tells apart, numbered
// in order, and what each test says of each class.
#pragma once

#include "deciding/bound.hpp"
#include "deciding/value.hpp"
#include "program/program.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

namespace toprail::bulk {

/// More classes than this do not fit a byte's lower seven bits.
inline constexpr std::size_t most_classes = 126;

/// A place between values: just below `at`, or just above it.
struct Cut {
    Number at;
    bool above = false;
    friend bool operator==(const Cut&, const Cut&) = default;
    friend bool operator<(const Cut& a, const Cut& b) {
        return a.at != b.at ? a.at < b.at : a.above < b.above;
    }
};

class FactClasses {
  public:
    /// Tells of a test on the fact; afterwards `finish` once.
    void cut(const Atom& atom);
    /// Where `line <verb> 0` turns. Precondition: a line with a slope.
    void cut(Verb verb, const Value& line);
    /// False when there are too many classes: then the fact is beyond the plan.
    bool finish(const Fact& fact);

    [[nodiscard]] std::size_t size() const { return samples_.size(); }
    /// A value of the class, as a fact of a case.
    [[nodiscard]] const BoundFact& sample(std::size_t one) const { return samples_[one]; }
    /// Precondition: the state is given.
    [[nodiscard]] std::uint8_t class_of(const BoundFact& value) const;
    /// Per class, whether the test is true.
    [[nodiscard]] std::vector<bool> truths(const Atom& atom) const;
    [[nodiscard]] std::vector<bool> truths(Verb verb, const Value& line) const;
    /// Per class, whether all its days lie before that one.
    [[nodiscard]] std::vector<bool> before(std::int32_t day) const;
    void cut_before(std::int32_t day) { day_cuts_.push_back(day); }

    [[nodiscard]] const std::vector<Cut>& cuts() const { return cuts_; }

    /// The least whole numbers, in units of `scale`, of all classes but the first.
    [[nodiscard]] std::vector<std::int64_t> starts(const Number& scale) const;

  private:
    void finish_choice(const Fact& fact);
    void finish_days();
    void finish_numbers(const Fact& fact);

    FactType type_ = FactType::yes_no;
    std::vector<std::vector<bool>> members_;
    std::vector<std::int32_t> day_cuts_;
    std::vector<Cut> cuts_;
    std::vector<std::uint8_t> class_of_value_;
    std::vector<BoundFact> samples_;
};

}  // namespace toprail::bulk
