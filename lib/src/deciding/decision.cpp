// Entry points: the look-ups of Decision and the words of its outcomes.
#include "toprail/decision.hpp"

#include <algorithm>
#include <array>

namespace toprail {
namespace {

template <class List, class Field>
auto find_by(const List& list, Field field, std::string_view name) -> decltype(&list.front()) {
    const auto found = std::find_if(list.begin(), list.end(),
                                    [&](const auto& each) { return each.*field == name; });
    return found == list.end() ? nullptr : &*found;
}

}  // namespace

const DutyDecision* Decision::duty(std::string_view name) const {
    return find_by(duties, &DutyDecision::duty, name);
}

const ChoiceDecision* Decision::choice(std::string_view name) const {
    return find_by(choices, &ChoiceDecision::choice, name);
}

const LimitDecision* Decision::limit(std::string_view name) const {
    return find_by(limits, &LimitDecision::quantity, name);
}

bool Decision::undetermined() const {
    return std::any_of(duties.begin(), duties.end(), [](const DutyDecision& duty) {
        return duty.outcome == Outcome::undetermined && !duty.waits_for_plan;
    });
}

std::string_view word(Outcome outcome) {
    static constexpr std::array<std::string_view, 5> words{
        "required", "required with exception", "not required", "not addressed", "undetermined"};
    return words[static_cast<std::size_t>(outcome)];
}

std::string_view word(Verdict verdict) {
    static constexpr std::array<std::string_view, 3> words{"met", "not met", "open"};
    return words[static_cast<std::size_t>(verdict)];
}

std::string_view word(Status status) {
    static constexpr std::array<std::string_view, 4> words{"stands", "falls", "open", "displaced"};
    return words[static_cast<std::size_t>(status)];
}

std::string_view word(Perhaps perhaps) {
    static constexpr std::array<std::string_view, 3> words{"no", "possibly", "yes"};
    return words[static_cast<std::size_t>(perhaps)];
}

std::string_view word(PackRole role) {
    static constexpr std::array<std::string_view, 3> words{"weighed", "adopted",
                                                           "names authorities"};
    return words[static_cast<std::size_t>(role)];
}

}  // namespace toprail
