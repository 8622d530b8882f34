// Entry point: weight_of.
#include "proving/weight.hpp"

#include <algorithm>
#include <set>

namespace toprail {
namespace {

class Weight {
  public:
    Weight(z3::context& context, const Law& law, const Removal& removal)
        : context_(context),
          law_(law),
          with_(law.live()),
          without_(law.live_without(removal)) {
        for (std::size_t i = 0; i < with_.size(); ++i) {
            if (with_[i].id() != without_[i].id()) {
                add_effect(ProvisionId(i));
            }
        }
    }

    z3::expr run() {
        for (const DutyId duty : duties_) {
            const DutyTerms a = law_.duty(duty, with_);
            const DutyTerms b = law_.duty(duty, without_);
            const z3::expr asks_a = a.required || a.excepted;
            const z3::expr asks_b = b.required || b.excepted;
            differ(a.required, b.required);
            differ(asks_a, asks_b);
            differ(asks_a || a.not_required, asks_b || b.not_required);
        }
        for (const LoweredChoice& choice : law_.program().choices) {
            if (choices_.contains(choice.choice)) {
                const std::vector<z3::expr> a = law_.removed(choice, with_);
                const std::vector<z3::expr> b = law_.removed(choice, without_);
                for (std::size_t v = 0; v < a.size(); ++v) {
                    differ(a[v], b[v]);
                }
            }
        }
        for (const LoweredLimit& limit : law_.program().limits) {
            const bool touched =
                std::any_of(limit.provisions.begin(), limit.provisions.end(),
                            [this](ProvisionId id) { return bounds_.contains(id); });
            if (touched) {
                add_limit(limit, true);
                add_limit(limit, false);
            }
        }
        for (const AuthorityId authority : governed_) {
            differ(governs(authority, with_), governs(authority, without_));
        }
        return any_of(context_, differences_);
    }

  private:
    void add_effect(ProvisionId id) {
        const Effect& effect = law_.model()[id].effect;
        switch (effect.kind) {
        case EffectKind::duty:
            duties_.insert(effect.duty);
            break;
        case EffectKind::exception:
            for (const ProvisionId relaxed : effect.relaxed) {
                duties_.insert(law_.model()[relaxed].effect.duty);
            }
            break;
        case EffectKind::choice:
            choices_.insert(effect.choice);
            break;
        case EffectKind::limit:
            bounds_.insert(id);
            break;
        case EffectKind::governs:
            governed_.insert(effect.governs);
            break;
        case EffectKind::remark:
        case EffectKind::none:
            break;
        }
    }

    void differ(const z3::expr& a, const z3::expr& b) {
        if (a.id() != b.id()) {
            differences_.push_back(a != b);
        }
    }

    void add_limit(const LoweredLimit& limit, bool at_most) {
        const BoundTerms a = law_.bound(limit, at_most, with_);
        const BoundTerms b = law_.bound(limit, at_most, without_);
        differ(a.any, b.any);
        if (a.value.id() != b.value.id()) {
            differences_.push_back(a.any && a.value != b.value);
        }
    }

    z3::expr governs(AuthorityId authority, const LiveTerms& live) const {
        std::vector<z3::expr> by;
        for (std::size_t i = 0; i < live.size(); ++i) {
            const Effect& effect = law_.model().provisions[i].effect;
            if (effect.kind == EffectKind::governs && effect.governs == authority) {
                by.push_back(live[i]);
            }
        }
        return any_of(context_, by);
    }

    z3::context& context_;
    const Law& law_;
    LiveTerms with_;
    LiveTerms without_;
    std::set<DutyId> duties_;
    std::set<FactId> choices_;
    std::set<ProvisionId> bounds_;
    std::set<AuthorityId> governed_;
    std::vector<z3::expr> differences_;
};

}  // namespace

z3::expr weight_of(z3::context& context, const Law& law, const Removal& removal) {
    return Weight(context, law, removal).run();
}

}  // namespace toprail
