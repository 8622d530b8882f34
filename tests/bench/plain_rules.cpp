// Entry point: plain_rules.
#include "plain_rules.hpp"

#include "bulk/alternatives.hpp"
#include "bulk/plan_data.hpp"
#include "deciding/work.hpp"

#include <algorithm>
#include <map>
#include <tuple>

namespace bench {
namespace {

using namespace toprail;

constexpr std::uint32_t never = 0;
constexpr std::uint32_t always = 1;
constexpr std::uint32_t open = 2;

std::uint32_t opposite(std::uint32_t ref) {
    return ref == open ? ref : ref ^ 1U;
}

class Listing {
  public:
    explicit Listing(const BulkPlan::Data& data)
        : data_(data),
          model_(data.shelf.data().model),
          program_(data.shelf.data().program),
          refs_(program_.nodes.size(), open) {}

    PlainRules run() {
        rules_.facts = model_.facts.size();
        rules_.nodes.resize(2);
        rules_.nodes[1].kind = PlainNode::Kind::open;
        alternatives_ = bulk::work_out_alternatives(
            program_, model_, std::vector<bool>(program_.expressions.size(), true));
        // Those that the plan knows no classes for are open at worst, and then of no duty.
        for (const ProgramStep& step : program_.order) {
            if (step.is_node) {
                refs_[step.index] = node(program_.nodes[step.index]);
            }
        }
        const std::uint32_t none = no_answer();
        for (const DutyId id : data_.duties) {
            const LoweredDuty& duty = program_.duties[id.value];
            rules_.duties.push_back({refs_[duty.required.value], refs_[duty.excepted.value],
                                     refs_[duty.not_required.value], none});
        }
        for (std::size_t i = 0; i < data_.provisions.size(); ++i) {
            const LoweredProvision& p = program_.provisions[data_.provisions[i].value];
            rules_.provisions.push_back(
                {data_.provision_keys[i], refs_[p.stands.value], refs_[p.displaced.value]});
        }
        return std::move(rules_);
    }

  private:
    std::uint32_t add(PlainNode node) {
        const auto [found, fresh] =
            known_.try_emplace(node, static_cast<std::uint32_t>(2 * rules_.nodes.size()));
        if (fresh) {
            rules_.nodes.push_back(std::move(node));
        }
        return found->second;
    }

    std::uint32_t all(std::vector<std::uint32_t> operands) {
        std::sort(operands.begin(), operands.end());
        operands.erase(std::unique(operands.begin(), operands.end()), operands.end());
        std::erase(operands, always);
        if (std::find(operands.begin(), operands.end(), never) != operands.end()) {
            return never;
        }
        if (operands.size() < 2) {
            return operands.empty() ? always : operands.front();
        }
        PlainNode node;
        node.kind = PlainNode::Kind::all;
        node.operands = std::move(operands);
        return add(std::move(node));
    }

    std::uint32_t any(std::vector<std::uint32_t> operands) {
        for (std::uint32_t& operand : operands) {
            operand = opposite(operand);
        }
        return opposite(all(std::move(operands)));
    }

    std::uint32_t test(FactId fact, std::vector<bool> truths, bool may_not_apply,
                       bool only_when_given = false) {
        const bool some = std::count(truths.begin(), truths.end(), true) != 0;
        const bool every = std::count(truths.begin(), truths.end(), false) == 0;
        if (!some) {
            return never;
        }
        if (every && !may_not_apply && !only_when_given) {
            return always;
        }
        PlainNode node;
        node.kind = PlainNode::Kind::test;
        node.fact = fact.value;
        node.truths = std::move(truths);
        node.unknown = only_when_given ? 0 : 2;
        return add(std::move(node));
    }

