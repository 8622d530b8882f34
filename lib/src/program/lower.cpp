// Entry point: lower.
#include "program/builder.hpp"

#include <algorithm>
#include <limits>
#include <map>
#include <set>

namespace toprail {
namespace {

constexpr std::int32_t first_day_ever = std::numeric_limits<std::int32_t>::min();
constexpr std::int32_t last_day_ever = std::numeric_limits<std::int32_t>::max();

class Lowering {
  public:
    Lowering(const Model& model, const DependencyGraph& graph)
        : model_(model),
          graph_(graph),
          build_(program_) {}

    Program run() {
        program_.conditions.resize(model_.conditions.size());
        program_.quantities.resize(model_.quantities.size());
        program_.facts_behind = facts_behind_quantities(model_, graph_);
        program_.provisions.resize(model_.provisions.size());
        program_.bounds.resize(model_.provisions.size());
        program_.terms_met_by.resize(model_.provisions.size());
        lower_facts();
        for (const Vertex& vertex : building_order(graph_)) {
            if (vertex.kind == VertexKind::condition) {
                program_.conditions[vertex.index] =
                    lower_tree(model_.conditions[vertex.index].tree);
            } else {
                program_.quantities[vertex.index] = lower_quantity(model_.quantities[vertex.index]);
            }
        }
        for (std::size_t i = 0; i < model_.provisions.size(); ++i) {
            lower_standing(ProvisionId(i));
        }
        lower_displacement();
        lower_duties();
        lower_choices_and_limits();
        for (const AtOdds& at_odds : model_.at_odds) {
            program_.at_odds.push_back(lower_tree(at_odds.where));
        }
        return std::move(program_);
    }

  private:
    void lower_facts() {
        for (std::size_t i = 0; i < model_.facts.size(); ++i) {
            const FactType type = model_.facts[i].type;
            const bool measured = type == FactType::measured || type == FactType::count;
            program_.facts.push_back(measured ? build_.fact(FactId(i)) : ExpressionId());
        }
    }

    ExpressionId expression(Ref ref) const {
        return ref.kind == RefKind::quantity ? program_.quantities[ref.index]
                                             : program_.facts[ref.index];
    }

    NodeId member(FactId fact, const std::vector<std::uint32_t>& values) {
        Atom atom;
        atom.kind = AtomKind::member;
        atom.fact = fact;
        const Fact& described = model_[fact];
        atom.members.assign(described.type == FactType::yes_no ? 2 : described.values.size(),
                            false);
        for (const std::uint32_t value : values) {
            atom.members[value] = true;
        }
        return build_.atom(std::move(atom));
    }

    // Invalid fact: the deciding date.
    NodeId in_days(FactId fact, std::optional<Date> from, std::optional<Date> until) {
        if (!from && !until) {
            return build_.always();
        }
        Atom atom;
        atom.kind = fact.valid() ? AtomKind::day : AtomKind::work_day;
        atom.fact = fact;
        atom.first_day = from ? from->days() : first_day_ever;
        atom.last_day = until ? until->days() : last_day_ever;
        return build_.atom(std::move(atom));
    }

    NodeId day_test(const Test& test) {
        const Date day = *test.day;
        const FactId fact(test.subject.index);
        const Date before = Date::from_days(day.days() - 1);
        const Date after = Date::from_days(day.days() + 1);
        switch (test.verb) {
        case Verb::before:
            return in_days(fact, std::nullopt, before);
        case Verb::on_or_before:
            return in_days(fact, std::nullopt, day);
        case Verb::on_or_after:
            return in_days(fact, day, std::nullopt);
        case Verb::after:
            return in_days(fact, after, std::nullopt);
        default:
            return in_days(fact, day, day);
        }
    }

    NodeId compare_test(const Test& test) {
        Atom atom;
        atom.kind = AtomKind::compare;
        atom.verb = test.verb;
        atom.left = expression(test.subject);
        atom.right = test.figure ? build_.figure(test.figure->base) : expression(test.other);
        return build_.atom(std::move(atom));
    }

