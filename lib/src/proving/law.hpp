// A program in solver terms: every truth node, and what duties, choices and limits come to, also
// with a provision or a displacement taken out.
#pragma once

#include "proving/variables.hpp"
#include "shelf/shelf_data.hpp"

#include <vector>

namespace toprail {

/// What is taken out of the rules: a provision or, where `displaced` is valid, only that it
/// displaces that one.
struct Removal {
    ProvisionId provision;
    ProvisionId displaced;
};

struct DutyTerms {
    z3::expr required;
    z3::expr excepted;
    z3::expr not_required;
};

/// The strictest bound in one direction. `value` means nothing unless `any` holds.
struct BoundTerms {
    z3::expr any;
    z3::expr value;
};

/// Whether each provision is live.
using LiveTerms = std::vector<z3::expr>;

/// Not thread-safe. Everything handed in must outlive it.
class Law {
  public:
    /// `named`: per AuthorityId, who governs; empty: the rules say who does.
    Law(z3::context& context, Variables& variables, const ShelfData& data, std::vector<bool> named);

    [[nodiscard]] const z3::expr& node(NodeId id) const { return nodes_[id.value]; }
    [[nodiscard]] const Model& model() const { return data_.model; }
    [[nodiscard]] const Program& program() const { return data_.program; }

    [[nodiscard]] const z3::expr& stands(ProvisionId id) const {
        return node(program().provisions[id.value].stands);
    }
    [[nodiscard]] const z3::expr& live(ProvisionId id) const {
        return node(program().provisions[id.value].live);
    }
    [[nodiscard]] LiveTerms live() const;
    [[nodiscard]] LiveTerms live_without(const Removal& removal) const;

    [[nodiscard]] DutyTerms duty(DutyId id, const LiveTerms& live) const;
    /// Per value of the choice, whether it is removed.
    [[nodiscard]] std::vector<z3::expr> removed(const LoweredChoice& choice,
                                                const LiveTerms& live) const;
    [[nodiscard]] BoundTerms bound(const LoweredLimit& limit, bool at_most,
                                   const LiveTerms& live) const;
    /// True when the bound that the provision sets is below (at most) or above (at least) nothing:
    /// it does not apply.
    [[nodiscard]] z3::expr bound_applies(ProvisionId id) const;
    [[nodiscard]] z3::expr bound_value(ProvisionId id) const;

    /// The edition of some pack of the authority is in force.
    [[nodiscard]] z3::expr some_edition(AuthorityId authority) const;
    /// The date that picks its edition is known to lie after its first day; else the engine refuses
    /// to decide where the authority governs, or says who does.
    [[nodiscard]] z3::expr not_before_first_edition(AuthorityId authority) const;
    /// The facts hold as given. Precondition: the facts fit the vocabulary.
    [[nodiscard]] z3::expr facts_hold(const Facts& facts) const;

  private:
    struct Term {
        z3::expr value;
        z3::expr present;
    };

    z3::expr encode(const TruthNode& node);
    z3::expr encode(const Atom& atom);
    z3::expr between(const z3::expr& day, const Atom& atom) const;
    Term encode(const Expression& e);
    Term encode_operation(const Expression& e);
    [[nodiscard]] z3::expr absent_or(const FactTerms& fact, const z3::expr& test) const;

    z3::context& context_;
    Variables& variables_;
    const ShelfData& data_;
    std::vector<bool> named_;
    std::vector<z3::expr> nodes_;
    std::vector<Term> terms_;
    std::vector<ProvisionId> displacement_order_;
    std::vector<std::vector<ProvisionId>> displacers_;
    std::vector<std::vector<ProvisionId>> exceptions_;
};

}  // namespace toprail
