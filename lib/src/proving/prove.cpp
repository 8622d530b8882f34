// Entry points: prove, proof_questions.
#include "proving/bureau.hpp"
#include "proving/weight.hpp"

#include <algorithm>
#include <map>
#include <set>

namespace toprail {
namespace {

constexpr std::string_view can_stand = "can-stand";
constexpr std::string_view decides = "decides";
constexpr std::string_view exception_applies = "exception-applies";
constexpr std::string_view displacement_matters = "displacement-matters";
constexpr std::string_view not_contested = "not-contested";
constexpr std::string_view some_value_left = "some-value-left";
constexpr std::string_view spoken_of = "spoken-of";
constexpr std::string_view somebody_governs = "somebody-governs";

// Whether a claim holds in every case, or whether there is some case of it.
enum class Claim { always, sometimes };

class Prover {
  public:
    Prover(const Shelf& shelf, const ProveOptions& options)
        : shelf_(shelf),
          model_(shelf.data().model),
          bureau_(options) {
        for (const ProofQuestion& question : proof_questions()) {
            report_.tallies[question.code];
        }
        for (std::size_t i = 0; i < model_.provisions.size(); ++i) {
            by_key_.emplace(model_.key(ProvisionId(i)), ProvisionId(i));
        }
    }

    Report run() {
        std::vector<std::string> parts;
        for (const auto& entry : model_.authority_names) {
            parts.push_back(entry.first);
        }
        parts.emplace_back("all authorities together");
        std::size_t done = 0;
        try {
            for (; done < parts.size(); ++done) {
                bureau_.progress(done, parts.size(), parts[done]);
                if (done + 1 < parts.size()) {
                    ask_of_authority(model_.authority_names.at(parts[done]));
                } else {
                    ask_together();
                }
            }
        } catch (const Stopped&) {
            report_.interrupted = true;
            report_.not_decided.assign(parts.begin() + static_cast<std::ptrdiff_t>(done),
                                       parts.end());
        }
        return std::move(report_);
    }

  private:
    // Counts the reply; gives back the proof to be filled in when it is worth showing.
    Proof* enter(std::string_view question, const std::string& authority,
                 std::vector<std::string> about, Claim claim, Reply reply) {
        Tally& tally = report_.tallies[question];
        ++tally.asked;
        const bool in_order =
            reply == (claim == Claim::always ? Reply::impossible : Reply::possible);
        if (in_order) {
            ++tally.in_order;
            return nullptr;
        }
        Proof proof;
        proof.question = question;
        proof.authority = authority;
        proof.about = std::move(about);
        if (reply == Reply::unsettled) {
            ++tally.not_settled;
            proof.says = "not settled within the time given";
        } else {
            ++tally.found;
            proof.settled = Settled::proved;
        }
        report_.proofs.push_back(std::move(proof));
        return reply == Reply::unsettled ? nullptr : &report_.proofs.back();
    }

    void exemplify(Proof& proof, const Simplified& simplified, const Labels& labels) {
        exemplify(proof, simplified, labels, proof.authority);
    }

    void exemplify(Proof& proof, const Simplified& simplified, const Labels& labels,
                   const std::string& authority) {
        enter_example(proof, simplified, authority, labels);
        if (proof.settled == Settled::not_settled) {
            Tally& tally = report_.tallies[proof.question];
            --tally.found;
            ++tally.not_settled;
        }
    }

    // What an authority adopted is at fault in its adopters as well: the last proof is then entered
    // with the earlier one that rests on the same written provisions.
    void tell_once(const std::vector<std::string>& standing) {
        const Proof& last = report_.proofs.back();
        if (!last.example) {
            return;
        }
        std::string origin = std::string(last.question) + " " + last.about.front();
        for (const std::string& key : standing) {
            const Provision& provision = model_[by_key_.at(key)];
            origin += " " + std::to_string(provision.written_in.value) + "/" + provision.id;
        }
        const auto [found, fresh] = origins_.emplace(origin, report_.proofs.size() - 1);
        if (!fresh) {
            report_.proofs[found->second].also.push_back(last.authority);
            report_.proofs.pop_back();
        }
    }

