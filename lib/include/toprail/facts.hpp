// What is known about a case. Plain values; thread-safe as any value is.
#pragma once

#include "toprail/finding.hpp"
#include "toprail/limits.hpp"

#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace toprail {

/// A fact that is not mentioned at all is not known, too.
enum class FactState { given, not_known, does_not_apply };

struct FactEntry {
    std::string name;
    FactState state = FactState::not_known;
    /// The value as the person gave it: "14 ft", "scissor", "yes", "2024-06-01".
    std::string text;
    /// Who or what it came from; may be empty.
    std::string from;
    /// Where the value and the name stood in a facts file; empty when the host gave them.
    Place place;
    Place name_place;
};

/// The facts of one case, by name. Values are texts and are read when a case is decided: a value
/// that cannot be read is an error of that decision, never a guess.
class Facts {
  public:
    Facts() = default;
    /// Precondition: no name stands twice.
    explicit Facts(std::vector<FactEntry> entries) : entries_(std::move(entries)) {}

    /// Sets or replaces a fact. "not known" and "does not apply" set the state of that name.
    Facts& set(std::string_view name, std::string_view value, std::string_view from = {});
    Facts& set(FactEntry entry);
    void remove(std::string_view name);
    [[nodiscard]] const FactEntry* find(std::string_view name) const;
    /// In the order in which they were first set.
    [[nodiscard]] const std::vector<FactEntry>& entries() const { return entries_; }

  private:
    std::vector<FactEntry> entries_;
};

struct Case {
    std::string name;
    std::string says;
    Facts facts;
};

struct FactsFile {
    std::string site;
    std::vector<Case> cases;
    /// When any is an error, `cases` may be incomplete and must not be decided.
    std::vector<Finding> findings;
};

/// Reads a facts file (YAML, or JSON of the same shape). `name` is what findings call it.
FactsFile read_facts(std::string text, std::string name, const Limits& limits = {});

}  // namespace toprail
