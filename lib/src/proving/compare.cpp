// Entry points: compare, at_least_as_strict.
#include "proving/contrast.hpp"

#include <algorithm>

namespace toprail {
namespace {

bool wanted(const ProveOptions& options, const Subject& subject) {
    return options.duty.empty() ||
           (subject.kind == Subject::Kind::duty && subject.name == options.duty);
}

std::set<Subject> subjects_of_both(const Law& a, const Law& b) {
    std::set<Subject> subjects = subjects_of(a);
    subjects.merge(subjects_of(b));
    return subjects;
}

// The limits on quantities of that name, one for each pack that has such a quantity.
std::vector<const LoweredLimit*> limits_on(const Law& law, const std::string& name) {
    std::vector<const LoweredLimit*> found;
    for (const LoweredLimit& limit : law.program().limits) {
        if (law.model().name(limit.limited) == name) {
            found.push_back(&limit);
        }
    }
    return found;
}

// A decision tells quantities by name, so that limits on two of one name are no answer that could
// be compared.
std::set<std::string> limited_under_one_name(const Law& a, const Law& b) {
    std::set<std::string> names;
    for (const Law* law : {&a, &b}) {
        for (const LoweredLimit& limit : law->program().limits) {
            const std::string& name = law->model().name(limit.limited);
            if (limits_on(*law, name).size() > 1) {
                names.insert(name);
            }
        }
    }
    return names;
}

// Equal terms are one term to the solver, so what was not edited is the same.
bool limited_by_the_same(const Law& a, const Law& b, const std::string& name) {
    const std::vector<const LoweredLimit*> x = limits_on(a, name);
    const std::vector<const LoweredLimit*> y = limits_on(b, name);
    bool same = x.size() == y.size();
    for (std::size_t i = 0; same && i < x.size(); ++i) {
        for (const bool at_most : {true, false}) {
            const BoundTerms one = a.bound(*x[i], at_most, a.live());
            const BoundTerms other = b.bound(*y[i], at_most, b.live());
            same = same && one.any.id() == other.any.id() && one.value.id() == other.value.id();
        }
    }
    return same;
}

// Tells limits that are not compared, rather than to call them equal.
void tell_not_compared(const Law& before, const Law& after, const std::string& authority,
                       const std::set<std::string>& names, Comparison& comparison) {
    for (const std::string& name : names) {
        if (!limited_by_the_same(before, after, name)) {
            Proof proof;
            proof.question = "difference";
            proof.authority = authority;
            proof.about = {name};
            proof.says = "limits on " + name +
                         ": several packs have a quantity of that name, so they are not compared";
            comparison.rest.push_back(std::move(proof));
        }
    }
}

bool compared(const Subject& subject, const std::set<std::string>& not_compared) {
    return subject.kind != Subject::Kind::limit || !not_compared.contains(subject.name);
}

void conclude(Comparison& comparison, bool all_settled) {
    const bool refuted = !comparison.regions.empty() ||
                         std::any_of(comparison.rest.begin(), comparison.rest.end(),
                                     [](const Proof& p) { return p.settled == Settled::refuted; });
    const bool sure = all_settled && comparison.rest.empty() && !comparison.interrupted;
    comparison.settled = refuted ? Settled::refuted : sure ? Settled::proved : Settled::not_settled;
}

// Authorities that adopt nothing come first: what others took over from them is then told once.
std::vector<std::string> in_order(const Model& model) {
    std::vector<std::string> names;
    for (const bool adopters : {false, true}) {
        for (const auto& [name, id] : model.authority_names) {
            const auto& editions = model.authorities[id.value].editions;
            const bool adopts = std::any_of(editions.begin(), editions.end(),
                                            [&](PackId p) { return !model[p].adopts.empty(); });
            if (adopts == adopters) {
                names.push_back(name);
            }
        }
    }
    return names;
}

std::string editions_text(const Model& model, AuthorityId authority) {
    std::string text;
    for (const PackId id : model.authorities[authority.value].editions) {
        const Rulepack& pack = model[id];
        text += (text.empty() ? "" : "; ") + ("from " + pack.from.text());
        text += pack.last_day ? " to " + pack.last_day->text() : "";
        text += pack.verified_through ? ", verified through " + pack.verified_through->text() : "";
    }
    return text;
}

// No answer hangs on a mark, but what is believed of it does.
std::vector<std::string> raised_marks(const Model& before, const Model& after) {
    std::map<std::string, Mark> marks;
    for (std::size_t i = 0; i < before.provisions.size(); ++i) {
        marks.emplace(before.key(ProvisionId(i)), before.provisions[i].mark);
    }
    std::vector<std::string> raised;
    for (std::size_t i = 0; i < after.provisions.size(); ++i) {
        const Provision& provision = after.provisions[i];
        const auto was = marks.find(after.key(ProvisionId(i)));
        const bool own = provision.pack == provision.written_in;
        if (own && was != marks.end() && provision.mark < was->second) {
            raised.push_back(was->first + ": " + std::string(word(was->second)) + " -> " +
                             std::string(word(provision.mark)));
        }
    }
    return raised;
}

class Comparing {
  public:
    Comparing(const Shelf& before, const Shelf& after, const ProveOptions& options)
        : before_(before),
          after_(after),
          bureau_(options),
          contrast_(bureau_, false, comparison_) {}

