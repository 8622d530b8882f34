// Entry points: Bureau::alone, check_options.
#include "proving/bureau.hpp"

#include "deciding/bound.hpp"
#include "rulepack/resolve.hpp"

#include <stdexcept>

namespace toprail {

Bureau::Bureau(const ProveOptions& options)
    : options_(options),
      variables_(context_),
      asker_(context_, variables_, options.time_limit, options.stop) {}

Alone Bureau::alone(const Shelf& shelf, AuthorityId authority,
                    const std::vector<AuthorityId>& others) {
    const Model& model = shelf.data().model;
    std::vector<AuthorityId> all{authority};
    all.insert(all.end(), others.begin(), others.end());
    std::shared_ptr<const ShelfData> data = build_data(narrow(model, all));
    std::vector<bool> named(model.authorities.size(), false);
    std::vector<std::string> ids;
    for (const AuthorityId each : all) {
        named[each.value] = true;
        ids.push_back(model.authorities[each.value].id);
    }
    auto law = std::make_unique<Law>(context_, variables_, *data, named);
    const std::string id = ids.front();
    return {data, std::move(law), Bench(Shelf(data), shelf, std::move(ids)), authority, id};
}

std::unique_ptr<Law> Bureau::together(const Shelf& shelf) {
    return std::make_unique<Law>(context_, variables_, shelf.data(), std::vector<bool>{});
}

z3::expr Bureau::supposition(const Law& law) {
    std::vector<z3::expr> all{law.facts_hold(options_.given)};
    if (options_.on) {
        all.push_back(variables_.work_date() == options_.on->days());
    }
    return all_of(context_, all);
}

z3::expr Bureau::dates_fit(const Law& law) {
    const Model& model = law.model();
    std::vector<bool> says_who(model.authorities.size(), false);
    for (const Provision& provision : model.provisions) {
        const Effect& effect = provision.effect;
        const AuthorityId authority = model[provision.pack].authority;
        if (effect.kind == EffectKind::governs && effect.governs != authority) {
            says_who[authority.value] = true;
        }
    }
    std::vector<z3::expr> all;
    for (std::size_t a = 0; a < model.authorities.size(); ++a) {
        const z3::expr begun = law.not_before_first_edition(AuthorityId(a));
        all.push_back(says_who[a] ? begun : !law.node(law.program().governs[a]) || begun);
    }
    return all_of(context_, all);
}

std::vector<Date> Bureau::days(const Model& model, AuthorityId authority) const {
    return options_.on ? std::vector{*options_.on} : usual_days(model, authority);
}

void Bureau::progress(std::size_t done, std::size_t total, std::string_view about) const {
    if (options_.progress) {
        options_.progress(done, total, about);
    }
}

void check_options(const Model& model, const ProveOptions& options) {
    Findings findings;
    if (!options.duty.empty() && !model.duty_names.contains(options.duty)) {
        std::vector<std::string> known;
        for (const auto& [name, id] : model.duty_names) {
            known.push_back(name);
        }
        report_unknown(Kind::unknown_name, {options.duty, {}}, "duty", known, findings);
    }
    bind_facts(model, options.given, findings);
    if (findings.any_error()) {
        const std::vector<Finding> all = findings.take();
        throw std::runtime_error(all.front().message +
                                 (all.front().help.empty() ? "" : "; " + all.front().help));
    }
}

void enter_example(Proof& proof, const Simplified& simplified, const std::string& authority,
                   const Labels& labels) {
    if (simplified.seen == Seen::yes) {
        proof.settled = Settled::refuted;
        proof.example = tell_example(simplified.situation, authority, labels);
        return;
    }
    proof.settled = Settled::not_settled;
    proof.internal_error = simplified.seen == Seen::no && !simplified.rounded;
    proof.says +=
        proof.internal_error ? " (the solver has a case, but the engine decides it otherwise)"
        : simplified.rounded ? " (the solver has a case, but with a value that no figure tells)"
                             : " (the solver has a case, but the engine leaves it open)";
}

}  // namespace toprail
