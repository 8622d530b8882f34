// Entry point: report_may_lack_value. Ranges of facts, and what the `where` of a piece says of
// them, are followed through the formulas. A divisor that may still be zero, or a root of what may
// still be negative, is told.
#include "graph/dependencies.hpp"
#include "shelf/checks.hpp"
#include "shelf/range.hpp"

#include <map>
#include <set>
#include <vector>

namespace toprail {
namespace {

using Name = std::pair<RefKind, std::uint32_t>;

Name name_of(Ref ref) {
    return {ref.kind, ref.index};
}

// What is taken as true while one piece is looked at.
struct Supposed {
    std::map<Name, Range> ranges;
    /// Of the first less the second.
    std::map<std::pair<Name, Name>, Range> differences;

    [[nodiscard]] std::size_t size() const { return ranges.size() + differences.size(); }

    void add(const Test& test) {
        if (test.kind != Test::Kind::compare) {
            return;
        }
        if (test.figure) {
            Range& range = ranges[name_of(test.subject)];
            range = both(range, range_of(test.verb, test.figure->base));
        } else {
            const Range difference = range_of(test.verb, 0);
            differences[{name_of(test.subject), name_of(test.other)}] = difference;
            differences[{name_of(test.other), name_of(test.subject)}] =
                Range{Number(0), Number(0)} - difference;
        }
    }

    void add_not(Test test) {
        switch (test.verb) {
        case Verb::more_than:
            test.verb = Verb::at_most;
            break;
        case Verb::at_least:
            test.verb = Verb::less_than;
            break;
        case Verb::at_most:
            test.verb = Verb::more_than;
            break;
        case Verb::less_than:
            test.verb = Verb::at_least;
            break;
        default:
            return;
        }
        add(test);
    }
};

// How far quantities are written out anew with what is supposed; beyond, their usual range counts.
constexpr unsigned most_levels = 5;
// Terms, sentences and things supposed that are looked at in all: the work grows with their number
// at every level. Of quantities that take more nothing is told, and nothing is known.
constexpr std::size_t most_work = 3'000'000;

class Search {
  public:
    Search(const Model& model, Findings& findings) : model_(model), findings_(findings) {}

    void run(const DependencyGraph& graph) {
        usual_.resize(model_.quantities.size());
        for (const Vertex& vertex : building_order(graph)) {
            if (vertex.kind == VertexKind::quantity) {
                const Quantity& quantity = model_.quantities[vertex.index];
                told_ = false;
                usual_[vertex.index] = range_of_quantity(quantity, {}, 0, &quantity);
            }
        }
    }

  private:
    // Walks with a list of its own: chains of conditions may be long. Each counts once.
    void suppose(const ConditionTree& where, Supposed& supposed) {
        std::vector<const ConditionTree*> open{&where};
        std::set<std::uint32_t> seen;
        while (!open.empty() && spend(1)) {
            const ConditionTree& tree = *open.back();
            open.pop_back();
            if (tree.shape == ConditionTree::Shape::all_of) {
                for (const ConditionTree& part : tree.parts) {
                    open.push_back(&part);
                }
            } else if (tree.shape == ConditionTree::Shape::sentence) {
                supposed.add(tree.test);
                if (tree.test.kind == Test::Kind::truth && !tree.test.negated &&
                    tree.test.subject.kind == RefKind::condition &&
                    seen.insert(tree.test.subject.index).second) {
                    open.push_back(&model_.conditions[tree.test.subject.index].tree);
                }
            }
        }
    }

    bool spend(std::size_t work) {
        spent_ += work;
        return spent_ <= most_work;
    }

    // `looked_at`: tell what may lack a value in it, once.
    Range range_of_quantity(const Quantity& quantity, const Supposed& outer, unsigned level,
                            const Quantity* looked_at) {
        std::optional<Range> all;
        Supposed none_before = outer;
        for (const Piece& piece : quantity.pieces) {
            if (!spend(1 + none_before.size())) {
                return {};
            }
            Supposed supposed = none_before;
            if (piece.where) {
                suppose(*piece.where, supposed);
                none_before.add_not(piece.where->test);
            }
            const Range one = range_of_piece(piece, supposed, level, looked_at);
            all = all ? hull(*all, one) : one;
        }
        return all.value_or(Range{});
    }

