// Entry points: simplify, tell_example.
#include "proving/example.hpp"

#include "quantity/unit.hpp"

#include <algorithm>
#include <array>

namespace toprail {
namespace {

// No budget for the exact pass: it only matters where facts are missing.
constexpr std::size_t first_look = 1;

// More than any figure of this trade has; the engine judges what is rounded.
constexpr unsigned most_places = 12;

std::string figure_text(const Fact& fact, const Number& in_unit) {
    bool exact = true;
    std::string text = decimal(in_unit, most_places, exact);
    return fact.unit.empty() || find_unit(fact.unit) == nullptr ? text : text + " " + fact.unit;
}

Number in_unit(const Filled& filled) {
    const Unit* unit = find_unit(filled.fact->unit);
    return unit == nullptr ? filled.number : Number(filled.number / unit->scale);
}

// Whether a figure can tell the value of the solver.
bool told_exactly(const Filled& filled) {
    bool exact = true;
    decimal(in_unit(filled), most_places, exact);
    return exact && !filled.rounded;
}

bool is_number(const Filled& filled) {
    return filled.state == FactState::given &&
           (filled.fact->type == FactType::measured || filled.fact->type == FactType::count);
}

void set(Facts& facts, const Filled& filled, const std::string& text) {
    FactEntry entry;
    entry.name = filled.fact->name;
    entry.state = filled.state;
    entry.text = text;
    facts.set(std::move(entry));
}

// Multiples of the step just below and above.
std::array<Number, 2> neighbours(const Number& value, const Number& step) {
    const Number below = (value / step).floor();
    return {below * step, (below + 1) * step};
}

void round_figures(const FilledCase& filled, const Shows& shows, Situation& situation) {
    const std::array<Number, 4> steps{Number(1), Number(1) / 2, Number(1) / 10, Number(1) / 100};
    for (const Filled& fact : filled.facts) {
        if (!is_number(fact) || situation.facts.find(fact.fact->name) == nullptr) {
            continue;
        }
        bool rounded = false;
        for (std::size_t i = 0; i < steps.size() && !rounded; ++i) {
            for (const Number& candidate : neighbours(in_unit(fact), steps[i])) {
                Situation rounder = situation;
                set(rounder.facts, fact, figure_text(*fact.fact, candidate));
                if (shows(rounder, false) == Seen::yes) {
                    situation = std::move(rounder);
                    rounded = true;
                    break;
                }
            }
        }
    }
}

// Ids of an authority's own provisions stand alone, without the edition; worked cases name them so.
std::string short_key(const std::string& key, const std::string& authority) {
    const std::string plain = key.substr(0, key.find('@'));
    return plain.starts_with(authority + "/") ? plain.substr(authority.size() + 1) : plain;
}

void append_list(std::string& yaml, const std::string& key, const std::vector<std::string>& keys,
                 const std::string& authority) {
    std::string list;
    for (const std::string& each : keys) {
        list += (list.empty() ? "" : ", ") + short_key(each, authority);
    }
    if (!list.empty()) {
        yaml += "    " + key + ": [" + list + "]\n";
    }
}

}  // namespace

std::optional<Decision> Bench::decide(const Situation& situation, bool thorough) const {
    const Shelf& shelf = thorough ? full_ : quick_;
    const Model& model = shelf.data().model;
    Facts known;
    for (const FactEntry& entry : situation.facts.entries()) {
        const auto found = model.shared_names.find(entry.name);
        if (found != model.shared_names.end() && found->second.kind == RefKind::fact) {
            known.set(entry);
        }
    }
    DecideOptions options;
    options.authorities = authorities_;
    if (!thorough) {
        options.budget = first_look;
    }
    return shelf.decide(known, situation.on, options).decision;
}

Simplified simplify(const FilledCase& filled, const std::vector<Date>& days, const Shows& shows) {
    Simplified result;
    Situation& situation = result.situation;
    for (const Filled& fact : filled.facts) {
        set(situation.facts, fact,
            is_number(fact) ? figure_text(*fact.fact, in_unit(fact)) : fact.text);
        result.rounded = result.rounded || (is_number(fact) && !told_exactly(fact));
    }
    std::vector<Date> candidates = days;
    if (filled.on) {
        candidates.push_back(*filled.on);
    }
    for (const Date day : candidates) {
        situation.on = day;
        result.seen = shows(situation, false);
        if (result.seen == Seen::yes) {
            break;
        }
    }
    if (result.seen != Seen::yes) {
        return result;
    }
    for (auto fact = filled.facts.rbegin(); fact != filled.facts.rend(); ++fact) {
        Situation smaller = situation;
        smaller.facts.remove(fact->fact->name);
        if (shows(smaller, false) == Seen::yes) {
            situation = std::move(smaller);
        }
    }
    round_figures(filled, shows, situation);
    result.seen = shows(situation, true);
    return result;
}

std::vector<Date> usual_days(const Model& model, AuthorityId authority) {
    std::vector<Date> days;
    for (const PackId id : model.authorities[authority.value].editions) {
        days.push_back(model[id].verified_through ? *model[id].verified_through : model[id].from);
    }
    std::sort(days.rbegin(), days.rend());
    return days;
}

Example tell_example(const Situation& situation, const std::string& authority,
                     const Labels& labels) {
    Example example{situation.facts, situation.on, authority, {}};
    std::string& yaml = example.yaml;
    if (authority.empty()) {
        yaml = "# toprail decide --on " + situation.on.text() +
               " --facts FILE\ncases:\n  - case: " + labels.name + "\n    facts:";
    } else {
        yaml = "# a worked case of " + authority + "\nworked-cases:\n  - name: " + labels.name +
               "\n    on: " + situation.on.text() + "\n    facts:";
    }
    std::vector<std::string> lines;
    for (const FactEntry& entry : situation.facts.entries()) {
        const bool absent = entry.state == FactState::does_not_apply;
        lines.push_back("      " + entry.name + ": " + (absent ? "does not apply" : entry.text) +
                        "\n");
    }
    yaml += lines.empty() ? " {}\n" : "\n";
    for (const std::string& line : lines) {
        yaml += line;
    }
    if (authority.empty()) {
        return example;
    }
    yaml += labels.answers.empty() ? "" : "    answers:\n";
    for (const auto& [name, answer] : labels.answers) {
        yaml += "      " + name + ": " + answer + "\n";
    }
    append_list(yaml, "stands", labels.stands, authority);
    append_list(yaml, "displaced", labels.displaced, authority);
    return example;
}

}  // namespace toprail