    NodeId test_node(const Test& test) {
        switch (test.kind) {
        case Test::Kind::truth: {
            const NodeId node = test.subject.kind == RefKind::condition
                                    ? program_.conditions[test.subject.index].node
                                    : member(FactId(test.subject.index), {1});
            return test.negated ? build_.negate(node) : node;
        }
        case Test::Kind::one_of:
            return member(FactId(test.subject.index), test.values);
        case Test::Kind::compare:
            return compare_test(test);
        case Test::Kind::day:
            return day_test(test);
        case Test::Kind::none:
            break;
        }
        return build_.never();
    }

    LoweredTree lower_tree(const ConditionTree& tree) {
        LoweredTree lowered;
        lowered.tree = &tree;
        if (tree.shape == ConditionTree::Shape::sentence) {
            lowered.node = test_node(tree.test);
            return lowered;
        }
        std::vector<NodeId> nodes;
        for (const ConditionTree& part : tree.parts) {
            lowered.parts.push_back(lower_tree(part));
            nodes.push_back(lowered.parts.back().node);
        }
        switch (tree.shape) {
        case ConditionTree::Shape::all_of:
            lowered.node = build_.all(std::move(nodes));
            break;
        case ConditionTree::Shape::any_of:
            lowered.node = build_.any(std::move(nodes));
            break;
        default:
            lowered.node = build_.negate(build_.any(std::move(nodes)));
            break;
        }
        return lowered;
    }

    ExpressionId lower_formula(const Piece& piece) {
        std::vector<ExpressionId> terms;
        for (std::size_t i = 0; i < piece.formula.terms.size(); ++i) {
            const Term& term = piece.formula.terms[i];
            if (term.operation == Operation::figure) {
                terms.push_back(build_.figure(term.figure.base));
            } else if (term.operation == Operation::name) {
                terms.push_back(expression(piece.refs[i]));
            } else {
                std::vector<ExpressionId> operands;
                for (const std::size_t part : term.parts) {
                    operands.push_back(terms[part]);
                }
                terms.push_back(build_.operation(term.operation, std::move(operands)));
            }
        }
        return terms.back();
    }

    ExpressionId lower_quantity(const Quantity& quantity) {
        std::vector<ExpressionPiece> pieces;
        for (const Piece& piece : quantity.pieces) {
            const NodeId where = piece.where ? lower_tree(*piece.where).node : NodeId();
            pieces.push_back({where, lower_formula(piece)});
        }
        return build_.pieces(std::move(pieces));
    }

    void lower_standing(ProvisionId id) {
        const Provision& provision = model_[id];
        LoweredProvision& lowered = program_.provisions[id.value];
        const Rulepack& pack = model_[provision.pack];
        lowered.edition = in_days(pack.edition_picked.picked_by, pack.from, pack.last_day);
        const NodeId own_days = in_days(provision.in_force.picked_by, provision.in_force.from,
                                        provision.in_force.until);
        lowered.in_force = build_.all({lowered.edition, own_days});
        std::vector<NodeId> conditions;
        if (provision.where) {
            lowered.where = lower_tree(*provision.where);
            conditions.push_back(lowered.where->node);
        }
        for (const Guard& guard : provision.guards) {
            lowered.guards.push_back(lower_tree(guard.where));
            conditions.push_back(lowered.guards.back().node);
        }
        lowered.condition = build_.all(std::move(conditions));
        lowered.stands = build_.all({lowered.in_force, lowered.condition});
        const Effect& effect = provision.effect;
        if (effect.kind == EffectKind::limit) {
            program_.bounds[id.value] = effect.bound_figure
                                            ? build_.figure(effect.bound_figure->base)
                                            : expression(effect.bound_ref);
        }
        if (effect.terms_met_by) {
            program_.terms_met_by[id.value] = lower_tree(*effect.terms_met_by);
        }
    }

    void mark_always_weighed() {
        std::vector<bool> rules_on_others(model_.packs.size(), false);
        for (const Provision& provision : model_.provisions) {
            if (provision.effect.kind == EffectKind::governs &&
                provision.effect.governs != model_[provision.pack].authority) {
                rules_on_others[provision.pack.value] = true;
            }
        }
        for (std::size_t i = 0; i < model_.provisions.size(); ++i) {
            const Provision& provision = model_.provisions[i];
            program_.provisions[i].always_weighed = provision.effect.kind == EffectKind::governs ||
                                                    (provision.effect.kind == EffectKind::remark &&
                                                     rules_on_others[provision.pack.value]);
        }
    }

