// Decisions as Python reads them: immutable objects, outcomes and the like in words.
#include "parts.hpp"

#include <toprail/telling.hpp>

namespace toprail::python {
namespace {

template <class Word>
std::vector<std::string> words(const std::vector<Word>& from) {
    std::vector<std::string> all;
    for (const Word each : from) {
        all.emplace_back(word(each));
    }
    return all;
}

// A property that tells an enumeration in words.
template <class Owner, class Word>
auto in_words(Word Owner::*member) {
    return [member](const Owner& owner) { return std::string(word(owner.*member)); };
}

Length length_of(const std::string& name) {
    if (name == "answer") {
        return Length::answer;
    }
    if (name == "reasons") {
        return Length::reasons;
    }
    if (name == "everything") {
        return Length::everything;
    }
    throw py::value_error("length is answer, reasons or everything");
}

std::string no_such_duty(const Decision& decision, const std::string& name) {
    std::vector<std::string> known;
    for (const DutyDecision& duty : decision.duties) {
        known.push_back(duty.duty);
    }
    const std::string near = meant(name, known);
    return "this decision has no duty \"" + name + "\"" +
           (near.empty()
                ? "; either no vocabulary has it, or no provision that may govern the case "
                  "speaks of it: decision.duties lists those that are told"
                : near);
}

void add_parts(py::module_& module) {
    py::class_<DutyDecision>(module, "Duty")
        .def_readonly("duty", &DutyDecision::duty)
        .def_readonly("reads", &DutyDecision::reads)
        .def_readonly("asks", &DutyDecision::asks)
        .def_property_readonly("outcome", in_words(&DutyDecision::outcome))
        .def_property_readonly("possible",
                               [](const DutyDecision& duty) { return words(duty.possible); })
        .def_property_readonly("act_as_if", in_words(&DutyDecision::act_as_if))
        .def_property_readonly("contested", in_words(&DutyDecision::contested))
        .def_readonly("exact", &DutyDecision::exact)
        .def_readonly("settled_by", &DutyDecision::settled_by)
        .def_readonly("ask_next", &DutyDecision::ask_next)
        .def_readonly("spoken_of", &DutyDecision::spoken_of)
        .def_readonly("waits_for_plan", &DutyDecision::waits_for_plan)
        .def_readonly("terms", &DutyDecision::terms)
        .def_readonly("provisions", &DutyDecision::provisions);
    py::class_<ChoiceDecision>(module, "Choice")
        .def_readonly("choice", &ChoiceDecision::choice)
        .def_readonly("reads", &ChoiceDecision::reads)
        .def_readonly("admissible", &ChoiceDecision::admissible)
        .def_readonly("barred", &ChoiceDecision::barred)
        .def_readonly("open", &ChoiceDecision::open)
        .def_property_readonly("empty", in_words(&ChoiceDecision::empty))
        .def_readonly("exact", &ChoiceDecision::exact)
        .def_readonly("settled_by", &ChoiceDecision::settled_by);
    py::class_<Bound>(module, "Bound")
        .def_readonly("provision", &Bound::provision)
        .def_readonly("at_most", &Bound::at_most)
        .def_readonly("text", &Bound::text)
        .def_property_readonly("status", in_words(&Bound::status))
        .def_readonly("strictest", &Bound::strictest)
        .def_readonly("when", &Bound::when);
    py::class_<LimitDecision>(module, "Limit")
        .def_readonly("quantity", &LimitDecision::quantity)
        .def_readonly("reads", &LimitDecision::reads)
        .def_readonly("value", &LimitDecision::value)
        .def_readonly("bounds", &LimitDecision::bounds);
    py::class_<Fit>(module, "Fit")
        .def_readonly("about", &Fit::about)
        .def_readonly("name", &Fit::name)
        .def_property_readonly("verdict", in_words(&Fit::verdict))
        .def_readonly("reason", &Fit::reason)
        .def_readonly("provisions", &Fit::provisions);
    py::class_<Reason>(module, "Reason")
        .def_readonly("says", &Reason::says)
        .def_property_readonly("truth", [](const Reason& r) { return std::string(r.truth); })
        .def_readonly("facts", &Reason::facts)
        .def_readonly("since", &Reason::since);
    py::class_<Step>(module, "Step")
        .def_readonly("provision", &Step::provision)
        .def_readonly("authority", &Step::authority)
        .def_property_readonly("status", in_words(&Step::status))
        .def_readonly("cite", &Step::cite)
        .def_readonly("standing", &Step::standing)
        .def_readonly("source", &Step::source)
        .def_readonly("gist", &Step::gist)
        .def_readonly("effect", &Step::effect)
        .def_readonly("in_force", &Step::in_force)
        .def_readonly("adopted_from", &Step::adopted_from)
        .def_readonly("because", &Step::because)
        .def_readonly("displaced_by", &Step::displaced_by);
}

}  // namespace

// Python's own difflib: this happens seldom.
std::string meant(const std::string& name, const std::vector<std::string>& known) {
    const auto near = py::module_::import("difflib")
                          .attr("get_close_matches")(name, known, 1)
                          .cast<std::vector<std::string>>();
    return near.empty() ? "" : "; did you mean \"" + near.front() + "\"?";
}

void add_decisions(py::module_& module) {
    add_parts(module);
    py::class_<Decision>(module, "Decision")
        .def_property_readonly("on", [](const Decision& decision) { return decision.on.text(); })
        .def_readonly("duties", &Decision::duties)
        .def_readonly("choices", &Decision::choices)
        .def_readonly("limits", &Decision::limits)
        .def_readonly("fit", &Decision::fit)
        .def_readonly("trail", &Decision::trail)
        .def_readonly("cautions", &Decision::cautions)
        .def_property_readonly("undetermined", &Decision::undetermined)
        .def(
            "duty",
            [](const Decision& decision, const std::string& name) {
                const DutyDecision* duty = decision.duty(name);
                if (duty == nullptr) {
                    throw py::key_error(no_such_duty(decision, name));
                }
                return *duty;
            },
            py::arg("name"))
        .def(
            "json",
            [](const Decision& decision, const std::string& case_name) {
                std::string out;
                append_json(out, decision, case_name);
                return out;
            },
            py::arg("case_name") = "")
        .def(
            "text",
            [](const Decision& decision, const std::string& case_name, const std::string& length) {
                return tell_text(decision, case_name, {}, length_of(length));
            },
            py::arg("case_name") = "", py::arg("length") = "reasons");
}

}  // namespace toprail::python
