// Entry point: Variables::declare.
#include "proving/variables.hpp"

#include <set>
#include <stdexcept>
#include <unordered_set>

namespace toprail {
namespace {

z3::expr day(z3::context& context, std::string_view text) {
    return context.int_val(Date::parse(text)->days());
}

// An irrational value is rounded: whoever uses it must hold the outcome against the engine anyway.
Number number_of(const z3::expr& value) {
    if (value.is_algebraic()) {
        std::string text = value.get_decimal_string(12);
        if (!text.empty() && text.back() == '?') {
            text.pop_back();
        }
        return parse_number(text).value_or(Number(0));
    }
    return parse_fraction(Z3_get_numeral_string(value.ctx(), value)).value_or(Number(0));
}

std::int32_t whole_days(const Number& number) {
    return static_cast<std::int32_t>(number.floor().integer().value_or(0));
}

bool is_number(FactType type) {
    return type == FactType::measured || type == FactType::count;
}

}  // namespace

z3::expr real(z3::context& context, const Number& number) {
    return context.real_val(number.str().c_str());
}

z3::expr any_of(z3::context& context, const std::vector<z3::expr>& terms) {
    z3::expr_vector kept(context);
    for (const z3::expr& term : terms) {
        if (term.is_true()) {
            return term;
        }
        if (!term.is_false()) {
            kept.push_back(term);
        }
    }
    return kept.empty() ? context.bool_val(false) : kept.size() == 1 ? kept[0] : z3::mk_or(kept);
}

z3::expr all_of(z3::context& context, const std::vector<z3::expr>& terms) {
    z3::expr_vector kept(context);
    for (const z3::expr& term : terms) {
        if (term.is_false()) {
            return term;
        }
        if (!term.is_true()) {
            kept.push_back(term);
        }
    }
    return kept.empty() ? context.bool_val(true) : kept.size() == 1 ? kept[0] : z3::mk_and(kept);
}

Variables::Variables(z3::context& context)
    : context_(context),
      work_date_(context.int_const("work-date")) {
    work_date_group_ = add_group({});
    own(work_date_, work_date_group_);
    groups_[work_date_group_].constraints = {work_date_ >= day(context, "1800-01-01"),
                                             work_date_ <= day(context, "2200-12-31")};
}

std::size_t Variables::add_group(std::string fact) {
    groups_.push_back({std::move(fact), {}});
    return groups_.size() - 1;
}

void Variables::own(const z3::expr& constant, std::size_t group) {
    group_of_.emplace(constant.id(), group);
}

const FactTerms& Variables::declare(const Fact& fact) {
    const auto found = facts_.find(fact.name);
    if (found == facts_.end()) {
        const std::size_t group = add_group(fact.name);
        fact_groups_.emplace(fact.name, group);
        return facts_.emplace(fact.name, make(fact, group)).first->second;
    }
    narrow(found->second, fact, fact_groups_.at(fact.name));
    return found->second;
}

const FactTerms* Variables::find(const std::string& name) const {
    const auto found = facts_.find(name);
    return found == facts_.end() ? nullptr : &found->second;
}

FactTerms Variables::make(const Fact& fact, std::size_t group) {
    FactTerms terms{fact, context_.bool_val(false), {}, std::nullopt};
    std::vector<z3::expr>& constraints = groups_[group].constraints;
    if (fact.may_not_apply) {
        terms.absent = context_.bool_const((fact.name + " does not apply").c_str());
        own(terms.absent, group);
    }
    if (fact.type == FactType::yes_no) {
        const z3::expr yes = context_.bool_const((fact.name + " is yes").c_str());
        own(yes, group);
        terms.values.emplace_back("no", !yes);
        terms.values.emplace_back("yes", yes);
    } else if (fact.type == FactType::choice) {
        std::vector<z3::expr> all;
        for (const std::string& value : fact.values) {
            const z3::expr is = context_.bool_const((fact.name + " is " + value).c_str());
            own(is, group);
            for (const z3::expr& other : all) {
                constraints.push_back(!is || !other);
            }
            all.push_back(is);
            terms.values.emplace_back(value, is);
        }
        constraints.push_back(any_of(context_, all));
    } else {
        terms.number = fact.type == FactType::measured ? context_.real_const(fact.name.c_str())
                                                       : context_.int_const(fact.name.c_str());
        own(*terms.number, group);
        bound(terms, fact, group);
    }
    return terms;
}

void Variables::bound(const FactTerms& terms, const Fact& fact, std::size_t group) {
    std::vector<z3::expr>& constraints = groups_[group].constraints;
    const z3::expr& number = *terms.number;
    if (fact.type == FactType::date) {
        constraints.push_back(number >= day(context_, "1800-01-01"));
        constraints.push_back(number <= day(context_, "2200-12-31"));
        return;
    }
    const z3::expr as_real = fact.type == FactType::count
                                 ? z3::expr(context_, Z3_mk_int2real(context_, number))
                                 : number;
    if (fact.from) {
        constraints.push_back(as_real >= real(context_, fact.from->base));
    }
    if (fact.to) {
        constraints.push_back(as_real <= real(context_, fact.to->base));
    }
}

void Variables::narrow(FactTerms& terms, const Fact& fact, std::size_t group) {
    if (terms.fact.type != fact.type || terms.fact.dimension != fact.dimension) {
        throw std::runtime_error("the fact " + fact.name +
                                 " is of one kind in one vocabulary and of another in the other");
    }
    std::vector<z3::expr>& constraints = groups_[group].constraints;
    if (terms.fact.may_not_apply && !fact.may_not_apply) {
        constraints.push_back(!terms.absent);
        terms.fact.may_not_apply = false;
    }
    if (fact.type == FactType::choice && fact.values != terms.fact.values) {
        const std::set<std::string> known(fact.values.begin(), fact.values.end());
        for (const auto& [value, is] : terms.values) {
            if (!known.contains(value)) {
                constraints.push_back(!is);
            }
        }
    } else if (terms.number && (fact.from != terms.fact.from || fact.to != terms.fact.to)) {
        bound(terms, fact, group);
    }
}

z3::expr Variables::root(const z3::expr& of) {
    const auto found = roots_.find(of.id());
    if (found != roots_.end()) {
        return found->second.second;
    }
    z3::expr root = context_.real_const(("root " + std::to_string(roots_.size())).c_str());
    const std::size_t group = add_group({});
    own(root, group);
    groups_[group].constraints = {z3::implies(of >= 0, root >= 0 && root * root == of)};
    roots_.emplace(of.id(), std::make_pair(of, root));
    return root;
}

std::vector<std::size_t> Variables::groups_in(const z3::expr& term) const {
    std::set<std::size_t> groups;
    std::unordered_set<unsigned> seen;
    std::vector<z3::expr> stack{term};
    while (!stack.empty()) {
        const z3::expr next = stack.back();
        stack.pop_back();
        if (!next.is_app() || !seen.insert(next.id()).second) {
            continue;
        }
        for (unsigned i = 0; i < next.num_args(); ++i) {
            stack.push_back(next.arg(i));
        }
        const auto owned = next.num_args() == 0 ? group_of_.find(next.id()) : group_of_.end();
        if (owned != group_of_.end() && groups.insert(owned->second).second) {
            const std::vector<z3::expr>& more = groups_[owned->second].constraints;
            stack.insert(stack.end(), more.begin(), more.end());
        }
    }
    return {groups.begin(), groups.end()};
}

std::vector<const FactTerms*> Variables::facts_of(const std::vector<std::size_t>& groups) const {
    std::set<std::string> names;
    for (const std::size_t group : groups) {
        if (!groups_[group].fact.empty()) {
            names.insert(groups_[group].fact);
        }
    }
    std::vector<const FactTerms*> facts;
    for (const std::string& name : names) {
        facts.push_back(&facts_.at(name));
    }
    return facts;
}

Filled Variables::read_fact(const z3::model& model, const FactTerms& terms) const {
    Filled filled;
    filled.fact = &terms.fact;
    if (model.eval(terms.absent, true).is_true()) {
        filled.state = FactState::does_not_apply;
        filled.text = "does not apply";
        return filled;
    }
    for (const auto& [value, is] : terms.values) {
        if (model.eval(is, true).is_true()) {
            filled.text = value;
        }
    }
    if (terms.number) {
        const z3::expr value = model.eval(*terms.number, true);
        filled.number = number_of(value);
        filled.rounded = value.is_algebraic();
    }
    if (terms.fact.type == FactType::date) {
        filled.text = Date::from_days(whole_days(filled.number)).text();
    } else if (is_number(terms.fact.type)) {
        filled.text.clear();
    }
    return filled;
}

FilledCase Variables::read(const z3::model& model, const std::vector<std::size_t>& groups) const {
    FilledCase filled;
    for (const FactTerms* terms : facts_of(groups)) {
        filled.facts.push_back(read_fact(model, *terms));
    }
    for (const std::size_t group : groups) {
        if (group == work_date_group_) {
            const Number value = number_of(model.eval(work_date_, true));
            filled.on = Date::from_days(whole_days(value));
        }
    }
    return filled;
}

}  // namespace toprail
