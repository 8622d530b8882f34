// Entry points: plan_bulk, and what BulkPlan tells of itself.
#include "bulk/alternatives.hpp"
#include "bulk/cut_down.hpp"
#include "bulk/layout.hpp"
#include "bulk/lower_strips.hpp"
#include "bulk/plan_data.hpp"
#include "deciding/work.hpp"
#include "rulepack/resolve.hpp"

#include <algorithm>
#include <bit>

namespace toprail {
namespace bulk {
namespace {

bool rules_on_others(const Model& model, AuthorityId id) {
    return std::any_of(model.provisions.begin(), model.provisions.end(), [&](const Provision& p) {
        return p.effect.kind == EffectKind::governs && p.effect.governs != id &&
               model[p.pack].authority == id;
    });
}

class Planner {
  public:
    Planner(BulkPlan::Data& data, bool tells_statuses)
        : data_(data),
          tells_statuses_(tells_statuses),
          model_(data.shelf.data().model),
          program_(data.shelf.data().program),
          nodes_(program_.nodes.size(), false),
          expressions_(program_.expressions.size(), false),
          literals_(program_.nodes.size(), open),
          too_fine_(model_.facts.size(), false) {}

    void run() {
        mark_duties();
        data_.program = cut_down(program_, nodes_, expressions_, data_.duties);
        if (tells_statuses_) {
            mark_statuses();
        }
        alternatives_ = work_out_alternatives(program_, model_, expressions_);
        cut_facts();
        for (const ProgramStep& step : program_.order) {
            if (step.is_node && nodes_[step.index]) {
                literals_[step.index] = literal(program_.nodes[step.index]);
            }
        }
        write_tape();
        describe_facts();
    }

  private:
    void mark_duties() {
        for (const DutyId id : data_.duties) {
            const LoweredDuty& duty = program_.duties[id.value];
            for (const NodeId node : {duty.required, duty.excepted, duty.not_required}) {
                nodes_[node.value] = true;
            }
        }
        for (const NodeId governs : program_.governs) {
            nodes_[governs.value] = true;
        }
        mark_cone();
    }

    void mark_statuses() {
        for (const ProvisionId id : data_.provisions) {
            const LoweredProvision& lowered = program_.provisions[id.value];
            nodes_[lowered.stands.value] = nodes_[lowered.displaced.value] = true;
        }
        for (const DutyId id : data_.duties) {
            nodes_[program_.duties[id.value].contested.value] = true;
        }
        for (const LoweredTree& at_odds : program_.at_odds) {
            nodes_[at_odds.node.value] = true;
        }
        mark_cone();
    }

    void mark_cone() {
        for (auto step = program_.order.rbegin(); step != program_.order.rend(); ++step) {
            if (step->is_node && nodes_[step->index]) {
                mark_operands(program_.nodes[step->index]);
            } else if (!step->is_node && expressions_[step->index]) {
                const Expression& e = program_.expressions[step->index];
                for (const ExpressionId operand : e.operands) {
                    expressions_[operand.value] = true;
                }
                for (const ExpressionPiece& piece : e.pieces) {
                    expressions_[piece.value.value] = true;
                    if (piece.where.valid()) {
                        nodes_[piece.where.value] = true;
                    }
                }
            }
        }
    }

    void mark_operands(const TruthNode& node) {
        if (node.kind != NodeKind::atom) {
            for (std::uint32_t i = 0; i < node.count; ++i) {
                nodes_[program_.operands[node.first + i].value] = true;
            }
        } else if (program_.atoms[node.first].kind == AtomKind::compare) {
            expressions_[program_.atoms[node.first].left.value] = true;
            expressions_[program_.atoms[node.first].right.value] = true;
        }
    }

    // Calls back with the difference of each pair of alternatives of a comparison; empty where it
    // is beyond the plan.
    template <class Each>
    void each_pair(const Atom& atom, Each each) const {
        for (const Alternative& left : alternatives_[atom.left.value].list) {
            for (const Alternative& right : alternatives_[atom.right.value].list) {
                std::optional<Value> difference;
                if (!left.beyond && !right.beyond) {
                    difference = combine(Operation::subtract, left.value, right.value);
                    if (difference->kind == Value::Kind::open) {
                        difference.reset();
                    }
                }
                each(left, right, difference);
            }
        }
    }

