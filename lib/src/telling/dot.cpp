// Entry point: draw_dot. The part of the graph that mattered: facts that were looked at, the
// provisions that they made stand, fall or open, and the answers that those bear on.
#include "findings/text.hpp"
#include "toprail/telling.hpp"

#include <algorithm>
#include <map>
#include <set>

namespace toprail {
namespace {

// Text inside double quotes of the DOT language; a backslash there would start an escape.
std::string quoted(std::string_view text) {
    std::string out = "\"";
    // Every part that came from a text is on one line; the line ends are the drawing's own.
    for (const char c : shown(text)) {
        out += c == '"' || c == '\\' ? "\\" : "";
        out += c == '\n' ? std::string("\\n") : std::string(1, c);
    }
    return out + "\"";
}

class Drawing {
  public:
    explicit Drawing(const Decision& decision) : decision_(decision) {}

    std::string draw(const std::string& name) {
        out_ = "digraph decision {\n  rankdir=LR;\n  label=" +
               quoted(shown_on_one_line(name) + ", decided for " + decision_.on.text()) +
               ";\n  node [fontname=serif];\n";
        gather();
        for (const auto& [fact, text] : facts_) {
            line("fact/" + fact, "shape=plain", text);
        }
        for (const Step& step : decision_.trail) {
            if (!told_.contains(step.provision)) {
                continue;
            }
            // The line style repeats what the word says.
            const char* style = step.status == Status::stands ? "shape=box,style=bold"
                                : step.status == Status::open ? "shape=box,style=dashed"
                                                              : "shape=box,style=dotted";
            line(step.provision, style,
                 shown_on_one_line(step.cite) + "\n" +
                     shown_on_one_line(std::string(word(step.status)) + ": " + step.effect));
            draw_reasons(step);
        }
        for (const auto& [answer, text] : answers_) {
            line("answer/" + answer, "shape=ellipse", text);
        }
        for (const auto& [from, to] : edges_) {
            out_ += "  " + quoted(from) + " -> " + quoted("answer/" + to) + ";\n";
        }
        return out_ + "}\n";
    }

  private:
    void line(const std::string& id, const char* style, const std::string& label) {
        out_ += "  " + quoted(id) + " [" + style + ",label=" + quoted(label) + "];\n";
    }

    void bear(const std::vector<std::string>& provisions, const std::string& answer) {
        for (const std::string& provision : provisions) {
            told_.insert(provision);
            edges_.insert({provision, answer});
        }
    }

    void gather() {
        for (const DutyDecision& duty : decision_.duties) {
            if (!duty.provisions.empty()) {
                answers_[duty.duty] = duty.duty + ": " + std::string(word(duty.outcome));
                bear(duty.provisions, duty.duty);
            }
        }
        for (const ChoiceDecision& choice : decision_.choices) {
            std::string admissible;
            for (const std::string& value : choice.admissible) {
                admissible += (admissible.empty() ? "" : ", ") + value;
            }
            answers_[choice.choice] =
                choice.choice + ": " +
                (choice.empty == Perhaps::yes ? "nothing satisfies every authority"
                 : admissible.empty()         ? "none for certain"
                                              : admissible);
            for (const auto* values : {&choice.barred, &choice.open}) {
                for (const auto& [value, by] : *values) {
                    bear(by, choice.choice);
                }
            }
        }
        for (const LimitDecision& limit : decision_.limits) {
            for (const Bound& bound : limit.bounds) {
                if (bound.strictest) {
                    // A quantity may be bounded on both sides.
                    std::string& answer = answers_[limit.quantity];
                    answer += (answer.empty() ? limit.quantity + ": " : "; ") +
                              (bound.at_most ? "at most " : "at least ") + bound.text;
                    bear({bound.provision}, limit.quantity);
                }
            }
        }
        // What displaced something that would have counted is part of the picture.
        for (const Step& step : decision_.trail) {
            if (step.status == Status::displaced) {
                told_.insert(step.provision);
                told_.insert(step.displaced_by.begin(), step.displaced_by.end());
            }
        }
        for (const Step& step : decision_.trail) {
            for (const Reason& reason : step.because) {
                for (const std::string& fact : reason.facts) {
                    if (told_.contains(step.provision)) {
                        facts_[fact] = fact_text(fact);
                    }
                }
            }
        }
    }

    [[nodiscard]] std::string fact_text(const std::string& name) const {
        for (const FactEntry& fact : decision_.facts) {
            if (fact.name == name && fact.state != FactState::not_known) {
                return name + ": " +
                       (fact.state == FactState::given ? fact.text : "does not apply");
            }
        }
        return name + ": not known";
    }

    void draw_reasons(const Step& step) {
        std::set<std::string> drawn;
        for (const Reason& reason : step.because) {
            for (const std::string& fact : reason.facts) {
                if (drawn.insert(fact).second) {
                    out_ += "  " + quoted("fact/" + fact) + " -> " + quoted(step.provision) + ";\n";
                }
            }
        }
        for (const std::string& by : step.displaced_by) {
            out_ += "  " + quoted(by) + " -> " + quoted(step.provision) +
                    " [style=dashed,label=displaces];\n";
        }
    }

    const Decision& decision_;
    std::string out_;
    std::set<std::string> told_;
    std::set<std::pair<std::string, std::string>> edges_;
    std::map<std::string, std::string> answers_;
    std::map<std::string, std::string> facts_;
};

}  // namespace

std::string draw_dot(const Decision& decision, const std::string& case_name) {
    return Drawing(decision).draw(case_name);
}

}  // namespace toprail
