// Entry point: report_never_true. With no fact known, the diagram of a condition holds every case:
// one that is the constant `never` is true in none, and one that is `always` false in none.
#include "deciding/exact.hpp"
#include "shelf/checks.hpp"

#include <algorithm>

namespace toprail {
namespace {

// Diagram nodes for one condition. Conditions that take more are left alone: the check may miss
// something, but never blames wrongly.
constexpr std::size_t budget = 50'000;
// Steps of the program looked at for all conditions together, each of which looks at all of them:
// of a shelf of many thousand conditions the last are left alone.
constexpr std::size_t most_steps = 50'000'000;

void collect(const LoweredTree& tree, std::vector<NodeId>& nodes) {
    nodes.push_back(tree.node);
    for (const LoweredTree& part : tree.parts) {
        collect(part, nodes);
    }
}

std::string called(const LoweredTree& part) {
    return part.tree->shape == ConditionTree::Shape::sentence
               ? "\"" + part.tree->sentence.whole.text + "\""
               : "this part";
}

// One condition, or one `where`.
class Examiner {
  public:
    Examiner(const ShelfData& data, const FirstPass& first, Findings& findings)
        : model_(data.model),
          exact_(data.program, data.model, first, budget),
          findings_(findings) {}

    void examine(const LoweredTree& tree) {
        std::vector<NodeId> nodes;
        collect(tree, nodes);
        try {
            exact_.work_out(nodes);
            visit(tree);
        } catch (const BudgetSpent&) {
            // The findings made so far are right; the rest stays unsaid.
        }
    }

  private:
    [[nodiscard]] bool never(const LoweredTree& tree) const {
        return exact_.ref(tree.node) == Diagrams::never;
    }
    [[nodiscard]] bool always(const LoweredTree& tree) const {
        return exact_.ref(tree.node) == Diagrams::always;
    }

    void visit(const LoweredTree& tree) {
        if (never(tree)) {
            explain(tree);
            return;
        }
        if (always(tree) && compares_with_figure(*tree.tree)) {
            explain_always(*tree.tree);
        }
        for (const LoweredTree& part : tree.parts) {
            visit(part);
        }
    }

    void explain(const LoweredTree& tree) {
        switch (tree.tree->shape) {
        case ConditionTree::Shape::sentence:
            explain_sentence(*tree.tree);
            break;
        case ConditionTree::Shape::any_of:
            std::for_each(tree.parts.begin(), tree.parts.end(),
                          [this](const LoweredTree& part) { explain(part); });
            break;
        case ConditionTree::Shape::all_of:
            explain_all(tree);
            break;
        case ConditionTree::Shape::none_of:
            explain_none(tree);
            break;
        }
    }

    void explain_sentence(const ConditionTree& tree) {
        const Test& test = tree.test;
        if (test.kind == Test::Kind::truth && test.subject.kind == RefKind::condition &&
            !test.negated) {
            return;  // said where that condition is defined
        }
        Finding& finding = findings_.add(Kind::never_true, tree.sentence.whole.span,
                                         "\"" + tree.sentence.whole.text + "\" can never be true");
        if (test.kind == Test::Kind::truth && test.subject.kind == RefKind::condition) {
            finding.help = "the condition \"" + tree.sentence.subject.text + "\" is always true";
        } else if (test.kind == Test::Kind::compare && test.subject.kind == RefKind::fact) {
            finding.help = range_of(model_.facts[test.subject.index]);
        } else if (test.kind == Test::Kind::one_of && test.values.empty()) {
            finding.help = tree.sentence.subject.text + " has no other value";
        }
    }

    static bool compares_with_figure(const ConditionTree& tree) {
        return tree.test.kind == Test::Kind::compare && tree.test.figure &&
               tree.test.subject.kind == RefKind::fact;
    }

    void explain_always(const ConditionTree& tree) {
        findings_
            .add(Kind::never_false, tree.sentence.whole.span,
                 "\"" + tree.sentence.whole.text + "\" can never be false")
            .help = range_of(model_.facts[tree.test.subject.index]) + ": look at figure and unit";
    }