    void cut_facts() {
        data_.classes.resize(model_.facts.size());
        for (std::size_t i = 0; i < program_.nodes.size(); ++i) {
            if (!nodes_[i] || program_.nodes[i].kind != NodeKind::atom) {
                continue;
            }
            const Atom& atom = program_.atoms[program_.nodes[i].first];
            if (atom.kind == AtomKind::member || atom.kind == AtomKind::day) {
                data_.classes[atom.fact.value].cut(atom);
            } else if (atom.kind == AtomKind::compare) {
                each_pair(atom, [&](const auto&, const auto&, const std::optional<Value>& by) {
                    if (by && by->kind == Value::Kind::line && by->slope != 0) {
                        data_.classes[by->fact.value].cut(atom.verb, *by);
                    }
                });
            }
        }
        for (std::size_t a = 0; a < model_.authorities.size(); ++a) {
            const Rulepack& first = first_edition(a);
            if (first.edition_picked.picked_by.valid()) {
                data_.classes[first.edition_picked.picked_by.value].cut_before(first.from.days());
            }
        }
        data_.facts.resize(model_.facts.size());
        for (std::size_t f = 0; f < model_.facts.size(); ++f) {
            too_fine_[f] = !data_.classes[f].finish(model_.facts[f]);
            data_.facts[f].needs_values = too_fine_[f];
            data_.facts[f].classes = too_fine_[f] ? 1 : data_.classes[f].size();
        }
    }

    [[nodiscard]] const Rulepack& first_edition(std::size_t authority) const {
        return model_[model_.authorities[authority].editions.front()];
    }

    Literal literal(const TruthNode& node) {
        switch (node.kind) {
        case NodeKind::never:
            return never;
        case NodeKind::always:
            return always;
        case NodeKind::atom:
            return literal(program_.atoms[node.first]);
        case NodeKind::negate:
            return negate(literals_[program_.operands[node.first].value]);
        case NodeKind::all:
        case NodeKind::any:
            break;
        }
        std::vector<Literal> operands;
        for (std::uint32_t i = 0; i < node.count; ++i) {
            operands.push_back(literals_[program_.operands[node.first + i].value]);
        }
        return node.kind == NodeKind::all ? circuit_.all(std::move(operands))
                                          : circuit_.any(std::move(operands));
    }

    Literal literal(const Atom& atom) {
        const Circumstances& known = data_.circumstances;
        switch (atom.kind) {
        case AtomKind::named:
            return !known.named.empty() && known.named[atom.authority.value] ? always : never;
        case AtomKind::any_named:
            return known.named.empty() ? never : always;
        case AtomKind::work_day:
            return known.on.days() >= atom.first_day && known.on.days() <= atom.last_day ? always
                                                                                         : never;
        case AtomKind::compare:
            return comparison(atom);
        case AtomKind::member:
        case AtomKind::day:
            break;
        }
        return too_fine_[atom.fact.value]
                   ? open
                   : when_applies(atom.fact, data_.classes[atom.fact.value].truths(atom));
    }

    Literal comparison(const Atom& atom) {
        std::vector<Literal> ways;
        bool beyond = false;
        each_pair(atom, [&](const Alternative& left, const Alternative& right,
                            const std::optional<Value>& difference) {
            std::vector<Literal> terms{comparison_of(atom.verb, difference)};
            beyond = beyond || terms.front() == open;
            for (const Alternative* side : {&left, &right}) {
                for (const auto& [node, negated] : side->where) {
                    const Literal where = literals_[node.value];
                    terms.push_back(negated ? negate(where) : where);
                }
            }
            ways.push_back(circuit_.all(std::move(terms)));
        });
        if (beyond) {
            for (const ExpressionId side : {atom.left, atom.right}) {
                for (const FactId fact : alternatives_[side.value].facts) {
                    data_.facts[fact.value].needs_values = true;
                }
            }
        }
        return circuit_.any(std::move(ways));
    }