    void ask_of_authority(AuthorityId authority) {
        const Alone alone = bureau_.alone(shelf_, authority);
        const Law& law = *alone.law;
        bureau_.asker().suppose(law.some_edition(authority) && bureau_.supposition(law));
        if (!any_case()) {
            bureau_.asker().release();
            return;
        }
        for (std::size_t i = 0; i < law.model().provisions.size(); ++i) {
            const Provision& provision = law.model().provisions[i];
            // What was adopted is asked of the pack in which it is written.
            if (provision.pack == provision.written_in && wanted(provision)) {
                ask_of_provision(alone, ProvisionId(i));
            }
        }
        for (std::size_t d = 0; d < law.program().duties.size(); ++d) {
            ask_contested(alone, DutyId(d));
        }
        for (const LoweredChoice& choice : law.program().choices) {
            ask_empty(alone, choice);
        }
        bureau_.asker().release();
        ask_displacements(authority);
    }

    // Without any case to look at, as on a day before the first edition, every claim would hold of
    // nothing.
    bool any_case() {
        return bureau_.asker().ask(bureau_.context().bool_val(true)) != Reply::impossible;
    }

    [[nodiscard]] bool wanted(const Provision& provision) const {
        const std::string& duty = bureau_.options().duty;
        return duty.empty() ||
               (provision.effect.kind == EffectKind::duty && provision.effect.target.text == duty);
    }

    void ask_of_provision(const Alone& alone, ProvisionId id) {
        const Law& law = *alone.law;
        Asker& asker = bureau_.asker();
        const std::string key = law.model().key(id);
        const Reply lives = asker.ask(law.live(id));
        if (Proof* proof = enter(can_stand, alone.id, {key}, Claim::sometimes, lives)) {
            proof->says = asker.ask(law.stands(id)) == Reply::possible
                              ? key + " is displaced whenever it stands"
                              : key + " can never stand";
        }
        const EffectKind kind = law.model()[id].effect.kind;
        if (lives == Reply::impossible || kind == EffectKind::remark ||
            kind == EffectKind::governs) {
            return;
        }
        const Reply bears = asker.ask(weight_of(bureau_.context(), law, {id, {}}));
        const std::string_view question =
            kind == EffectKind::exception ? exception_applies : decides;
        std::vector<std::string> about{key};
        if (Proof* proof = enter(question, alone.id, about, Claim::sometimes, bears)) {
            proof->says = key + (kind == EffectKind::exception ? " never applies: taking it out"
                                                               : " never decides: taking it out");
            proof->says += " changes no answer of " + alone.id;
            const std::string cover = covered_by(law, id);
            if (!cover.empty()) {
                proof->says += "; whenever it stands, so does " + cover;
                proof->about.push_back(cover);
            }
        }
    }

    // Another provision on the same thing that is live whenever this one is.
    std::string covered_by(const Law& law, ProvisionId id) {
        const Effect& effect = law.model()[id].effect;
        for (std::size_t i = 0; i < law.model().provisions.size(); ++i) {
            const Effect& other = law.model().provisions[i].effect;
            if (ProvisionId(i) != id && other.kind == effect.kind &&
                other.target.text == effect.target.text && effect.kind != EffectKind::exception &&
                bureau_.asker().ask(law.live(id) && !law.live(ProvisionId(i))) ==
                    Reply::impossible) {
                return law.model().key(ProvisionId(i));
            }
        }
        return {};
    }