    static std::string range_of(const Fact& fact) {
        if (fact.from && fact.to) {
            return fact.name + " lies from " + fact.from->text + " to " + fact.to->text;
        }
        if (fact.from) {
            return fact.name + " is at least " + fact.from->text;
        }
        return fact.to ? fact.name + " is at most " + fact.to->text : std::string{};
    }

    void explain_all(const LoweredTree& tree) {
        bool part_explains = false;
        for (const LoweredTree& part : tree.parts) {
            if (never(part)) {
                explain(part);
                part_explains = true;
            }
        }
        if (!part_explains) {
            report_clash(smallest_clash(tree.parts));
        }
    }

    // Parts that cannot be true together, and can as soon as any of them is left out.
    std::vector<const LoweredTree*> smallest_clash(const std::vector<LoweredTree>& parts) {
        std::vector<const LoweredTree*> clash;
        for (const LoweredTree& part : parts) {
            clash.push_back(&part);
        }
        for (std::size_t i = clash.size(); i-- > 0;) {
            Diagrams::Ref others = Diagrams::always;
            for (std::size_t j = 0; j < clash.size(); ++j) {
                others =
                    j == i ? others : exact_.diagrams().both(others, exact_.ref(clash[j]->node));
            }
            if (others == Diagrams::never) {
                clash.erase(clash.begin() + static_cast<std::ptrdiff_t>(i));
            }
        }
        return clash;
    }

    void report_clash(const std::vector<const LoweredTree*>& clash) {
        const LoweredTree& last = *clash.back();
        const bool two = clash.size() == 2;
        Finding& finding = findings_.add(
            Kind::never_true, last.tree->span,
            two ? called(last) + " and " + called(*clash.front()) + " are never true together"
                : called(last) + " is never true together with the others");
        for (std::size_t i = 0; i + 1 < clash.size(); ++i) {
            finding.others.push_back({place_of(clash[i]->tree->span), "the other"});
        }
        finding.help = "look at figures and values, or use any-of if one of them is enough";
    }

    void explain_none(const LoweredTree& tree) {
        for (const LoweredTree& part : tree.parts) {
            if (always(part)) {
                findings_.add(Kind::never_true, part.tree->span,
                              called(part) + " is always true, so none-of never is");
                return;
            }
        }
        findings_.add(Kind::never_true, tree.tree->span,
                      "some part of this none-of is always true, so it never is");
    }

    const Model& model_;
    Exact exact_;
    Findings& findings_;
};

}  // namespace

void report_never_true(const ShelfData& data, Findings& findings) {
    const Program& program = data.program;
    const std::vector<BoundFact> nothing_known(data.model.facts.size());
    const FirstPass first = three_valued(program, nothing_known, {});
    // A value that rests on many facts takes a step for each of them.
    std::size_t steps_of_one = program.order.size();
    for (const SharedFacts& facts : program.facts_behind) {
        steps_of_one += facts->size();
    }
    std::size_t steps = 0;
    const auto examine = [&](const LoweredTree& tree) {
        steps += steps_of_one;
        if (steps <= most_steps) {
            Examiner(data, first, findings).examine(tree);
        }
    };
    for (const LoweredTree& condition : program.conditions) {
        if (condition.tree != nullptr) {
            examine(condition);
        }
    }
    for (std::size_t i = 0; i < program.provisions.size(); ++i) {
        const Provision& provision = data.model.provisions[i];
        // A copy in an adopting pack says nothing that the original does not.
        if (provision.pack != provision.written_in) {
            continue;
        }
        if (program.provisions[i].where) {
            examine(*program.provisions[i].where);
        }
        if (program.terms_met_by[i]) {
            examine(*program.terms_met_by[i]);
        }
    }
    for (const LoweredDuty& duty : program.duties) {
        if (duty.met_by) {
            examine(*duty.met_by);
        }
    }
    for (const LoweredTree& at_odds : program.at_odds) {
        examine(at_odds);
    }
}

}  // namespace toprail
