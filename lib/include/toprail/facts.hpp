// What is known about a case. Plain values; thread-safe as any value is.
#pragma once

#include "toprail/finding.hpp"
#include "toprail/limits.hpp"

#include <cstddef>
#include <functional>
#include <string>
#include <string_view>
#include <unordered_map>
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
    /// Precondition: no name stands twice; deciding refuses a case where one does.
    explicit Facts(std::vector<FactEntry> entries);

    /// Sets or replaces a fact. "not known" and "does not apply" set the state of that name. Names
    /// may come from outside: many cost no more each than few. Names, values and sources of more
    /// than 20,000 bytes (Limits::text) are refused when the case is decided.
    Facts& set(std::string_view name, std::string_view value, std::string_view from = {});
    Facts& set(FactEntry entry);
    /// Costs as much as there are facts.
    void remove(std::string_view name);
    [[nodiscard]] const FactEntry* find(std::string_view name) const;
    /// In the order in which they were first set.
    [[nodiscard]] const std::vector<FactEntry>& entries() const { return entries_; }

  private:
    struct Hash {
        using is_transparent = void;
        std::size_t operator()(std::string_view name) const {
            return std::hash<std::string_view>()(name);
        }
    };
    using Positions = std::unordered_map<std::string, std::size_t, Hash, std::equal_to<>>;

    [[nodiscard]] std::size_t position(std::string_view name) const;
    [[nodiscard]] Positions positions() const;

    std::vector<FactEntry> entries_;
    // Empty while the entries are few: looking through those is quicker.
    Positions positions_;
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
