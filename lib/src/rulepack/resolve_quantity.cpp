// Entry point: resolve_quantity.
#include "rulepack/resolve.hpp"

#include <string>

namespace toprail {
namespace {

class FormulaResolver {
  public:
    FormulaResolver(Piece& piece, const Model& model, const Scope& scope, Findings& findings)
        : piece_(piece),
          model_(model),
          scope_(scope),
          findings_(findings) {}

    // The dimension of the whole formula, or nothing when a slip was reported.
    std::optional<Dimension> resolve() {
        const std::vector<Term>& terms = piece_.formula.terms;
        piece_.refs.assign(terms.size(), Ref{});
        dimensions_.assign(terms.size(), std::nullopt);
        for (std::size_t i = 0; i < terms.size(); ++i) {
            dimensions_[i] = dimension(terms[i], i);
        }
        return dimensions_.back();
    }

  private:
    std::optional<Dimension> dimension(const Term& term, std::size_t at) {
        switch (term.operation) {
        case Operation::figure:
            return term.figure.dimension;
        case Operation::name:
            return named(term, at);
        case Operation::root:
            return root(term);
        case Operation::multiply:
        case Operation::divide:
            if (dimensions_[term.parts[0]] && dimensions_[term.parts[1]]) {
                const Dimension a = *dimensions_[term.parts[0]];
                const Dimension b = *dimensions_[term.parts[1]];
                return term.operation == Operation::multiply ? multiply(a, b) : divide(a, b);
            }
            return std::nullopt;
        case Operation::add:
        case Operation::subtract:
        case Operation::minimum:
        case Operation::maximum:
            break;
        }
        return alike(term);
    }

    std::optional<Dimension> named(const Term& term, std::size_t at) {
        const Ref ref = look_up({term.name, term.span}, scope_, findings_);
        const bool fact = ref.kind == RefKind::fact;
        if (ref.kind == RefKind::condition ||
            (fact && model_.facts[ref.index].type != FactType::measured &&
             model_.facts[ref.index].type != FactType::count)) {
            findings_.add(Kind::wrong_use, term.span, "\"" + term.name + "\" is not measured")
                .help = "a formula holds measured facts, counts, quantities and figures";
            return std::nullopt;
        }
        if (ref.kind == RefKind::none) {
            return std::nullopt;
        }
        piece_.refs[at] = ref;
        return model_.dimension(ref);
    }

    std::optional<Dimension> root(const Term& term) {
        const auto inner = dimensions_[term.parts[0]];
        if (!inner) {
            return std::nullopt;
        }
        if (inner->length % 2 != 0 || inner->mass % 2 != 0 || inner->time % 2 != 0 ||
            inner->angle % 2 != 0) {
            findings_.add(Kind::wrong_dimension, term.span,
                          "a " + describe(*inner) + " has no square root");
            return std::nullopt;
        }
        const auto half = [](int power) { return static_cast<std::int8_t>(power / 2); };
        return Dimension{half(inner->length), half(inner->mass), half(inner->time),
                         half(inner->angle)};
    }

    std::optional<Dimension> alike(const Term& term) {
        std::optional<Dimension> first = dimensions_[term.parts.front()];
        for (const std::size_t part : term.parts) {
            const auto other = dimensions_[part];
            if (!first || !other) {
                return std::nullopt;
            }
            if (*first != *other) {
                findings_
                    .add(Kind::wrong_dimension, piece_.formula.terms[part].span,
                         "a " + describe(*first) + " and a " + describe(*other) +
                             " cannot be combined here")
                    .help = "what is added, subtracted or compared is of one kind";
                return std::nullopt;
            }
        }
        return first;
    }

    Piece& piece_;
    const Model& model_;
    const Scope& scope_;
    Findings& findings_;
    std::vector<std::optional<Dimension>> dimensions_;
};

}  // namespace

void resolve_quantity(Quantity& quantity, const Model& model, const Scope& scope,
                      Findings& findings) {
    for (Piece& piece : quantity.pieces) {
        if (piece.where) {
            resolve_tree(*piece.where, model, scope, findings);
        }
        const auto dimension = FormulaResolver(piece, model, scope, findings).resolve();
        if (dimension && *dimension != quantity.dimension) {
            findings
                .add(Kind::wrong_dimension, piece.formula.terms.back().span,
                     "this formula gives a " + describe(*dimension) + ", the quantity is a " +
                         describe(quantity.dimension))
                .help = "mend the formula, or the \"kind\" of the quantity";
        }
    }
}

}  // namespace toprail