    std::uint32_t node(const TruthNode& node) {
        std::vector<std::uint32_t> operands;
        switch (node.kind) {
        case NodeKind::never:
            return never;
        case NodeKind::always:
            return always;
        case NodeKind::atom:
            return atom(program_.atoms[node.first]);
        case NodeKind::negate:
            return opposite(refs_[program_.operands[node.first].value]);
        case NodeKind::all:
        case NodeKind::any:
            break;
        }
        for (std::uint32_t i = 0; i < node.count; ++i) {
            operands.push_back(refs_[program_.operands[node.first + i].value]);
        }
        return node.kind == NodeKind::all ? all(std::move(operands)) : any(std::move(operands));
    }

    [[nodiscard]] bool in_classes(FactId fact) const {
        return data_.classes[fact.value].size() <= bulk::most_classes;
    }

    std::uint32_t atom(const Atom& atom) {
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
        return in_classes(atom.fact) ? test(atom.fact, data_.classes[atom.fact.value].truths(atom),
                                            model_[atom.fact].may_not_apply)
                                     : open;
    }

    std::uint32_t comparison(const Atom& atom) {
        std::vector<std::uint32_t> ways;
        for (const bulk::Alternative& left : alternatives_[atom.left.value].list) {
            for (const bulk::Alternative& right : alternatives_[atom.right.value].list) {
                std::vector<std::uint32_t> terms{difference(atom.verb, left, right)};
                for (const bulk::Alternative* side : {&left, &right}) {
                    for (const auto& [where, negated] : side->where) {
                        terms.push_back(negated ? opposite(refs_[where.value])
                                                : refs_[where.value]);
                    }
                }
                ways.push_back(all(std::move(terms)));
            }
        }
        return any(std::move(ways));
    }

    std::uint32_t difference(Verb verb, const bulk::Alternative& left,
                             const bulk::Alternative& right) {
        if (left.beyond || right.beyond) {
            return open;
        }
        const Value by = combine(Operation::subtract, left.value, right.value);
        if (by.kind == Value::Kind::open) {
            return open;
        }
        if (by.kind != Value::Kind::line) {
            const auto known = compare(verb, by, Value::number(0));
            return !known ? open : *known ? always : never;
        }
        const bool may_not_apply = model_[by.fact].may_not_apply;
        if (by.slope == 0) {
            const std::size_t classes = data_.classes[by.fact.value].size();
            return holds(verb, by.offset)
                       ? test(by.fact, std::vector<bool>(std::max<std::size_t>(classes, 1), true),
                              may_not_apply)
                       : never;
        }
        return in_classes(by.fact)
                   ? test(by.fact, data_.classes[by.fact.value].truths(verb, by), may_not_apply)
                   : open;
    }

    std::uint32_t no_answer() {
        std::vector<std::uint32_t> ways;
        for (std::size_t a = 0; a < model_.authorities.size(); ++a) {
            const Rulepack& first = model_[model_.authorities[a].editions.front()];
            const FactId by = first.edition_picked.picked_by;
            const std::uint32_t before =
                by.valid()
                    ? test(by, data_.classes[by.value].before(first.from.days()), false, true)
                : data_.circumstances.on < first.from ? always
                                                      : never;
            const bool whoever_governs =
                data_.circumstances.named.empty() &&
                std::any_of(
                    model_.provisions.begin(), model_.provisions.end(), [&](const Provision& p) {
                        return p.effect.kind == EffectKind::governs &&
                               p.effect.governs.value != a && model_[p.pack].authority.value == a;
                    });
            ways.push_back(whoever_governs ? before
                                           : all({refs_[program_.governs[a].value], before}));
        }
        return any(std::move(ways));
    }

    const BulkPlan::Data& data_;
    const Model& model_;
    const Program& program_;
    std::vector<bulk::Alternatives> alternatives_;
    std::vector<std::uint32_t> refs_;  // per node of the program
    std::map<PlainNode, std::uint32_t> known_;
    PlainRules rules_;
};

}  // namespace

bool operator<(const PlainNode& a, const PlainNode& b) {
    return std::tie(a.kind, a.fact, a.truths, a.unknown, a.operands) <
           std::tie(b.kind, b.fact, b.truths, b.unknown, b.operands);
}

PlainRules plain_rules(const BulkPlan& plan) {
    return Listing(plan.data()).run();
}

}  // namespace bench
