// Entry point: disagreement.

#include "oracle/compare.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace oracle {

namespace {

using toprail::Decision;

std::string list(const std::set<std::string>& words) {
    return fmt::format("[{}]", fmt::join(words, ", "));
}

std::string list(const std::set<toprail::Outcome>& outcomes) {
    std::set<std::string> words;
    for (const auto outcome : outcomes) {
        words.emplace(toprail::word(outcome));
    }
    return list(words);
}

template <typename List>
std::set<typename List::value_type> set_of(const List& items) {
    return {items.begin(), items.end()};
}

template <typename Map>
std::set<std::string> keys_of(const Map& map) {
    std::set<std::string> keys;
    for (const auto& [key, value] : map) {
        keys.insert(key);
    }
    return keys;
}

bool has_curves(const Expression& expression) {
    using Kind = Expression::Kind;
    const auto names_inside = [](const Expression& part) { return part.kind != Kind::figure; };
    const auto& parts = expression.parts;
    return expression.kind == Kind::root ||
           (expression.kind == Kind::divide && names_inside(parts[1])) ||
           (expression.kind == Kind::multiply && names_inside(parts[0]) &&
            names_inside(parts[1])) ||
           std::any_of(parts.begin(), parts.end(),
                       [](const Expression& part) { return has_curves(part); });
}

bool has_curves(const Model& model) {
    std::vector<const Scope*> scopes{&model.shared};
    for (const auto& [authority, editions] : model.authorities) {
        for (const auto& edition : editions) {
            scopes.push_back(&edition->scope);
        }
    }
    for (const Scope* scope : scopes) {
        for (const auto& [name, pieces] : scope->quantities) {
            for (const auto& piece : pieces) {
                if (has_curves(piece.equals)) {
                    return true;
                }
            }
        }
    }
    return false;
}

class Comparison {
  public:
    Comparison(const Model& model, const Answer& expected, const Decision& seen)
        : model_(model),
          expected_(expected),
          seen_(seen),
          curved_(has_curves(model)) {}

    std::string run() {
        duties();
        choices();
        governing();
        provisions();
        limits();
        fit();
        return std::move(differences_);
    }

  private:
    template <typename A>
    void same(const std::string& what, const A& expected, const A& seen) {
        if (expected != seen) {
            if constexpr (std::is_same_v<A, std::string_view>) {
                differences_ += fmt::format("{}: expected {}, seen {}\n", what, expected, seen);
            } else {
                differences_ +=
                    fmt::format("{}: expected {}, seen {}\n", what, list(expected), list(seen));
            }
        }
    }
    /// The library says less than the oracle knows: allowed where it says so, never the other way.
    template <typename A>
    void within(bool exact, const std::string& what, const A& expected, const A& seen) {
        if (exact || !std::includes(seen.begin(), seen.end(), expected.begin(), expected.end())) {
            same(what, expected, seen);
        }
    }
    /// The same, or the word for "either way" where the library may not know better.
    void word_within(bool exact, const std::string& what, std::string_view expected,
                     std::string_view seen, std::string_view either_way) {
        if (exact || seen != either_way) {
            same(what, expected, seen);
        }
    }
    void hold(bool condition, const std::string& what) {
        if (!condition) {
            differences_ += what + "\n";
        }
    }
    void duties();
    void choices();
    void governing();
    void provisions();
    void limits();
    void fit();
    /// The provision that a key of the decision stands for.
    [[nodiscard]] std::optional<Which> which(const std::string& key) const;