    // Who displaces each provision. Whether an authority governs must not hang on provisions that
    // hang on whether it governs: a provision that is always weighed is displaced only by another
    // such.
    std::vector<std::vector<ProvisionId>> displacers() const {
        std::vector<std::vector<ProvisionId>> by(model_.provisions.size());
        for (std::size_t i = 0; i < model_.provisions.size(); ++i) {
            for (const ProvisionId other : model_.provisions[i].displaced) {
                if (!program_.provisions[other.value].always_weighed ||
                    program_.provisions[i].always_weighed) {
                    by[other.value].emplace_back(i);
                }
            }
        }
        return by;
    }

    void lower_live(ProvisionId id, const std::vector<ProvisionId>& displacers) {
        LoweredProvision& lowered = program_.provisions[id.value];
        std::vector<NodeId> over;
        for (const ProvisionId other : displacers) {
            over.push_back(program_.provisions[other.value].live);
        }
        const NodeId any_over = build_.any(std::move(over));
        const NodeId counts = build_.all({lowered.stands, lowered.governed});
        lowered.displaced = build_.all({lowered.stands, any_over});
        lowered.live = build_.all({counts, build_.negate(any_over)});
    }

    void lower_governing() {
        std::vector<std::vector<NodeId>> reasons(model_.authorities.size());
        for (std::size_t i = 0; i < model_.provisions.size(); ++i) {
            const Effect& effect = model_.provisions[i].effect;
            if (effect.kind == EffectKind::governs && effect.governs.valid()) {
                program_.some_pack_governs = true;
                reasons[effect.governs.value].push_back(program_.provisions[i].live);
            }
        }
        Atom any_named;
        any_named.kind = AtomKind::any_named;
        const NodeId host_names = build_.atom(std::move(any_named));
        for (std::size_t i = 0; i < model_.authorities.size(); ++i) {
            Atom named;
            named.kind = AtomKind::named;
            named.authority = AuthorityId(i);
            // Without any provision on who governs, every authority on the shelf does.
            const NodeId by_rule =
                program_.some_pack_governs ? build_.any(reasons[i]) : build_.always();
            program_.governs.push_back(
                build_.any({build_.all({host_names, build_.atom(std::move(named))}),
                            build_.all({build_.negate(host_names), by_rule})}));
        }
    }

    void lower_displacement() {
        mark_always_weighed();
        const auto by = displacers();
        const std::vector<ProvisionId> order = displacement_order(model_);
        for (const ProvisionId id : order) {
            if (program_.provisions[id.value].always_weighed) {
                program_.provisions[id.value].governed = build_.always();
                lower_live(id, by[id.value]);
            }
        }
        lower_governing();
        for (const ProvisionId id : order) {
            if (!program_.provisions[id.value].always_weighed) {
                const AuthorityId authority = model_[model_[id].pack].authority;
                program_.provisions[id.value].governed = program_.governs[authority.value];
                lower_live(id, by[id.value]);
            }
        }
    }

    [[nodiscard]] NodeId live(ProvisionId id) const { return program_.provisions[id.value].live; }

    void lower_duties() {
        const std::size_t count = model_.provisions.size();
        std::vector<std::vector<ProvisionId>> exceptions(count);
        for (std::size_t i = 0; i < count; ++i) {
            for (const ProvisionId relaxed : model_.provisions[i].effect.relaxed) {
                exceptions[relaxed.value].emplace_back(i);
            }
        }
        for (std::size_t d = 0; d < model_.duties.size(); ++d) {
            lower_duty(DutyId(d), exceptions);
        }
    }