    Comparison run() {
        const Model& old_model = before_.data().model;
        const Model& new_model = after_.data().model;
        std::vector<std::string> both;
        for (const std::string& name : in_order(new_model)) {
            (old_model.authority_names.contains(name) ? both : comparison_.only_after)
                .push_back(name);
        }
        for (const auto& [name, id] : old_model.authority_names) {
            if (!new_model.authority_names.contains(name)) {
                comparison_.only_before.push_back(name);
            }
        }
        std::vector<std::string> parts = both;
        parts.emplace_back("who governs");
        std::size_t done = 0;
        try {
            for (; done < both.size(); ++done) {
                bureau_.progress(done, parts.size(), parts[done]);
                hold_authority(parts[done]);
            }
            bureau_.progress(done, parts.size(), parts[done]);
            if (bureau_.options().duty.empty()) {
                hold_governing();
            }
        } catch (const Stopped&) {
            comparison_.interrupted = true;
            comparison_.not_decided.assign(parts.begin() + static_cast<std::ptrdiff_t>(done),
                                           parts.end());
        }
        comparison_.raised_marks = raised_marks(old_model, new_model);
        conclude(comparison_, contrast_.all_settled());
        const bool same_authorities =
            comparison_.only_before.empty() && comparison_.only_after.empty();
        if (!same_authorities && comparison_.settled == Settled::proved) {
            comparison_.settled = Settled::refuted;
        }
        return std::move(comparison_);
    }

  private:
    void hold_authority(const std::string& name) {
        const AuthorityId old_id = authority_of(before_.data().model, name);
        const AuthorityId new_id = authority_of(after_.data().model, name);
        const Alone before = bureau_.alone(before_, old_id);
        const Alone after = bureau_.alone(after_, new_id);
        const std::string old_editions = editions_text(before_.data().model, old_id);
        const std::string new_editions = editions_text(after_.data().model, new_id);
        // On one day the edition that counts then is what is compared.
        if (old_editions != new_editions && !bureau_.options().on) {
            Proof proof;
            proof.question = "editions";
            proof.authority = name;
            proof.settled = Settled::refuted;
            proof.says = "editions: " + old_editions + " -> " + new_editions;
            comparison_.rest.push_back(std::move(proof));
        }
        bureau_.asker().suppose(before.law->some_edition(old_id) &&
                                after.law->some_edition(new_id) &&
                                both_hold(bureau_, *before.law, *after.law));
        const std::set<std::string> apart = limited_under_one_name(*before.law, *after.law);
        if (bureau_.options().duty.empty()) {
            tell_not_compared(*before.law, *after.law, name, apart, comparison_);
        }
        for (const Subject& subject : subjects_of_both(*before.law, *after.law)) {
            if (wanted(bureau_.options(), subject) && compared(subject, apart)) {
                contrast_.hold({before.law.get(), &before.bench}, {after.law.get(), &after.bench},
                               subject, name, bureau_.days(after_.data().model, new_id));
            }
        }
        bureau_.asker().release();
    }

    void hold_governing() {
        const std::unique_ptr<Law> before = bureau_.together(before_);
        const std::unique_ptr<Law> after = bureau_.together(after_);
        if (!before->program().some_pack_governs && !after->program().some_pack_governs) {
            return;  // every authority governs every case
        }
        const Bench old_bench(before_, before_, {});
        const Bench new_bench(after_, after_, {});
        bureau_.asker().suppose(both_hold(bureau_, *before, *after) && bureau_.dates_fit(*before) &&
                                bureau_.dates_fit(*after));
        std::set<std::string> names;
        for (const Law* law : {before.get(), after.get()}) {
            for (const auto& [name, id] : law->model().authority_names) {
                names.insert(name);
            }
        }
        for (const std::string& name : names) {
            Subject subject;
            subject.kind = Subject::Kind::governs;
            subject.name = name;
            contrast_.hold({before.get(), &old_bench}, {after.get(), &new_bench}, subject, name,
                           bureau_.days(after->model(), AuthorityId(0)));
        }
        bureau_.asker().release();
    }

    const Shelf& before_;
    const Shelf& after_;
    Bureau bureau_;
    Comparison comparison_;
    Contrast contrast_;
};

}  // namespace

Comparison compare(const Shelf& before, const Shelf& after, const ProveOptions& options) {
    check_options(before.data().model, options);
    check_options(after.data().model, options);
    return Comparing(before, after, options).run();
}

Comparison at_least_as_strict(const Shelf& shelf, const std::string& authority,
                              const std::string& other, const ProveOptions& options) {
    check_options(shelf.data().model, options);
    Comparison comparison;
    Bureau bureau(options);
    Contrast contrast(bureau, true, comparison);
    const Model& model = shelf.data().model;
    const AuthorityId mine = authority_of(model, authority);
    const AuthorityId theirs = authority_of(model, other);
    const Alone after = bureau.alone(shelf, mine);
    const Alone before = bureau.alone(shelf, theirs);
    const std::set<std::string> apart = limited_under_one_name(*before.law, *after.law);
    if (options.duty.empty()) {
        tell_not_compared(*before.law, *after.law, authority, apart, comparison);
    }
    const std::set<Subject> all = subjects_of(*before.law);
    const std::vector<Subject> subjects(all.begin(), all.end());
    std::size_t done = 0;
    try {
        bureau.asker().suppose(before.law->some_edition(theirs) && after.law->some_edition(mine) &&
                               both_hold(bureau, *before.law, *after.law));
        for (; done < subjects.size(); ++done) {
            bureau.progress(done, subjects.size(), subjects[done].text());
            if (wanted(options, subjects[done]) && compared(subjects[done], apart)) {
                contrast.hold({before.law.get(), &before.bench}, {after.law.get(), &after.bench},
                              subjects[done], authority, bureau.days(model, mine));
            }
        }
    } catch (const Stopped&) {
        comparison.interrupted = true;
        for (; done < subjects.size(); ++done) {
            comparison.not_decided.push_back(subjects[done].text());
        }
    }
    conclude(comparison, contrast.all_settled());
    return comparison;
}

}  // namespace toprail
