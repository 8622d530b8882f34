// Entry point: disagreement.

#include "oracle/compare.hpp"

#include <algorithm>
#include <fmt/format.h>

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

class Comparison {
  public:
    Comparison(const Model& model, const Answer& expected, const Decision& seen)
        : model_(model), expected_(expected), seen_(seen) {}

    std::string run() {
        duties();
        choices();
        governing();
        provisions();
        limits();
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
    /// The provision that a key of the decision stands for.
    [[nodiscard]] std::optional<Which> which(const std::string& key) const;

    const Model& model_;
    const Answer& expected_;
    const Decision& seen_;
    std::string differences_;
};

void Comparison::duties() {
    for (const auto& [name, expected] : expected_.duties) {
        const auto* seen = seen_.duty(name);
        if (seen == nullptr) {
            same(name + " (not listed)", expected.possible, {toprail::Outcome::not_addressed});
            continue;
        }
        hold(seen->exact, name + ": the answer is not exact");
        same(name, expected.possible, set_of(seen->possible));
        const auto outcome = expected.possible.size() == 1 ? *expected.possible.begin()
                                                           : toprail::Outcome::undetermined;
        same(name + " outcome", toprail::word(outcome), toprail::word(seen->outcome));
        same(name + " act as if", toprail::word(*expected.possible.begin()),
             toprail::word(seen->act_as_if));
        same(name + " settled by", expected.settled_by, set_of(seen->settled_by));
        same(name + " contested", toprail::word(expected.contested),
             toprail::word(seen->contested));
        hold(seen->ask_next.empty() ? expected.settled_by.empty()
                                    : expected.settled_by.count(seen->ask_next) != 0,
             name + ": asks next for " + seen->ask_next);
        const bool plan_alone = !expected.settled_by.empty() &&
                                std::all_of(expected.settled_by.begin(), expected.settled_by.end(),
                                            [&](const auto& fact) {
                                                return model_.facts.at(fact).plan;
                                            });
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
        hold(seen->exact, name + ": the answer is not exact");
        same(name + " admissible", expected.admissible, set_of(seen->admissible));
        same(name + " barred", expected.barred, keys_of(seen->barred));
        same(name + " open", expected.open, keys_of(seen->open));
        same(name + " empty", toprail::word(expected.empty), toprail::word(seen->empty));
        same(name + " settled by", expected.settled_by, set_of(seen->settled_by));
    }
}

void Comparison::governing() {
    for (const auto& [authority, expected] : expected_.governing) {
        const auto seen = std::find_if(
            seen_.governing.begin(), seen_.governing.end(),
            [name = authority](const auto& other) { return other.authority == name; });
        const bool listed = seen != seen_.governing.end();
        same(authority + " governs", toprail::word(expected.governs),
             toprail::word(listed ? seen->governs : Perhaps::no));
        if (listed) {
            same(authority + " governs, settled by", expected.settled_by,
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
        same(step.provision + " status", toprail::word(expected->second),
             toprail::word(step.status));
    }
    for (const auto& [key, status] : expected_.provisions) {
        if (expected_.governing.at(key.authority).governs != Perhaps::no) {
            hold(status == Status::falls || listed.count(key) != 0,
                 key.authority + "/" + key.id + "@" + key.edition + " is missing from the trail");
        }
    }
}

void Comparison::limits() {
    std::map<std::string, std::set<std::string>> expected;
    std::map<std::string, std::set<std::string>> seen;
    const auto line = [](const Which& key, const LimitAnswer& own, Status status, bool at_most,
                         bool strictest) {
        return fmt::format("{}/{}@{} {} {}{}", key.authority, key.id, key.edition,
                           toprail::word(status), at_most ? "at most" : "at least",
                           own.all_known && strictest ? " (strictest)" : "");
    };
    for (const auto& [quantity, bounds] : expected_.limits) {
        for (const auto& [key, bound] : bounds) {
            expected[quantity].insert(line(key, bound, bound.status, bound.at_most, bound.strictest));
        }
    }
    for (const auto& limit : seen_.limits) {
        for (const auto& bound : limit.bounds) {
            const Which key = which(bound.provision).value();
            const auto& bounds = expected_.limits.find(limit.quantity);
            const bool known = bounds != expected_.limits.end() && bounds->second.count(key) != 0;
            seen[limit.quantity].insert(line(key, known ? bounds->second.at(key) : LimitAnswer{},
                                             bound.status, bound.at_most, bound.strictest));
        }
    }
    for (const auto& quantity : keys_of(model_.facts)) {
        same(quantity + " limits", expected[quantity], seen[quantity]);
    }
    for (const auto& [quantity, lines] : expected) {
        same(quantity + " limits", lines, seen[quantity]);
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