    void lower_duty(DutyId id, const std::vector<std::vector<ProvisionId>>& exceptions) {
        LoweredDuty duty;
        std::vector<NodeId> required;
        std::vector<NodeId> excepted;
        std::vector<NodeId> not_required;
        std::vector<NodeId> contested;
        std::set<ProvisionId> bearing;
        std::map<ProvisionId, std::vector<NodeId>> covered;  // demands, by the exception
        std::vector<std::vector<NodeId>> asks(model_.authorities.size());
        std::vector<std::vector<NodeId>> frees(model_.authorities.size());
        for (std::size_t i = 0; i < model_.provisions.size(); ++i) {
            const Provision& provision = model_.provisions[i];
            if (provision.effect.kind != EffectKind::duty || provision.effect.duty != id) {
                continue;
            }
            bearing.insert(ProvisionId(i));
            const AuthorityId authority = model_[provision.pack].authority;
            const NodeId lives = live(ProvisionId(i));
            if (!provision.effect.required) {
                not_required.push_back(lives);
                frees[authority.value].push_back(lives);
                continue;
            }
            std::vector<NodeId> relaxing;
            for (const ProvisionId exception : exceptions[i]) {
                relaxing.push_back(live(exception));
                bearing.insert(exception);
                covered[exception].push_back(lives);
            }
            const NodeId relaxed = build_.any(std::move(relaxing));
            asks[authority.value].push_back(lives);
            required.push_back(build_.all({lives, build_.negate(relaxed)}));
            excepted.push_back(build_.all({lives, relaxed}));
        }
        for (std::size_t a = 0; a < model_.authorities.size(); ++a) {
            contested.push_back(build_.all({build_.any(asks[a]), build_.any(frees[a])}));
        }
        duty.required = build_.any(std::move(required));
        duty.excepted = build_.any(std::move(excepted));
        duty.not_required = build_.any(std::move(not_required));
        duty.contested = build_.any(std::move(contested));
        duty.provisions.assign(bearing.begin(), bearing.end());
        std::vector<NodeId> broken;
        std::vector<NodeId> unshown;
        for (auto& [exception, demands] : covered) {
            const NodeId covers = build_.all({live(exception), build_.any(std::move(demands))});
            if (const auto& terms = program_.terms_met_by[exception.value]) {
                broken.push_back(build_.all({covers, build_.negate(terms->node)}));
            } else {
                unshown.push_back(covers);
            }
        }
        // One node for all exceptions: the terms of two may exclude each other, so that broken
        // terms are certain while neither's are.
        duty.terms_broken = build_.any(std::move(broken));
        duty.terms_unshown = build_.any(std::move(unshown));
        if (model_[id].met_by) {
            duty.met_by = lower_tree(*model_[id].met_by);
        }
        program_.duties.push_back(std::move(duty));
    }

    void lower_choices_and_limits() {
        for (const auto& [name, ref] : model_.shared_names) {
            if (ref.kind == RefKind::fact && model_.facts[ref.index].is_choice) {
                lower_choice(FactId(ref.index));
            }
        }
        std::map<std::string, LoweredLimit> limits;
        for (std::size_t i = 0; i < model_.provisions.size(); ++i) {
            const Effect& effect = model_.provisions[i].effect;
            if (effect.kind == EffectKind::limit && effect.limited.kind != RefKind::none) {
                // Two packs may each have a quantity of that name: they are limited apart.
                LoweredLimit& limit = limits[model_.name(effect.limited) + "#" +
                                             std::to_string(static_cast<int>(effect.limited.kind)) +
                                             "#" + std::to_string(effect.limited.index)];
                limit.limited = effect.limited;
                limit.provisions.emplace_back(i);
            }
        }
        for (auto& [name, limit] : limits) {
            program_.limits.push_back(std::move(limit));
        }
    }

    void lower_choice(FactId fact) {
        LoweredChoice choice;
        choice.choice = fact;
        const std::size_t count = model_[fact].values.size();
        std::vector<std::vector<NodeId>> removed(count);
        for (std::size_t i = 0; i < model_.provisions.size(); ++i) {
            const Effect& effect = model_.provisions[i].effect;
            if (effect.kind != EffectKind::choice || effect.choice != fact) {
                continue;
            }
            choice.provisions.emplace_back(i);
            for (std::size_t v = 0; v < count; ++v) {
                if (effect.removes[v]) {
                    removed[v].push_back(live(ProvisionId(i)));
                }
            }
        }
        std::vector<NodeId> all;
        for (std::vector<NodeId>& by : removed) {
            choice.removed.push_back(build_.any(std::move(by)));
            all.push_back(choice.removed.back());
        }
        choice.empty = choice.provisions.empty() ? build_.never() : build_.all(std::move(all));
        program_.choices.push_back(std::move(choice));
    }

    const Model& model_;
    const DependencyGraph& graph_;
    Program program_;
    ProgramBuilder build_;
};

}  // namespace

Program lower(const Model& model, const DependencyGraph& graph) {
    return Lowering(model, graph).run();
}

}  // namespace toprail