    Literal comparison_of(Verb verb, const std::optional<Value>& difference) {
        if (!difference) {
            return open;
        }
        if (difference->kind == Value::Kind::line) {
            if (difference->slope == 0) {
                // Settled but for whether the fact applies.
                return holds(verb, difference->offset) ? applies(difference->fact) : never;
            }
            return too_fine_[difference->fact.value]
                       ? open
                       : when_applies(
                             difference->fact,
                             data_.classes[difference->fact.value].truths(verb, *difference));
        }
        const auto known = compare(verb, *difference, Value::number(0));
        return !known ? open : *known ? always : never;
    }

    Literal applies(FactId fact) {
        return model_[fact].may_not_apply ? circuit_.leaf(fact.value, leaf_applies) : always;
    }

    // True in the classes said, false in the others and where the fact does not apply.
    Literal when_applies(FactId fact, const std::vector<bool>& truths) {
        return circuit_.all({applies(fact), in_classes(fact, truths)});
    }

    Literal in_classes(FactId fact, std::vector<bool> truths) {
        const unsigned bits = static_cast<unsigned>(std::bit_width(truths.size() - 1));
        // Numbers past the last class never come up; let them say what makes the logic small.
        truths.resize(std::size_t{1} << bits, truths.back());
        return in_classes(fact, truths, 0, truths.size(), bits);
    }

    Literal in_classes(FactId fact, const std::vector<bool>& truths, std::size_t from,
                       std::size_t count, unsigned bits) {
        if (bits == 0) {
            return truths[from] ? always : never;
        }
        const std::size_t half = count / 2;
        const Literal low = in_classes(fact, truths, from, half, bits - 1);
        const Literal high = in_classes(fact, truths, from + half, half, bits - 1);
        return low == high
                   ? low
                   : circuit_.pick(circuit_.leaf(fact.value, static_cast<std::uint8_t>(bits - 1)),
                                   high, low);
    }

    // No answer: an authority that governs, or rules on who does, is asked about a day before its
    // first edition. A day that is not known lies before nothing.
    Literal no_answer() {
        std::vector<Literal> ways;
        for (std::size_t a = 0; a < model_.authorities.size(); ++a) {
            const Rulepack& first = first_edition(a);
            const FactId picked_by = first.edition_picked.picked_by;
            Literal before = data_.circumstances.on < first.from ? always : never;
            if (picked_by.valid()) {
                const FactClasses& classes = data_.classes[picked_by.value];
                before =
                    too_fine_[picked_by.value]
                        ? open
                        : circuit_.all({circuit_.leaf(picked_by.value, leaf_given),
                                        in_classes(picked_by, classes.before(first.from.days()))});
            }
            const bool whoever_governs =
                data_.circumstances.named.empty() && rules_on_others(model_, AuthorityId(a));
            ways.push_back(whoever_governs
                               ? before
                               : circuit_.all({literals_[program_.governs[a].value], before}));
        }
        return circuit_.any(std::move(ways));
    }

    void write_tape() {
        std::vector<OutcomeRoots> roots;
        const Literal none = no_answer();
        for (const DutyId id : data_.duties) {
            const LoweredDuty& duty = program_.duties[id.value];
            roots.push_back({literals_[duty.required.value], literals_[duty.excepted.value],
                             literals_[duty.not_required.value], none});
        }
        const std::vector<StatusRoots> rows = status_rows();
        data_.one_case = lower_one_case(circuit_, roots, rows);
        std::vector<std::size_t> classes;
        for (const BulkFact& fact : data_.facts) {
            classes.push_back(fact.classes);
        }
        data_.strips = lower_strips(circuit_, roots, rows, classes, data_.one_case);
        Layout layout = lay_out(circuit_, roots, rows);
        for (const std::uint32_t fact : layout.columns) {
            data_.columns.emplace_back(fact);
        }
        data_.steps = std::move(layout.steps);
        data_.leaves = std::move(layout.leaves);
        data_.code = std::move(layout.code);
        data_.outcomes = std::move(layout.outcomes);
        data_.statuses = std::move(layout.statuses);
        data_.slots = layout.slots;
    }

