// Entry point: Likeness::proved.
#include "proving/likeness.hpp"

#include <map>
#include <set>
#include <tuple>

namespace toprail {
namespace {

using LimitKey = std::tuple<RefKind, std::size_t, bool>;  // what is limited; at most

std::map<LimitKey, BoundTerms> bounds_of(const Law& law) {
    std::map<LimitKey, BoundTerms> bounds;
    const LiveTerms live = law.live();
    for (const LoweredLimit& limit : law.program().limits) {
        for (const bool at_most : {true, false}) {
            const LimitKey key{limit.limited.kind, limit.limited.index, at_most};
            bounds.emplace(key, law.bound(limit, at_most, live));
        }
    }
    return bounds;
}

const BoundTerms& bound_at(const std::map<LimitKey, BoundTerms>& bounds, const LimitKey& key,
                           const BoundTerms& none) {
    const auto found = bounds.find(key);
    return found == bounds.end() ? none : found->second;
}

// A bound by a quantity is told by its name: that this provision sets the strictest one.
z3::expr strictest_by_name(z3::context& context, const Law& law, ProvisionId id,
                           const std::map<LimitKey, BoundTerms>& bounds) {
    const Effect& effect = law.model()[id].effect;
    if (effect.kind != EffectKind::limit || effect.bound_figure) {
        return context.bool_val(false);
    }
    const LimitKey key{effect.limited.kind, effect.limited.index, effect.at_most};
    return all_of(context, {law.live(id), law.bound_applies(id),
                            law.bound_value(id) == bounds.at(key).value});
}

}  // namespace

Likeness::Likeness(const ProveOptions& options)
    : variables_(context_),
      asker_(context_, variables_, options.time_limit, options.stop) {}

bool Likeness::proved(const ShelfData& before, const ShelfData& after, AuthorityId authority) {
    std::vector<bool> named(before.model.authorities.size(), false);
    named[authority.value] = true;
    const Law a(context_, variables_, before, named);
    const Law b(context_, variables_, after, named);
    // Outside its editions an authority decides no case.
    asker_.suppose(a.some_edition(authority));
    const bool alike =
        same_provisions(a, b) && same_duties(a, b) && same_choices(a, b) && same_limits(a, b);
    asker_.release();
    return alike;
}

// Equal terms are one term to the solver, so what hangs on nothing changed costs no question.
bool Likeness::same(const z3::expr& a, const z3::expr& b) {
    return a.id() == b.id() || asker_.ask(a != b) == Reply::impossible;
}

bool Likeness::same_provisions(const Law& a, const Law& b) {
    for (std::size_t i = 0; i < a.model().provisions.size(); ++i) {
        const ProvisionId id(i);
        if (!same(a.stands(id), b.stands(id)) || !same(a.live(id), b.live(id))) {
            return false;
        }
    }
    return true;
}

bool Likeness::same_duties(const Law& a, const Law& b) {
    const LiveTerms live_a = a.live();
    const LiveTerms live_b = b.live();
    for (std::size_t i = 0; i < a.model().duties.size(); ++i) {
        const DutyTerms x = a.duty(DutyId(i), live_a);
        const DutyTerms y = b.duty(DutyId(i), live_b);
        // The outcome is the strictest that holds, so these three say which it is.
        const z3::expr asks_x = any_of(context_, {x.required, x.excepted});
        const z3::expr asks_y = any_of(context_, {y.required, y.excepted});
        if (!same(x.required, y.required) || !same(asks_x, asks_y) ||
            !same(any_of(context_, {asks_x, x.not_required}),
                  any_of(context_, {asks_y, y.not_required}))) {
            return false;
        }
    }
    return true;
}

bool Likeness::same_choices(const Law& a, const Law& b) {
    std::map<std::size_t, std::vector<z3::expr>> removed_a;
    std::map<std::size_t, std::vector<z3::expr>> removed_b;
    for (const auto& [law, removed] : {std::pair{&a, &removed_a}, std::pair{&b, &removed_b}}) {
        for (const LoweredChoice& choice : law->program().choices) {
            removed->emplace(choice.choice.value, law->removed(choice, law->live()));
        }
    }
    const auto at = [&](const std::map<std::size_t, std::vector<z3::expr>>& removed,
                        std::size_t choice, std::size_t value) {
        const auto found = removed.find(choice);
        return found == removed.end() ? context_.bool_val(false) : found->second[value];
    };
    for (std::size_t choice = 0; choice < a.model().facts.size(); ++choice) {
        if (!removed_a.contains(choice) && !removed_b.contains(choice)) {
            continue;  // nothing is removed from it
        }
        for (std::size_t v = 0; v < a.model().facts[choice].values.size(); ++v) {
            if (!same(at(removed_a, choice, v), at(removed_b, choice, v))) {
                return false;
            }
        }
    }
    return true;
}

bool Likeness::same_limits(const Law& a, const Law& b) {
    const std::map<LimitKey, BoundTerms> bounds_a = bounds_of(a);
    const std::map<LimitKey, BoundTerms> bounds_b = bounds_of(b);
    const BoundTerms none{context_.bool_val(false), context_.real_val(0)};
    std::set<LimitKey> keys;
    for (const auto* bounds : {&bounds_a, &bounds_b}) {
        for (const auto& [key, terms] : *bounds) {
            keys.insert(key);
        }
    }
    for (const LimitKey& key : keys) {
        const BoundTerms& x = bound_at(bounds_a, key, none);
        const BoundTerms& y = bound_at(bounds_b, key, none);
        const bool same_value =
            x.value.id() == y.value.id() ||
            asker_.ask(all_of(context_, {x.any, y.any, x.value != y.value})) == Reply::impossible;
        if (!same(x.any, y.any) || !same_value) {
            return false;
        }
    }
    for (std::size_t i = 0; i < a.model().provisions.size(); ++i) {
        const ProvisionId id(i);
        if (!same(strictest_by_name(context_, a, id, bounds_a),
                  strictest_by_name(context_, b, id, bounds_b))) {
            return false;
        }
    }
    return true;
}

}  // namespace toprail
