// Entry points: formulas_of, add_test.
#include "bulk/formulas.hpp"

#include <algorithm>
#include <utility>

namespace toprail::bulk {
namespace {

class Writing {
  public:
    Writing(const std::vector<Gate>& gates, std::uint32_t some_fact)
        : gates_(gates),
          facts_(gates),
          some_fact_(some_fact) {}

    Formulas run(const std::vector<Literal>& roots) {
        std::vector<bool> wanted(2 * gates_.size(), false);
        for (const Literal root : roots) {
            wanted[root] = true;
        }
        for (std::size_t literal = wanted.size(); literal-- > 0;) {
            if (wanted[literal] && hangs_on_several(static_cast<Literal>(literal))) {
                for (const Literal operand : gates_[literal / 2].operands) {
                    wanted[operand_under(operand, static_cast<Literal>(literal))] = true;
                }
            }
        }
        of_.resize(wanted.size());
        for (Literal literal = 0; literal < wanted.size(); ++literal) {
            if (wanted[literal]) {
                of_[literal] = hangs_on_several(literal) ? gathered(literal) : test(literal);
            }
        }
        for (const Literal root : roots) {
            formulas_.roots.push_back(of_[root]);
        }
        return std::move(formulas_);
    }

  private:
    [[nodiscard]] bool hangs_on_several(Literal literal) const {
        return facts_.fact_of(literal) == SingleFacts::several;
    }

    FormulaId keep(Formula formula) {
        const auto [found, fresh] =
            known_.try_emplace(std::move(formula), static_cast<FormulaId>(formulas_.all.size()));
        if (fresh) {
            formulas_.all.push_back(found->first);
        }
        return found->second;
    }

    FormulaId test(Literal literal) {
        const std::uint32_t fact = facts_.fact_of(literal);
        Formula formula;
        formula.tests.emplace(fact == SingleFacts::none ? some_fact_ : fact,
                              facts_.row_of(literal));
        return keep(std::move(formula));
    }

    FormulaId gathered(Literal literal) {
        Formula formula;
        formula.any = literal % 2 != 0;
        for (const Literal operand : gates_[literal / 2].operands) {
            const FormulaId id = of_[operand_under(operand, literal)];
            const Formula& below = formulas_.all[id];
            if (below.any != formula.any && below.tests.size() + below.parts.size() > 1) {
                formula.parts.push_back(id);
                continue;
            }
            for (const auto& [fact, row] : below.tests) {
                add_test(formula, fact, row);
            }
            formula.parts.insert(formula.parts.end(), below.parts.begin(), below.parts.end());
        }
        std::sort(formula.parts.begin(), formula.parts.end());
        formula.parts.erase(std::unique(formula.parts.begin(), formula.parts.end()),
                            formula.parts.end());
        return formula.tests.empty() && formula.parts.size() == 1 ? formula.parts.front()
                                                                  : keep(std::move(formula));
    }

    const std::vector<Gate>& gates_;
    SingleFacts facts_;
    std::uint32_t some_fact_;
    std::vector<FormulaId> of_;  // per literal that is wanted
    std::map<Formula, FormulaId> known_;
    Formulas formulas_;
};

}  // namespace

void add_test(Formula& to, std::uint32_t fact, const Row& row) {
    const auto [found, fresh] = to.tests.try_emplace(fact, row);
    if (!fresh) {
        merge(found->second, row, to.any);
    }
}

Formulas formulas_of(const std::vector<Gate>& gates, const std::vector<Literal>& roots,
                     std::uint32_t some_fact) {
    return Writing(gates, some_fact).run(roots);
}

}  // namespace toprail::bulk