    void ask_contested(const Alone& alone, DutyId id) {
        const Law& law = *alone.law;
        const std::string& duty = law.model()[id].name;
        if (law.program().duties[id.value].provisions.empty() ||
            (!bureau_.options().duty.empty() && bureau_.options().duty != duty)) {
            return;
        }
        FilledCase found;
        const Reply reply =
            bureau_.asker().ask(law.node(law.program().duties[id.value].contested), found);
        Proof* proof = enter(not_contested, alone.id, {duty}, Claim::always, reply);
        if (proof == nullptr) {
            return;
        }
        proof->says = alone.id + " both requires and frees from " + duty;
        const auto shows = [&](const Situation& situation, bool thorough) {
            const auto decision = alone.bench.decide(situation, thorough);
            const DutyDecision* decided = decision ? decision->duty(duty) : nullptr;
            if (decided == nullptr || decided->contested == Perhaps::no) {
                return Seen::no;
            }
            const bool sure =
                decided->contested == Perhaps::yes && decided->outcome != Outcome::undetermined;
            return sure ? Seen::yes : Seen::open;
        };
        const Simplified simplified = simplify(found, bureau_.days(model_, alone.authority), shows);
        Labels labels;
        labels.name = duty + " is contested";
        if (simplified.seen == Seen::yes) {
            const Decision decision = *alone.bench.decide(simplified.situation, true);
            labels.answers.emplace_back(duty, word(decision.duty(duty)->outcome));
            for (const Step& step : decision.trail) {
                if (step.status == Status::stands && step.effect.starts_with(duty + ": ")) {
                    labels.stands.push_back(step.provision);
                }
            }
            proof->about.insert(proof->about.end(), labels.stands.begin(), labels.stands.end());
        }
        exemplify(*proof, simplified, labels);
        tell_once(labels.stands);
    }

    void ask_empty(const Alone& alone, const LoweredChoice& choice) {
        const Law& law = *alone.law;
        if (choice.provisions.empty() || !bureau_.options().duty.empty()) {
            return;
        }
        FilledCase found;
        const Reply reply = bureau_.asker().ask(law.node(choice.empty), found);
        const std::string& name = law.model()[choice.choice].name;
        Proof* proof = enter(some_value_left, alone.id, {name}, Claim::always, reply);
        if (proof != nullptr) {
            proof->says = alone.id + " leaves no admissible value of " + name;
            show_empty(*proof, alone.bench, found, bureau_.days(model_, alone.authority), name);
        }
    }

    void show_empty(Proof& proof, const Bench& bench, const FilledCase& found,
                    const std::vector<Date>& days, const std::string& name) {
        const auto shows = [&](const Situation& situation, bool thorough) {
            const auto decision = bench.decide(situation, thorough);
            const ChoiceDecision* decided = decision ? decision->choice(name) : nullptr;
            return decided == nullptr || decided->empty == Perhaps::no ? Seen::no
                   : decided->empty == Perhaps::yes                    ? Seen::yes
                                                                       : Seen::open;
        };
        const Simplified simplified = simplify(found, days, shows);
        Labels labels;
        labels.name = "no value of " + name + " is left";
        labels.answers.emplace_back(name, "none");
        if (simplified.seen == Seen::yes) {
            std::set<std::string> keys;
            const Decision decision = *bench.decide(simplified.situation, true);
            for (const auto& [value, by] : decision.choice(name)->barred) {
                keys.insert(by.begin(), by.end());
            }
            labels.stands.assign(keys.begin(), keys.end());
            proof.about.insert(proof.about.end(), keys.begin(), keys.end());
        }
        exemplify(proof, simplified, labels);
        tell_once(labels.stands);
    }

