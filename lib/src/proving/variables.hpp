// The facts of a case as solver terms, shared by all programs that are compared: one set of terms
// for a fact of one name, whichever vocabulary it stands in.
#pragma once

#include "rulepack/model.hpp"
#include "toprail/facts.hpp"

#include <z3++.h>

#include <map>
#include <optional>
#include <string>
#include <unordered_map>
#include <utility>
#include <vector>

namespace toprail {

/// One fact. Value terms exclude each other; they and the number mean nothing while `absent` holds.
struct FactTerms {
    Fact fact;
    z3::expr absent;
    std::vector<std::pair<std::string, z3::expr>> values;  // choice; yes-no: "no", "yes"
    std::optional<z3::expr> number;                        // measured, count; date: its day
};

/// One fact of a case that the solver found.
struct Filled {
    const Fact* fact = nullptr;
    FactState state = FactState::given;
    std::string text;
    Number number;         // measured facts and counts, in base units
    bool rounded = false;  // the solver's value is irrational, and `number` near it
};

struct FilledCase {
    std::vector<Filled> facts;
    std::optional<Date> on;
};

/// All terms live in one context; not thread-safe. The context must outlive it.
class Variables {
  public:
    explicit Variables(z3::context& context);

    /// Makes the terms of a fact or, when another vocabulary has it too, narrows them to what both
    /// allow. Throws std::runtime_error when the two disagree on what kind of fact it is.
    const FactTerms& declare(const Fact& fact);
    [[nodiscard]] const FactTerms* find(const std::string& name) const;
    [[nodiscard]] const z3::expr& work_date() const { return work_date_; }
    /// The root of a term that is not negative.
    z3::expr root(const z3::expr& of);

    /// Groups of constraints that belong to the constants in a term, ascending.
    [[nodiscard]] std::vector<std::size_t> groups_in(const z3::expr& term) const;
    [[nodiscard]] const std::vector<z3::expr>& constraints(std::size_t group) const {
        return groups_[group].constraints;
    }
    /// The facts of those groups as a solver's model has them, by name.
    [[nodiscard]] FilledCase read(const z3::model& model,
                                  const std::vector<std::size_t>& groups) const;
    /// The facts behind those groups, by name.
    [[nodiscard]] std::vector<const FactTerms*>
    facts_of(const std::vector<std::size_t>& groups) const;

  private:
    struct Group {
        std::string fact;  // empty: the deciding date, or a root
        std::vector<z3::expr> constraints;
    };

    std::size_t add_group(std::string fact);
    void own(const z3::expr& constant, std::size_t group);
    FactTerms make(const Fact& fact, std::size_t group);
    void narrow(FactTerms& terms, const Fact& fact, std::size_t group);
    void bound(const FactTerms& terms, const Fact& fact, std::size_t group);
    [[nodiscard]] Filled read_fact(const z3::model& model, const FactTerms& terms) const;

    z3::context& context_;
    z3::expr work_date_;
    std::size_t work_date_group_ = 0;
    std::vector<Group> groups_;
    std::map<std::string, FactTerms> facts_;
    std::map<std::string, std::size_t> fact_groups_;
    std::unordered_map<unsigned, std::size_t> group_of_;  // by the solver's id of a constant
    std::map<unsigned, std::pair<z3::expr, z3::expr>>
        roots_;  // by id: the term, kept alive; its root
};

/// A number as a term of the solver's reals, and back.
z3::expr real(z3::context& context, const Number& number);
/// Any one of the terms; false when there is none. All of them; true when there is none.
z3::expr any_of(z3::context& context, const std::vector<z3::expr>& terms);
z3::expr all_of(z3::context& context, const std::vector<z3::expr>& terms);

}  // namespace toprail