    [[nodiscard]] std::vector<StatusRoots> status_rows() const {
        std::vector<StatusRoots> rows;
        for (const ProvisionId id : data_.provisions) {
            const LoweredProvision& lowered = program_.provisions[id.value];
            const bool lives = nodes_[lowered.live.value];
            rows.push_back({literals_[lowered.stands.value], literals_[lowered.displaced.value],
                            lives ? literals_[lowered.live.value] : never});
        }
        for (const AuthorityId id : data_.authorities) {
            rows.push_back({literals_[program_.governs[id.value].value], never, never});
        }
        for (std::size_t d = 0; tells_statuses_ && d < data_.duties.size(); ++d) {
            const NodeId contested = program_.duties[data_.duties[d].value].contested;
            rows.push_back({literals_[contested.value], never, never});
        }
        for (std::size_t i = 0; tells_statuses_ && i < program_.at_odds.size(); ++i) {
            rows.push_back({literals_[program_.at_odds[i].node.value], never, never});
        }
        return rows;
    }

    void describe_facts() {
        for (std::size_t f = 0; f < model_.facts.size(); ++f) {
            BulkFact& fact = data_.facts[f];
            fact.name = model_.facts[f].name;
            fact.used = fact.needs_values;
            data_.handles.emplace(fact.name, f);
        }
        for (const FactId column : data_.columns) {
            data_.facts[column.value].used = true;
        }
    }

    BulkPlan::Data& data_;
    bool tells_statuses_;
    const Model& model_;
    const Program& program_;
    std::vector<bool> nodes_;
    std::vector<bool> expressions_;
    std::vector<Literal> literals_;  // per node of the cone
    std::vector<bool> too_fine_;     // facts with too many classes
    std::vector<Alternatives> alternatives_;
    Circuit circuit_;
};

void name_duties(BulkPlan::Data& data, const std::vector<std::string>& names, Findings& findings) {
    const Model& model = data.shelf.data().model;
    std::vector<std::string> known;
    for (const Duty& duty : model.duties) {
        known.push_back(duty.name);
    }
    for (const std::string& name : names.empty() ? known : names) {
        const auto found = model.duty_names.find(name);
        if (found == model.duty_names.end()) {
            report_unknown(Kind::unknown_name, {name, {}}, "duty", known, findings);
        } else {
            data.duties.push_back(found->second);
            data.duty_names.push_back(name);
        }
    }
}

void name_statuses(BulkPlan::Data& data) {
    const Model& model = data.shelf.data().model;
    std::map<std::string, ProvisionId> by_key;
    for (std::size_t i = 0; i < model.provisions.size(); ++i) {
        by_key.emplace(model.key(ProvisionId(i)), ProvisionId(i));
    }
    for (const auto& [key, id] : by_key) {
        data.provision_keys.push_back(key);
        data.provisions.push_back(id);
    }
    for (const auto& [name, id] : model.authority_names) {
        data.authority_names.push_back(name);
        data.authorities.push_back(id);
    }
}

}  // namespace
}  // namespace bulk

PlannedBulk plan_bulk(const Shelf& shelf, Date on, const BulkOptions& options) {
    PlannedBulk planned;
    Findings findings;
    const auto data = std::make_shared<BulkPlan::Data>(shelf);
    DecideOptions how;
    how.authorities = options.authorities;
    data->circumstances = read_circumstances(shelf.data().model, on, how, findings);
    bulk::name_duties(*data, options.duties, findings);
    if (!findings.any_error()) {
        if (options.statuses) {
            bulk::name_statuses(*data);
        }
        bulk::Planner(*data, options.statuses).run();
        if (options.statuses) {
            bulk::render_trail_texts(*data);
        }
        planned.plan.emplace(data);
    }
    planned.findings = findings.take();
    return planned;
}

BulkPlan::BulkPlan(std::shared_ptr<const Data> data) : data_(std::move(data)) {}

const std::vector<BulkFact>& BulkPlan::facts() const {
    return data_->facts;
}

const std::vector<std::string>& BulkPlan::duties() const {
    return data_->duty_names;
}

const std::vector<std::string>& BulkPlan::provisions() const {
    return data_->provision_keys;
}

const std::vector<std::string>& BulkPlan::authorities() const {
    return data_->authority_names;
}

std::optional<std::size_t> BulkPlan::fact(std::string_view name) const {
    const auto found = data_->handles.find(name);
    return found == data_->handles.end() ? std::nullopt : std::optional(found->second);
}

}  // namespace toprail