    // Displacements reach across authorities: all that a pack displaces are named with it.
    void ask_displacements(AuthorityId authority) {
        std::set<AuthorityId> reached;
        for (const Provision& provision : model_.provisions) {
            if (model_[provision.pack].authority == authority &&
                provision.pack == provision.written_in && wanted(provision)) {
                for (const ProvisionId other : provision.displaced) {
                    reached.insert(model_[model_[other].pack].authority);
                }
            }
        }
        if (reached.empty()) {
            return;
        }
        reached.erase(authority);
        const Alone alone = bureau_.alone(shelf_, authority, {reached.begin(), reached.end()});
        const Law& law = *alone.law;
        bureau_.asker().suppose(bureau_.supposition(law));
        for (std::size_t i = 0; i < law.model().provisions.size(); ++i) {
            const Provision& provision = law.model().provisions[i];
            if (law.model()[provision.pack].authority != authority ||
                provision.pack != provision.written_in || !wanted(provision) ||
                provision.effect.kind == EffectKind::governs) {
                continue;
            }
            for (const ProvisionId other : provision.displaced) {
                const EffectKind kind = law.model()[other].effect.kind;
                if (kind == EffectKind::remark || kind == EffectKind::governs) {
                    continue;
                }
                const Reply reply =
                    bureau_.asker().ask(weight_of(bureau_.context(), law, {ProvisionId(i), other}));
                const std::string over = law.model().key(ProvisionId(i));
                const std::string under = law.model().key(other);
                if (Proof* proof = enter(displacement_matters, alone.id, {over, under},
                                         Claim::sometimes, reply)) {
                    proof->says =
                        "that " + over + " displaces " + under + " never changes an answer";
                }
            }
        }
        bureau_.asker().release();
    }

    // All that hangs on who governs.
    void ask_together() {
        const std::unique_ptr<Law> law = bureau_.together(shelf_);
        const Bench bench(shelf_, shelf_, {});
        std::vector<z3::expr> nobody;
        std::vector<z3::expr> begun;
        for (std::size_t a = 0; a < model_.authorities.size(); ++a) {
            const z3::expr& governs = law->node(law->program().governs[a]);
            nobody.push_back(!governs);
            begun.push_back(law->some_edition(AuthorityId(a)));
        }
        // Before the first of all editions nobody can govern, which is no news.
        bureau_.asker().suppose(bureau_.supposition(*law) && bureau_.dates_fit(*law) &&
                                any_of(bureau_.context(), begun));
        if (any_case()) {
            ask_somebody_governs(bench, all_of(bureau_.context(), nobody));
            ask_governing_provisions(*law);
            ask_spoken_of(*law, bench);
        }
        bureau_.asker().release();
    }

    void ask_governing_provisions(const Law& law) {
        for (std::size_t i = 0; i < model_.provisions.size(); ++i) {
            const Provision& provision = model_.provisions[i];
            if (provision.effect.kind != EffectKind::governs || !wanted(provision)) {
                continue;
            }
            const std::string key = model_.key(ProvisionId(i));
            const std::string& authority = model_[provision.pack].id;
            const Reply reply =
                bureau_.asker().ask(weight_of(bureau_.context(), law, {ProvisionId(i), {}}));
            if (Proof* proof = enter(decides, authority, {key}, Claim::sometimes, reply)) {
                proof->says = key + " never decides: without it " + provision.effect.target.text +
                              " governs the same cases";
            }
        }
    }

    std::vector<Date> days_for_all() const {
        std::vector<Date> days;
        for (std::size_t a = 0; a < model_.authorities.size(); ++a) {
            const std::vector<Date> more = bureau_.days(model_, AuthorityId(a));
            days.insert(days.end(), more.begin(), more.end());
        }
        std::sort(days.rbegin(), days.rend());
        days.erase(std::unique(days.begin(), days.end()), days.end());
        // Three are enough to find one that suits.
        days.erase(days.begin() +
                       static_cast<std::ptrdiff_t>(std::min<std::size_t>(days.size(), 3)),
                   days.end());
        return days;
    }