    const Model& model_;
    const Answer& expected_;
    const Decision& seen_;
    /// Only where a formula is no straight line may the library say that it is not exact.
    const bool curved_;
    std::string differences_;
};

void Comparison::duties() {
    for (const auto& [name, expected] : expected_.duties) {
        const auto* seen = seen_.duty(name);
        if (seen == nullptr) {
            same(name + " (not listed)", expected.possible, {toprail::Outcome::not_addressed});
            continue;
        }
        const bool exact = seen->exact;
        hold(exact || curved_, name + ": the answer is not exact");
        within(exact, name, expected.possible, set_of(seen->possible));
        const auto outcome =
            seen->possible.size() == 1 ? seen->possible.front() : toprail::Outcome::undetermined;
        same(name + " outcome", toprail::word(outcome), toprail::word(seen->outcome));
        const auto strictest = *std::min_element(seen->possible.begin(), seen->possible.end());
        same(name + " act as if", toprail::word(strictest), toprail::word(seen->act_as_if));
        within(exact, name + " settled by", expected.settled_by, set_of(seen->settled_by));
        word_within(exact && !curved_, name + " contested", toprail::word(expected.contested),
                    toprail::word(seen->contested), "possibly");
        const auto settled_by = set_of(seen->settled_by);
        hold(seen->ask_next.empty() ? settled_by.empty() : settled_by.count(seen->ask_next) != 0,
             name + ": asks next for " + seen->ask_next);
        const bool plan_alone =
            !settled_by.empty() &&
            std::all_of(settled_by.begin(), settled_by.end(),
                        [&](const auto& fact) { return model_.facts.at(fact).plan; });
        hold(plan_alone == seen->waits_for_plan, name + ": waits for the plan");
    }
}

void Comparison::choices() {
    for (const auto& [name, expected] : expected_.choices) {
        const auto* seen = seen_.choice(name);
        if (seen == nullptr) {
            hold(expected.barred.empty() && expected.open.empty(), name + " is not listed");
            continue;
        }
        const bool exact = seen->exact;
        hold(exact || curved_, name + ": the answer is not exact");
        // What is open may be more than need be, at the cost of the other two.
        within(exact, name + " open", expected.open, keys_of(seen->open));
        within(exact, name + " admissible", set_of(seen->admissible), expected.admissible);
        within(exact, name + " barred", keys_of(seen->barred), expected.barred);
        hold(keys_of(seen->open).size() + seen->admissible.size() + seen->barred.size() ==
                 model_.choices.at(name).size(),
             name + ": every value is admissible, barred or open");
        word_within(exact && !curved_, name + " empty", toprail::word(expected.empty),
                    toprail::word(seen->empty), "possibly");
        within(exact, name + " settled by", expected.settled_by, set_of(seen->settled_by));
    }
}

void Comparison::governing() {
    for (const auto& [authority, expected] : expected_.governing) {
        const auto seen =
            std::find_if(seen_.governing.begin(), seen_.governing.end(),
                         [name = authority](const auto& other) { return other.authority == name; });
        const bool listed = seen != seen_.governing.end();
        word_within(!curved_, authority + " governs", toprail::word(expected.governs),
                    toprail::word(listed ? seen->governs : Perhaps::no), "possibly");
        if (listed) {
            within(!curved_, authority + " governs, settled by", expected.settled_by,
                   set_of(seen->settled_by));
        }
    }
}

std::optional<Which> Comparison::which(const std::string& key) const {
    const std::size_t slash = key.find('/');
    const std::size_t at = key.find('@');
    const std::string authority = key.substr(0, slash);
    const std::string id = key.substr(slash + 1, at == std::string::npos ? at : at - slash - 1);
    if (at != std::string::npos) {
        return Which{authority, id, key.substr(at + 1)};
    }
    // Without an edition the key speaks of the one edition that counts.
    for (const auto& pack : seen_.packs) {
        if (pack.authority == authority) {
            return Which{authority, id, pack.edition};
        }
    }
    // A pack that only says who governs is not listed; its provision stands in some one edition.
    std::optional<Which> only;
    for (const auto& [candidate, status] : expected_.provisions) {
        if (candidate.authority == authority && candidate.id == id &&
            (!only || status != Status::falls)) {
            only = candidate;
        }
    }
    return only;
}

void Comparison::provisions() {
    std::set<Which> listed;
    for (const auto& step : seen_.trail) {
        const auto key = which(step.provision);
        const auto expected = key ? expected_.provisions.find(*key) : expected_.provisions.end();
        if (expected == expected_.provisions.end()) {
            differences_ += step.provision + " is in the trail and in no pack\n";
            continue;
        }
        listed.insert(*key);
        word_within(!curved_, step.provision + " status", toprail::word(expected->second),
                    toprail::word(step.status), "open");
    }
    for (const auto& [key, status] : expected_.provisions) {
        if (expected_.governing.at(key.authority).governs != Perhaps::no) {
            hold(status == Status::falls || listed.count(key) != 0,
                 key.authority + "/" + key.id + "@" + key.edition + " is missing from the trail");
        }
    }
}

void Comparison::limits() {
    if (curved_) {
        return;
    }
    std::map<std::string, std::set<std::string>> expected;
    std::map<std::string, std::set<std::string>> seen;
    const auto line = [](const Which& key, Status status, bool at_most) {
        return fmt::format("{}/{}@{} {} {}", key.authority, key.id, key.edition,
                           toprail::word(status), at_most ? "at most" : "at least");
    };
    std::set<std::pair<std::string, bool>> strictest_wanted;
    std::set<std::pair<std::string, bool>> strictest_seen;
    for (const auto& [quantity, bounds] : expected_.limits) {
        for (const auto& [key, bound] : bounds) {
            expected[quantity].insert(line(key, bound.status, bound.at_most));
            if (bound.strictest && bound.all_known) {
                strictest_wanted.insert({quantity, bound.at_most});
            }
        }
    }
    for (const auto& limit : seen_.limits) {
        for (const auto& bound : limit.bounds) {
            const Which key = which(bound.provision).value();
            seen[limit.quantity].insert(line(key, bound.status, bound.at_most));
            const auto bounds = expected_.limits.find(limit.quantity);
            if (!bound.strictest || bounds == expected_.limits.end()) {
                continue;
            }
            const auto own = bounds->second.find(key);
            // Of equal bounds the library marks the first; any of them is right.
            hold(own == bounds->second.end() || own->second.strictest || !own->second.all_known,
                 bound.provision + " is not the strictest");
            strictest_seen.insert({limit.quantity, bound.at_most});
        }
    }
    for (const auto& quantity : keys_of(model_.facts)) {
        same(quantity + " limits", expected[quantity], seen[quantity]);
    }
    for (const auto& [quantity, lines] : expected) {
        same(quantity + " limits", lines, seen[quantity]);
    }
    for (const auto& [quantity, at_most] : strictest_wanted) {
        hold(strictest_seen.count({quantity, at_most}) != 0,
             quantity + ": no bound is marked the strictest");
    }
}

void Comparison::fit() {
    std::map<std::string, std::map<std::string, toprail::Verdict>> seen;
    for (const auto& fit : seen_.fit) {
        seen[fit.about][fit.name] = fit.verdict;
        hold(expected_.fit.at(fit.about).count(fit.name) != 0, fit.name + ": a fit of nothing");
    }
    for (const auto& [about, answers] : expected_.fit) {
        if (about == "limit" && curved_) {
            continue;
        }
        for (const auto& [name, expected] : answers) {
            const auto found = seen[about].find(name);
            if (found == seen[about].end()) {
                // What nothing is asked of is not listed, nor, along a curve, what only the oracle
                // sees come to nothing.
                hold(curved_ || expected.reachable.count(toprail::Verdict::not_met) == 0,
                     fmt::format("{} {}: no fit", about, name));
                continue;
            }
            const auto verdict = expected.reachable.size() == 1 ? *expected.reachable.begin()
                                                                : toprail::Verdict::open;
            // A quantity may come to one value by two ways of which neither is known to be taken.
            const auto* limit = about == "limit" ? seen_.limit(name) : nullptr;
            const bool measured = limit == nullptr || model_.facts.count(name) != 0 ||
                                  (!limit->value.empty() && limit->value != "not known");
            const bool exact = expected.plain && measured && !curved_;
            word_within(exact, fmt::format("{} {} fit", about, name), toprail::word(verdict),
                        toprail::word(found->second), "open");
        }
    }
}

}  // namespace

std::string disagreement(const Model& model, const Answer& expected, const toprail::Answer& seen) {
    if (!seen.decision) {
        std::string codes;
        bool early = !seen.findings.empty();
        for (const auto& finding : seen.findings) {
            codes += std::string(finding.code) + ": " + finding.message + "\n";
            early = early && finding.code == "before-first-edition";
        }
        return early && expected.all_before_first_edition ? std::string()
                                                          : "no decision:\n" + codes;
    }
    if (expected.all_before_first_edition) {
        return "a decision before the first edition\n";
    }
    return Comparison(model, expected, *seen.decision).run();
}

}  // namespace oracle
