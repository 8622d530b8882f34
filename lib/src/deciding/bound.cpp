// Entry points: bind_facts, bind_fact.
#include "deciding/bound.hpp"

#include "findings/unknown.hpp"
#include "reading/fields.hpp"

#include <algorithm>

namespace toprail {
namespace {

// What the fact takes, for messages.
std::string accepted(const Fact& fact) {
    switch (fact.type) {
    case FactType::yes_no:
        return "yes or no";
    case FactType::choice:
        return list_or(fact.values);
    case FactType::date:
        return "a day such as 2024-06-01";
    case FactType::count:
        return "a whole number";
    case FactType::measured:
        break;
    }
    std::vector<std::string> units;
    for (const std::string_view unit : units_of(fact.dimension)) {
        units.emplace_back(unit);
    }
    return fact.dimension.plain() ? "a number" : "a number with a unit (" + list_or(units) + ")";
}

std::string range(const Fact& fact) {
    if (fact.from && fact.to) {
        return "lies from " + fact.from->text + " to " + fact.to->text;
    }
    return fact.from ? "is at least " + fact.from->text : "is at most " + fact.to->text;
}

class Binder {
  public:
    Binder(const Model& model, Findings& findings) : model_(model), findings_(findings) {}

    std::vector<BoundFact> bind(const Facts& facts) {
        std::vector<BoundFact> bound(model_.facts.size());
        std::vector<bool> given(model_.facts.size(), false);
        for (const FactEntry& entry : facts.entries()) {
            if (too_long(entry)) {
                continue;
            }
            const auto found = model_.shared_names.find(entry.name);
            if (found == model_.shared_names.end() || found->second.kind != RefKind::fact) {
                report_unknown_fact(entry);
                continue;
            }
            if (given[found->second.index]) {
                add(Kind::duplicate_key, entry, "\"" + entry.name + "\" stands twice").help =
                    "which of its values holds is not for a program to choose: give one";
            }
            given[found->second.index] = true;
            if (auto value = bind(model_.facts[found->second.index], entry)) {
                bound[found->second.index] = std::move(*value);
            }
        }
        return bound;
    }

    std::optional<BoundFact> bind(const Fact& fact, const FactEntry& entry) {
        BoundFact value;
        value.state = entry.state;
        if (entry.state == FactState::does_not_apply && !fact.may_not_apply) {
            add(Kind::cannot_be_absent, entry, "\"" + fact.name + "\" always applies").help =
                "it takes " + accepted(fact) + ", or \"not known\"";
            return std::nullopt;
        }
        return entry.state != FactState::given || read(fact, entry, value) ? std::optional(value)
                                                                           : std::nullopt;
    }

  private:
    Finding& add(Kind kind, const FactEntry& entry, std::string message) {
        Finding& finding = findings_.add(kind, {}, std::move(message));
        finding.place = entry.place;
        return finding;
    }

    // A host sets facts without bounds; what a file may hold is bounded where it is read. What is
    // too long is not told back.
    bool too_long(const FactEntry& entry) {
        constexpr std::size_t most = Limits{}.text;
        if (entry.name.size() <= most && entry.text.size() <= most && entry.from.size() <= most) {
            return false;
        }
        const std::string whose = entry.name.size() <= most ? "\"" + entry.name + "\"" : "a fact";
        add(Kind::long_text, entry, "the name, value or source of " + whose + " is too long").help =
            "at most " + std::to_string(most) + " bytes are read";
        return true;
    }

    void report_unknown_fact(const FactEntry& entry) {
        std::vector<std::string> known;
        if (!findings_.full(nullptr)) {
            for (const Fact& fact : model_.facts) {
                known.push_back(fact.name);
            }
        }
        Finding& finding =
            add(Kind::unknown_fact, entry, "no fact is called \"" + entry.name + "\"");
        finding.place = entry.name_place;
        finding.help = help_with_unknown(entry.name, known);
        if (finding.help.empty()) {
            finding.help = "the facts are listed in the vocabularies";
        }
    }

    bool unreadable(const Fact& fact, const FactEntry& entry) {
        Finding& finding =
            add(Kind::unreadable_fact, entry, "\"" + entry.text + "\" is no value of " + fact.name);
        const std::string near =
            fact.type == FactType::choice ? nearest(entry.text, fact.values) : "";
        if (fact.type == FactType::date) {
            finding.help = date_help(entry.text) + ", or \"not known\"";
        } else if (!near.empty() && entry.text != "yes" && entry.text != "no") {
            finding.help = "did you mean " + near + "?";
        } else {
            finding.help = "it takes " + accepted(fact) + ", or \"not known\"";
        }
        return false;
    }

    bool read(const Fact& fact, const FactEntry& entry, BoundFact& value) {
        switch (fact.type) {
        case FactType::yes_no:
            if (entry.text == "yes" || entry.text == "no" || entry.text == "true" ||
                entry.text == "false") {
                value.value = entry.text == "yes" || entry.text == "true" ? 1 : 0;
                return true;
            }
            return unreadable(fact, entry);
        case FactType::choice: {
            const auto found = std::find(fact.values.begin(), fact.values.end(), entry.text);
            value.value = static_cast<std::uint32_t>(found - fact.values.begin());
            return found != fact.values.end() || unreadable(fact, entry);
        }
        case FactType::date:
            if (const auto day = Date::parse(entry.text)) {
                value.day = day->days();
                return true;
            }
            return unreadable(fact, entry);
        case FactType::count:
        case FactType::measured:
            break;
        }
        return read_number(fact, entry, value);
    }

    bool read_number(const Fact& fact, const FactEntry& entry, BoundFact& value) {
        const FigureReading reading = read_figure(entry.text);
        if (!reading.figure || reading.figure->dimension != fact.dimension) {
            return unreadable(fact, entry);
        }
        value.number = reading.figure->base;
        if (fact.type == FactType::count && !value.number.whole()) {
            return unreadable(fact, entry);
        }
        if ((fact.from && value.number < fact.from->base) ||
            (fact.to && value.number > fact.to->base)) {
            add(Kind::out_of_range, entry, "\"" + entry.text + "\" is no sensible " + fact.name)
                .help = "it " + range(fact);
            return false;
        }
        return true;
    }

    const Model& model_;
    Findings& findings_;
};

}  // namespace

std::vector<BoundFact> bind_facts(const Model& model, const Facts& facts, Findings& findings) {
    return Binder(model, findings).bind(facts);
}

std::optional<BoundFact> bind_fact(const Model& model, FactId fact, std::string_view text,
                                   Findings& findings) {
    Facts one;
    one.set(model[fact].name, text);
    return Binder(model, findings).bind(model[fact], one.entries().front());
}

}  // namespace toprail