    Range range_of_name(Ref ref, const Supposed& supposed, unsigned level) {
        Range range;
        const auto known = supposed.ranges.find(name_of(ref));
        if (ref.kind == RefKind::fact) {
            const Fact& fact = model_.facts[ref.index];
            range = {fact.from ? std::optional(fact.from->base) : std::nullopt,
                     fact.to ? std::optional(fact.to->base) : std::nullopt};
        } else {
            const bool anew = level < most_levels && supposed.size() > 0;
            range =
                anew ? range_of_quantity(model_.quantities[ref.index], supposed, level + 1, nullptr)
                     : usual_[ref.index];
        }
        return known == supposed.ranges.end() ? range : both(range, known->second);
    }

    [[nodiscard]] static bool same(const Formula& formula, std::size_t a, std::size_t b) {
        const Term& one = formula.terms[a];
        const Term& other = formula.terms[b];
        if (one.operation != other.operation || one.name != other.name ||
            one.parts.size() != other.parts.size() ||
            (one.operation == Operation::figure && one.figure.base != other.figure.base)) {
            return false;
        }
        for (std::size_t i = 0; i < one.parts.size(); ++i) {
            if (!same(formula, one.parts[i], other.parts[i])) {
                return false;
            }
        }
        return true;
    }

    Range range_of_piece(const Piece& piece, const Supposed& supposed, unsigned level,
                         const Quantity* looked_at) {
        std::vector<Range> ranges;
        for (std::size_t i = 0; i < piece.formula.terms.size(); ++i) {
            if (!spend(1)) {
                return {};
            }
            const Term& term = piece.formula.terms[i];
            if (term.operation == Operation::figure) {
                ranges.push_back({term.figure.base, term.figure.base});
            } else if (term.operation == Operation::name) {
                ranges.push_back(range_of_name(piece.refs[i], supposed, level));
            } else {
                ranges.push_back(range_of_term(piece, term, ranges, supposed, looked_at));
            }
        }
        return ranges.back();
    }

    Range range_of_term(const Piece& piece, const Term& term, const std::vector<Range>& ranges,
                        const Supposed& supposed, const Quantity* looked_at) {
        Range range = ranges[term.parts.front()];
        if (term.operation == Operation::root) {
            if (range.may_be_negative()) {
                tell(looked_at, term, "what it takes the root of may be negative");
            }
            return root(range);
        }
        for (std::size_t i = 1; i < term.parts.size(); ++i) {
            const Range& other = ranges[term.parts[i]];
            switch (term.operation) {
            case Operation::add:
                range = range + other;
                break;
            case Operation::subtract:
                range = range - other;
                break;
            case Operation::multiply:
                range = i == 1 && same(piece.formula, term.parts[0], term.parts[1]) ? square(range)
                                                                                    : range * other;
                break;
            case Operation::divide:
                if (other.may_be_zero()) {
                    tell(looked_at, piece.formula.terms[term.parts[i]],
                         "it divides by what may be zero");
                }
                range = range / other;
                break;
            case Operation::minimum:
                range = least(range, other);
                break;
            default:
                range = greatest(range, other);
                break;
            }
        }
        if (term.operation == Operation::subtract && term.parts.size() == 2) {
            const auto known = supposed.differences.find(
                {name_of(piece.refs[term.parts[0]]), name_of(piece.refs[term.parts[1]])});
            if (known != supposed.differences.end()) {
                range = both(range, known->second);
            }
        }
        return range;
    }

    void tell(const Quantity* quantity, const Term& at, const std::string& what) {
        if (quantity == nullptr || told_ || spent_ > most_work) {
            return;
        }
        told_ = true;
        findings_
            .add(Kind::may_lack_value, at.span,
                 "the quantity \"" + quantity->name + "\" may have no value: " + what)
            .help = "give the facts in it a \"from\" or \"to\" that leaves this out, or say in "
                    "\"where\" of a piece when the formula counts, and in a last piece what holds "
                    "otherwise";
    }

    const Model& model_;
    Findings& findings_;
    std::vector<Range> usual_;
    bool told_ = false;
    std::size_t spent_ = 0;
};

}  // namespace

void report_may_lack_value(const Model& model, const DependencyGraph& graph, Findings& findings) {
    Search(model, findings).run(graph);
}

}  // namespace toprail
