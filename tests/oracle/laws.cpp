#include "oracle/laws.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace oracle {

using toprail::Decision;

namespace {

class Lines {
  public:
    template <typename... Parts>
    void add(fmt::format_string<Parts...> format, Parts&&... parts) {
        lines_.insert(fmt::format(format, std::forward<Parts>(parts)...));
    }
    [[nodiscard]] std::string text() const { return fmt::format("{}\n", fmt::join(lines_, "\n")); }

  private:
    std::set<std::string> lines_;
};

template <typename List>
std::string sorted(const List& list) {
    return fmt::format("[{}]", fmt::join(std::set<std::string>(list.begin(), list.end()), ", "));
}

template <typename Map>
std::string keys(const Map& map) {
    std::set<std::string> names;
    for (const auto& [name, value] : map) {
        names.insert(name);
    }
    return sorted(names);
}

void add_duty(Lines& lines, const toprail::DutyDecision& duty) {
    std::vector<std::string> outcomes;
    for (const auto outcome : duty.possible) {
        outcomes.emplace_back(toprail::word(outcome));
    }
    lines.add("duty {}: {} of {}, settled by {}, contested {}, exact {}, terms {}, grounds {}",
              duty.duty, toprail::word(duty.outcome), sorted(outcomes), sorted(duty.settled_by),
              toprail::word(duty.contested), duty.exact, keys(duty.terms), sorted(duty.provisions));
}

void add_limit(Lines& lines, const toprail::LimitDecision& limit) {
    lines.add("limit {}: {}", limit.quantity, limit.value.empty() ? "not known" : "known");
    for (const auto& bound : limit.bounds) {
        lines.add("limit {}: {} {} {}{}", limit.quantity, bound.provision,
                  bound.at_most ? "at most" : "at least", toprail::word(bound.status),
                  bound.strictest ? ", strictest" : "");
    }
}

}  // namespace

Ground ground_of(const std::vector<toprail::SourceText>& texts) {
    auto loaded = toprail::load_shelf(texts);
    if (has_trouble(loaded)) {
        RC_FAIL("the texts are refused");
    }
    return {std::move(*loaded.shelf), Oracle(texts)};
}

toprail::Answer ask(const toprail::Shelf& shelf, const TestCase& test_case) {
    toprail::DecideOptions options;
    options.authorities = test_case.authorities;
    return shelf.decide(test_case.facts, test_case.on, options);
}

TestCase with(TestCase test_case, const std::string& fact, const std::string& value) {
    test_case.facts.set(fact, value);
    return test_case;
}

bool is_unknown(const TestCase& test_case, const std::string& fact) {
    const auto* entry = test_case.facts.find(fact);
    return entry == nullptr || entry->state == toprail::FactState::not_known;
}

std::vector<std::string> classes_of(const Ground& ground, const TestCase& test_case,
                                    const std::string& fact) {
    const auto& about = ground.oracle.model().facts.at(fact);
    std::vector<std::string> texts;
    for (const Value& value : ground.oracle.values_of(test_case.facts, test_case.on, fact)) {
        const auto text = exact_text_of(about, value);
        if (!text) {
            return {};
        }
        texts.push_back(*text);
    }
    return texts;
}

std::set<toprail::Outcome> possible(const Decision& decision, const std::string& duty) {
    const auto* seen = decision.duty(duty);
    return seen == nullptr
               ? std::set{toprail::Outcome::not_addressed}
               : std::set<toprail::Outcome>(seen->possible.begin(), seen->possible.end());
}

bool is_exact(const Decision& decision, const std::string& duty) {
    const auto* seen = decision.duty(duty);
    return seen == nullptr || seen->exact;
}

std::set<std::string> settled_by(const Decision& decision, const std::string& duty) {
    const auto* seen = decision.duty(duty);
    return seen == nullptr ? std::set<std::string>()
                           : std::set(seen->settled_by.begin(), seen->settled_by.end());
}

std::string essence(const toprail::Answer& answer) {
    Lines lines;
    for (const auto& finding : answer.findings) {
        lines.add("finding {}", finding.code);
    }
    if (!answer.decision) {
        return lines.text();
    }
    const Decision& decision = *answer.decision;
    for (const auto& duty : decision.duties) {
        // Which duty is told although nothing speaks of it, the order of the vocabulary says: it
        // stands for no other answer than a duty that is left out.
        if (duty.spoken_of) {
            add_duty(lines, duty);
        }
    }
    for (const auto& choice : decision.choices) {
        lines.add("choice {}: {}, barred {}, open {}, empty {}, settled by {}, exact {}",
                  choice.choice, sorted(choice.admissible), keys(choice.barred), keys(choice.open),
                  toprail::word(choice.empty), sorted(choice.settled_by), choice.exact);
    }
    for (const auto& limit : decision.limits) {
        add_limit(lines, limit);
    }
    for (const auto& governing : decision.governing) {
        lines.add("governing {}: {}, settled by {}", governing.authority,
                  toprail::word(governing.governs), sorted(governing.settled_by));
    }
    for (const auto& step : decision.trail) {
        lines.add("provision {} {}: {}, displaced by {}", step.authority, step.provision,
                  toprail::word(step.status), sorted(step.displaced_by));
    }
    for (const auto& fit : decision.fit) {
        lines.add("fit of {} {}: {} by {}", fit.about, fit.name, toprail::word(fit.verdict),
                  sorted(fit.provisions));
    }
    return lines.text();
}

void broken(const std::string& law, const TestCase& test_case, const std::string& details) {
    RC_LOG() << show(test_case) << details;
    RC_FAIL(law);
    throw Unusable("unreachable: a failed property throws");
}

void same_essence(const std::string& law, const TestCase& test_case, const toprail::Answer& one,
                  const toprail::Answer& other) {
    const std::string first = essence(one);
    const std::string second = essence(other);
    if (first != second) {
        broken(law, test_case, "one:\n" + first + "other:\n" + second);
    }
}

}  // namespace oracle
