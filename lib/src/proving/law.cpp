// Entry point: Law::Law.
#include "proving/law.hpp"

#include "deciding/bound.hpp"

namespace toprail {

Law::Law(z3::context& context, Variables& variables, const ShelfData& data, std::vector<bool> named)
    : context_(context),
      variables_(variables),
      data_(data),
      named_(std::move(named)),
      nodes_(data.program.nodes.size(), context.bool_val(false)),
      terms_(data.program.expressions.size(), Term{context.real_val(0), context.bool_val(true)}),
      displacement_order_(displacement_order(data.model)),
      displacers_(data.model.provisions.size()),
      exceptions_(data.model.provisions.size()) {
    for (const Fact& fact : data.model.facts) {
        variables.declare(fact);
    }
    for (const ProgramStep& step : data.program.order) {
        if (step.is_node) {
            nodes_[step.index] = encode(data.program.nodes[step.index]);
        } else {
            terms_[step.index] = encode(data.program.expressions[step.index]);
        }
    }
    for (std::size_t i = 0; i < data.model.provisions.size(); ++i) {
        const Provision& provision = data.model.provisions[i];
        for (const ProvisionId other : provision.displaced) {
            // As in the program: what says who governs is displaced by its like alone.
            const bool governs = data.model[other].effect.kind == EffectKind::governs;
            if (!governs || provision.effect.kind == EffectKind::governs) {
                displacers_[other.value].emplace_back(i);
            }
        }
        for (const ProvisionId relaxed : provision.effect.relaxed) {
            exceptions_[relaxed.value].emplace_back(i);
        }
    }
}

z3::expr Law::encode(const TruthNode& node) {
    switch (node.kind) {
    case NodeKind::never:
    case NodeKind::always:
        return context_.bool_val(node.kind == NodeKind::always);
    case NodeKind::atom:
        return encode(program().atoms[node.first]);
    case NodeKind::negate: {
        const z3::expr& inner = nodes_[program().operands[node.first].value];
        return inner.is_true() || inner.is_false() ? context_.bool_val(inner.is_false()) : !inner;
    }
    case NodeKind::all:
    case NodeKind::any:
        break;
    }
    std::vector<z3::expr> operands;
    for (std::uint32_t i = 0; i < node.count; ++i) {
        operands.push_back(nodes_[program().operands[node.first + i].value]);
    }
    return node.kind == NodeKind::all ? all_of(context_, operands) : any_of(context_, operands);
}

z3::expr Law::between(const z3::expr& day, const Atom& atom) const {
    const std::int32_t first = Date::parse("1800-01-01")->days();
    const std::int32_t last = Date::parse("2200-12-31")->days();
    std::vector<z3::expr> ends;
    if (atom.first_day > first) {
        ends.push_back(day >= atom.first_day);
    }
    if (atom.last_day < last) {
        ends.push_back(day <= atom.last_day);
    }
    return all_of(context_, ends);
}

z3::expr Law::absent_or(const FactTerms& fact, const z3::expr& test) const {
    return fact.absent.is_false() ? test : !fact.absent && test;
}

z3::expr Law::encode(const Atom& atom) {
    switch (atom.kind) {
    case AtomKind::named:
        return context_.bool_val(!named_.empty() && named_[atom.authority.value]);
    case AtomKind::any_named:
        return context_.bool_val(!named_.empty());
    case AtomKind::work_day:
        return between(variables_.work_date(), atom);
    case AtomKind::day: {
        const FactTerms& fact = *variables_.find(model()[atom.fact].name);
        return absent_or(fact, between(*fact.number, atom));
    }
    case AtomKind::member: {
        const Fact& described = model()[atom.fact];
        const FactTerms& fact = *variables_.find(described.name);
        std::vector<z3::expr> values;
        for (const auto& [value, is] : fact.values) {
            for (std::size_t i = 0; i < atom.members.size(); ++i) {
                const bool same = described.type == FactType::yes_no ? (value == "yes") == (i == 1)
                                                                     : described.values[i] == value;
                if (same && atom.members[i]) {
                    values.push_back(is);
                }
            }
        }
        return absent_or(fact, any_of(context_, values));
    }
    case AtomKind::compare:
        break;
    }
    const Term& left = terms_[atom.left.value];
    const Term& right = terms_[atom.right.value];
    const auto holds = [&] {
        switch (atom.verb) {
        case Verb::more_than:
            return left.value > right.value;
        case Verb::at_least:
            return left.value >= right.value;
        case Verb::at_most:
            return left.value <= right.value;
        case Verb::less_than:
            return left.value < right.value;
        default:
            return left.value == right.value;
        }
    };
    return all_of(context_, {left.present, right.present, holds()});
}

Law::Term Law::encode(const Expression& e) {
    switch (e.kind) {
    case Expression::Kind::figure:
        return {real(context_, e.figure), context_.bool_val(true)};
    case Expression::Kind::fact: {
        const FactTerms& fact = *variables_.find(model()[e.fact].name);
        const z3::expr number = fact.fact.type == FactType::count
                                    ? z3::expr(context_, Z3_mk_int2real(context_, *fact.number))
                                    : *fact.number;
        return {number, fact.absent.is_false() ? context_.bool_val(true) : !fact.absent};
    }
    case Expression::Kind::operation:
        return encode_operation(e);
    case Expression::Kind::pieces:
        break;
    }
    // The first piece whose condition is true counts, so the later ones are the inner terms.
    Term result{context_.real_val(0), context_.bool_val(false)};
    for (auto piece = e.pieces.rbegin(); piece != e.pieces.rend(); ++piece) {
        const Term& value = terms_[piece->value.value];
        if (!piece->where.valid()) {
            result = value;
            continue;
        }
        const z3::expr& where = nodes_[piece->where.value];
        result = {z3::ite(where, value.value, result.value),
                  z3::ite(where, value.present, result.present)};
    }
    return result;
}

Law::Term Law::encode_operation(const Expression& e) {
    Term result = terms_[e.operands.front().value];
    for (std::size_t i = 1; i < e.operands.size(); ++i) {
        const Term& other = terms_[e.operands[i].value];
        std::vector<z3::expr> present{result.present, other.present};
        switch (e.operation) {
        case Operation::add:
            result.value = result.value + other.value;
            break;
        case Operation::subtract:
            result.value = result.value - other.value;
            break;
        case Operation::multiply:
            result.value = result.value * other.value;
            break;
        case Operation::divide:
            present.push_back(other.value != 0);
            result.value = result.value / other.value;
            break;
        case Operation::minimum:
            result.value = z3::ite(result.value <= other.value, result.value, other.value);
            break;
        default:
            result.value = z3::ite(result.value >= other.value, result.value, other.value);
            break;
        }
        result.present = all_of(context_, present);
    }
    if (e.operation == Operation::root) {
        result.present = all_of(context_, {result.present, result.value >= 0});
        result.value = variables_.root(result.value);
    }
    return result;
}

LiveTerms Law::live() const {
    LiveTerms live;
    for (const LoweredProvision& provision : program().provisions) {
        live.push_back(node(provision.live));
    }
    return live;
}

LiveTerms Law::live_without(const Removal& removal) const {
    LiveTerms live = this->live();
    std::vector<bool> changed(live.size(), false);
    for (const ProvisionId id : displacement_order_) {
        const bool taken_out = id == removal.provision && !removal.displaced.valid();
        bool affected = taken_out || id == removal.displaced;
        for (const ProvisionId over : displacers_[id.value]) {
            affected = affected || changed[over.value];
        }
        if (!affected) {
            continue;
        }
        changed[id.value] = true;
        if (taken_out) {
            live[id.value] = context_.bool_val(false);
            continue;
        }
        std::vector<z3::expr> terms{stands(id), node(program().provisions[id.value].governed)};
        for (const ProvisionId over : displacers_[id.value]) {
            if (id != removal.displaced || over != removal.provision) {
                terms.push_back(!live[over.value]);
            }
        }
        live[id.value] = all_of(context_, terms);
    }
    return live;
}

DutyTerms Law::duty(DutyId id, const LiveTerms& live) const {
    std::vector<z3::expr> required;
    std::vector<z3::expr> excepted;
    std::vector<z3::expr> not_required;
    for (const ProvisionId bearing : program().duties[id.value].provisions) {
        const Effect& effect = model()[bearing].effect;
        if (effect.kind != EffectKind::duty) {
            continue;
        }
        const z3::expr& lives = live[bearing.value];
        if (!effect.required) {
            not_required.push_back(lives);
            continue;
        }
        std::vector<z3::expr> relaxing;
        for (const ProvisionId exception : exceptions_[bearing.value]) {
            relaxing.push_back(live[exception.value]);
        }
        const z3::expr relaxed = any_of(context_, relaxing);
        required.push_back(relaxed.is_false() ? lives : all_of(context_, {lives, !relaxed}));
        excepted.push_back(all_of(context_, {lives, relaxed}));
    }
    return {any_of(context_, required), any_of(context_, excepted), any_of(context_, not_required)};
}

std::vector<z3::expr> Law::removed(const LoweredChoice& choice, const LiveTerms& live) const {
    std::vector<z3::expr> removed;
    for (std::size_t v = 0; v < choice.removed.size(); ++v) {
        std::vector<z3::expr> by;
        for (const ProvisionId id : choice.provisions) {
            if (model()[id].effect.removes[v]) {
                by.push_back(live[id.value]);
            }
        }
        removed.push_back(any_of(context_, by));
    }
    return removed;
}

z3::expr Law::bound_applies(ProvisionId id) const {
    return terms_[program().bounds[id.value].value].present;
}

z3::expr Law::bound_value(ProvisionId id) const {
    return terms_[program().bounds[id.value].value].value;
}

BoundTerms Law::bound(const LoweredLimit& limit, bool at_most, const LiveTerms& live) const {
    BoundTerms strictest{context_.bool_val(false), context_.real_val(0)};
    for (const ProvisionId id : limit.provisions) {
        if (model()[id].effect.at_most != at_most || live[id.value].is_false()) {
            continue;
        }
        const z3::expr counts = all_of(context_, {live[id.value], bound_applies(id)});
        const z3::expr value = bound_value(id);
        const z3::expr stricter = at_most ? value < strictest.value : value > strictest.value;
        strictest.value = z3::ite(counts && (!strictest.any || stricter), value, strictest.value);
        strictest.any = any_of(context_, {strictest.any, counts});
    }
    return strictest;
}

z3::expr Law::some_edition(AuthorityId authority) const {
    std::vector<z3::expr> editions;
    for (const PackId id : model().authorities[authority.value].editions) {
        const Rulepack& pack = model()[id];
        Atom atom;
        atom.first_day = pack.from.days();
        atom.last_day = (pack.last_day ? *pack.last_day : *Date::parse("2200-12-31")).days();
        const FactId picked_by = pack.edition_picked.picked_by;
        const FactTerms* fact =
            picked_by.valid() ? variables_.find(model()[picked_by].name) : nullptr;
        editions.push_back(fact == nullptr ? between(variables_.work_date(), atom)
                                           : absent_or(*fact, between(*fact->number, atom)));
    }
    return any_of(context_, editions);
}

z3::expr Law::not_before_first_edition(AuthorityId authority) const {
    const Rulepack& first = model()[model().authorities[authority.value].editions.front()];
    const FactId picked_by = first.edition_picked.picked_by;
    if (!picked_by.valid()) {
        return variables_.work_date() >= first.from.days();
    }
    const FactTerms& fact = *variables_.find(model()[picked_by].name);
    return fact.absent || *fact.number >= first.from.days();
}

z3::expr Law::facts_hold(const Facts& facts) const {
    Findings findings;
    const std::vector<BoundFact> bound = bind_facts(model(), facts, findings);
    std::vector<z3::expr> all;
    for (std::size_t i = 0; i < bound.size(); ++i) {
        const FactTerms& fact = *variables_.find(model().facts[i].name);
        if (bound[i].state == FactState::does_not_apply) {
            all.push_back(fact.absent);
        }
        if (bound[i].state != FactState::given) {
            continue;
        }
        z3::expr holds = context_.bool_val(false);
        if (fact.number) {
            const bool date = fact.fact.type == FactType::date;
            holds = date ? *fact.number == bound[i].day
                         : *fact.number == real(context_, bound[i].number);
        } else {
            const bool yes_no = fact.fact.type == FactType::yes_no;
            holds = yes_no ? fact.values[bound[i].value].second : context_.bool_val(false);
            for (const auto& [value, is] : fact.values) {
                if (!yes_no && value == model().facts[i].values[bound[i].value]) {
                    holds = is;
                }
            }
        }
        all.push_back(absent_or(fact, holds));
    }
    return all_of(context_, all);
}

}  // namespace toprail