    void ask_somebody_governs(const Bench& bench, const z3::expr& nobody) {
        FilledCase found;
        const Reply reply = bureau_.asker().ask(nobody, found);
        Proof* proof = enter(somebody_governs, {}, {}, Claim::always, reply);
        if (proof == nullptr) {
            return;
        }
        proof->says = "no authority governs some cases";
        const auto shows = [&](const Situation& situation, bool thorough) {
            const auto decision = bench.decide(situation, thorough);
            if (!decision) {
                return Seen::no;
            }
            const auto& governing = decision->governing;
            const bool surely =
                std::any_of(governing.begin(), governing.end(),
                            [](const Governing& g) { return g.governs == Perhaps::yes; });
            return governing.empty() ? Seen::yes : surely ? Seen::no : Seen::open;
        };
        Labels labels;
        labels.name = "nobody governs";
        exemplify(*proof, simplify(found, days_for_all(), shows), labels, {});
    }

    void ask_spoken_of(const Law& law, const Bench& bench) {
        const std::string& wanted_duty = bureau_.options().duty;
        if (model_.duties.empty()) {
            return;
        }
        // The vocabulary lists its weightiest duty first.
        const DutyId id =
            wanted_duty.empty() ? DutyId(0) : model_.duty_names.find(wanted_duty)->second;
        const std::string& duty = model_[id].name;
        const LoweredDuty& lowered = law.program().duties[id.value];
        const z3::expr silent = !law.node(lowered.required) && !law.node(lowered.excepted) &&
                                !law.node(lowered.not_required);
        for (const auto& entry : model_.authority_names) {
            const std::string& name = entry.first;
            const AuthorityId authority = entry.second;
            const z3::expr& governs = law.node(law.program().governs[authority.value]);
            const bool speaks = std::any_of(
                lowered.provisions.begin(), lowered.provisions.end(),
                [&](ProvisionId p) { return model_[model_[p].pack].authority == authority; });
            if (!speaks || governs.is_false()) {
                continue;
            }
            FilledCase found;
            const Reply reply = bureau_.asker().ask(governs && silent, found);
            Proof* proof = enter(spoken_of, name, {duty}, Claim::always, reply);
            if (proof == nullptr) {
                continue;
            }
            proof->says = "where " + name + " governs, no governing authority speaks of " + duty +
                          " in some cases";
            const auto shows = [&](const Situation& situation, bool thorough) {
                const auto decision = bench.decide(situation, thorough);
                if (!decision) {
                    return Seen::no;
                }
                const DutyDecision* decided = decision->duty(duty);
                const auto& governing = decision->governing;
                const auto found_name =
                    std::find_if(governing.begin(), governing.end(),
                                 [&](const Governing& g) { return g.authority == name; });
                if (found_name == governing.end()) {
                    return Seen::no;
                }
                const Outcome outcome =
                    decided == nullptr ? Outcome::not_addressed : decided->outcome;
                const bool open =
                    outcome == Outcome::undetermined || found_name->governs == Perhaps::possibly;
                return open ? Seen::open : outcome == Outcome::not_addressed ? Seen::yes : Seen::no;
            };
            Labels labels;
            labels.name = name + " governs and nobody speaks of " + duty;
            const Simplified simplified = simplify(found, days_for_all(), shows);
            exemplify(*proof, simplified, labels, {});
        }
    }

    const Shelf& shelf_;
    const Model& model_;
    Bureau bureau_;
    Report report_;
    std::map<std::string, ProvisionId> by_key_;
    std::map<std::string, std::size_t> origins_;  // by question and written provisions: the proof
};

}  // namespace

const std::vector<ProofQuestion>& proof_questions() {
    static const std::vector<ProofQuestion> questions{
        {can_stand, "every provision can stand"},
        {decides, "every provision changes some answer"},
        {exception_applies, "every exception applies in some case"},
        {displacement_matters, "every displacement changes some answer"},
        {not_contested, "no duty is both required and not required by one authority"},
        {some_value_left, "every choice keeps an admissible value"},
        {somebody_governs, "some authority governs every case"},
        {spoken_of,
         "wherever an authority that speaks of the weightiest duty governs, some answer is given"},
    };
    return questions;
}

Report prove(const Shelf& shelf, const ProveOptions& options) {
    check_options(shelf.data().model, options);
    return Prover(shelf, options).run();
}

}  // namespace toprail
