// Entry points: tell_text, tell_line. The answer first, then reasons, citations and cautions.
#include "findings/text.hpp"

#include "telling/sheet.hpp"
#include "telling/sources.hpp"
#include "toprail/telling.hpp"

#include <algorithm>
#include <map>
#include <set>

namespace toprail {
namespace {

std::string upper(std::string_view word) {
    std::string text(word);
    std::transform(text.begin(), text.end(), text.begin(), [](char c) {
        return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
    });
    return text;
}

bool only_explains(const Governing& one) {
    return one.standing == "guidance" || one.standing == "interpretation" ||
           one.standing == "common-practice";
}

class Teller {
  public:
    Teller(const Decision& decision, Length length) : decision_(decision), length_(length) {}

    std::string tell(const std::string& name, const std::string& says) {
        sheet_.title(name);
        // The case's own words must not read as the answer.
        if (!says.empty()) {
            sheet_.line(2, "described as: " + says);
        }
        for (const std::string& caution : decision_.cautions) {
            if (comes_first(caution)) {
                sheet_.entry("stop and ask", caution);
            }
        }
        tell_duties();
        tell_choices();
        tell_limits();
        tell_plan();
        if (length_ != Length::answer) {
            tell_remarks();
            tell_facts();
        }
        if (length_ == Length::everything) {
            tell_quantities();
            tell_everything();
        }
        tell_governing();
        if (length_ != Length::answer) {
            tell_packs();
        }
        tell_cautions();
        return sheet_.take();
    }

  private:
    [[nodiscard]] const Step* step(const std::string& provision) const {
        return find_step(decision_, provision);
    }

    [[nodiscard]] std::string cite(const std::string& provision) const {
        const Step* found = step(provision);
        return found == nullptr ? provision : found->cite;
    }

    [[nodiscard]] std::string cites(const std::vector<std::string>& provisions) const {
        return toprail::cites(decision_, provisions);
    }

    void tell_ground(const Step& step) {
        sheet_.line(6, step.gist);
        for (const Reason& reason : step.because) {
            const std::string lead = reason.truth == "true"    ? "since "
                                     : reason.truth == "false" ? "since it is not so that "
                                                               : "if ";
            sheet_.line(8, lead + reason.says);
            for (const Reason& each : reason.since) {
                if (length_ == Length::everything) {
                    sheet_.line(10, each.says + ": " + std::string(each.truth));
                }
            }
        }
        sheet_.line(8, source_text(step));
        if (!step.in_force.empty()) {
            sheet_.line(10, step.in_force);
        }
        if (!step.source_note.empty()) {
            sheet_.line(10, "source: " + step.source_note);
        }
    }

    void tell_grounds(const std::vector<std::string>& provisions) {
        if (length_ == Length::answer) {
            return;
        }
        // One paragraph may reach the case through several authorities: it is told once.
        std::set<std::string> told;
        for (const std::string& provision : provisions) {
            const Step* found = step(provision);
            if (found != nullptr && told.insert(found->cite + found->gist).second) {
                tell_ground(*found);
            }
        }
    }

    static std::string outcome_text(const DutyDecision& duty) {
        const std::string text = upper(word(duty.outcome));
        if (duty.outcome != Outcome::undetermined) {
            return duty.contested == Perhaps::yes ? text + " (contested)" : text;
        }
        if (depends_on_plan(duty)) {
            return "DEPENDS ON THE PLAN: " + outcomes_by_plan(duty);
        }
        std::vector<std::string> possible;
        for (const Outcome outcome : duty.possible) {
            possible.emplace_back(word(outcome));
        }
        return text + ": " + joined(possible, " or ");
    }

    // The first duty of the vocabulary is the question people come with: it is always told in full.
    static bool headline(const DutyDecision& duty) { return duty.rank == 0; }

    void tell_duty(const DutyDecision& duty) {
        sheet_.entry(duty.reads, outcome_text(duty));
        const bool undetermined = duty.outcome == Outcome::undetermined;
        if (!duty.spoken_of) {
            sheet_.line(4, nobody_speaks_of_it);
        }
        if (undetermined && !duty.waits_for_plan) {
            const std::string first =
                duty.settled_by.size() > 1 ? "; ask first: " + duty.ask_next : "";
            sheet_.line(4, "settled by: " + settling(duty.settled_by) + first +
                               "; until then act as if " + std::string(word(duty.act_as_if)));
        }
        for (const auto& [provision, terms] : duty.terms) {
            sheet_.line(4, "on these terms: " + terms + " (" + cite(provision) + ")");
        }
        if (length_ != Length::answer && only_open_grounds(decision_, duty)) {
            sheet_.line(4, whichever_way);
        }
        if (headline(duty) || length_ == Length::everything || duty.outcome == Outcome::required ||
            duty.outcome == Outcome::required_with_exception) {
            tell_grounds(duty.provisions);
        } else if (length_ == Length::reasons && !duty.provisions.empty()) {
            sheet_.line(6, cites(duty.provisions));
        }
    }

    void tell_duties() {
        std::vector<const DutyDecision*> duties;
        for (const DutyDecision& duty : decision_.duties) {
            duties.push_back(&duty);
        }
        std::sort(duties.begin(), duties.end(),
                  [](const DutyDecision* a, const DutyDecision* b) { return a->rank < b->rank; });
        std::vector<std::string> quiet;
        // Lesser duties that turn on the plan in the same way are told together.
        std::map<std::string, std::vector<std::string>> by_plan;
        for (const DutyDecision* duty : duties) {
            if (duty->outcome == Outcome::not_addressed && !headline(*duty)) {
                quiet.push_back(duty->reads);
            } else if (depends_on_plan(*duty) && !headline(*duty)) {
                by_plan[outcome_text(*duty)].push_back(duty->reads + " (" +
                                                       cites(duty->provisions) + ")");
            } else {
                tell_duty(*duty);
            }
        }
        for (const auto& [text, named] : by_plan) {
            sheet_.entry("with the plan", text);
            for (const std::string& each : named) {
                sheet_.line(6, each);
            }
        }
        if (!quiet.empty() && length_ != Length::answer) {
            sheet_.entry("not addressed", joined(quiet));
        }
    }

    // Values with the same citations against them, told together.
    void tell_values(std::string_view lead,
                     const std::map<std::string, std::vector<std::string>>& values) {
        std::map<std::string, std::vector<std::string>> by_cites;
        for (const auto& [value, by] : values) {
            by_cites[cites(by)].push_back(value);
        }
        for (const auto& [cited, named] : by_cites) {
            sheet_.line(4, std::string(lead) + joined(named) + " (" + cited + ")");
        }
    }

    void tell_choices() {
        for (const ChoiceDecision& choice : decision_.choices) {
            if (choice.barred.empty() && choice.open.empty()) {
                continue;
            }
            sheet_.entry(choice.choice,
                         choice.empty == Perhaps::yes
                             ? "NOTHING SATISFIES EVERY AUTHORITY: stop and ask"
                             : "admissible: " + (choice.admissible.empty()
                                                     ? std::string("none for certain")
                                                     : joined(choice.admissible)));
            if (length_ != Length::answer) {
                tell_values("may still be barred: ", choice.open);
                tell_values("barred: ", choice.barred);
            }
        }
    }

    void tell_limits() {
        for (const LimitDecision& limit : decision_.limits) {
            std::string text;
            for (const Bound& bound : limit.bounds) {
                const bool conditional = bound.status == Status::open;
                if (!bound.strictest && !conditional && length_ != Length::everything) {
                    continue;
                }
                text += text.empty() ? "" : "; ";
                if (conditional) {
                    text += bound.when.empty() ? "perhaps " : "if " + bound.when + ": ";
                }
                text += (bound.at_most ? "at most " : "at least ") + bound.text + " (" +
                        cite(bound.provision) + ")";
            }
            if (!text.empty()) {
                sheet_.entry(limit.quantity, text);
            }
        }
    }

    // What the plan breaks is told line by line; what it meets and what is open, in one line each.
    void tell_plan() {
        std::vector<std::string> met;
        std::vector<std::string> open;
        for (const Fit& fit : decision_.fit) {
            const DutyDecision* duty = fit.about == "duty" ? decision_.duty(fit.name) : nullptr;
            const bool asked = duty == nullptr || duty->outcome == Outcome::required ||
                               duty->outcome == Outcome::required_with_exception;
            if (fit.verdict == Verdict::not_met) {
                sheet_.entry("plan, " + fit.name,
                             "NOT MET: " + fit.reason + " (" + cites(fit.provisions) + ")");
            } else if (asked) {
                (fit.verdict == Verdict::met ? met : open).push_back(fit.name);
            }
        }
        if (!met.empty()) {
            sheet_.entry("plan, met", joined(met));
        }
        if (!open.empty()) {
            sheet_.entry("plan, open", joined(open));
        }
    }

    // Remarks on duties; those on gear and figures are many and come with "everything".
    void tell_remarks() {
        for (const Step& step : decision_.trail) {
            constexpr std::string_view lead = "remarks on ";
            if (step.status != Status::stands || !step.effect.starts_with(lead)) {
                continue;
            }
            const DutyDecision* duty = decision_.duty(step.effect.substr(lead.size()));
            if (length_ == Length::everything || (duty != nullptr && headline(*duty))) {
                sheet_.entry("remark", step.gist + " (" + step.cite + ") [" + step.standing + ", " +
                                           step.source + "]");
            }
        }
    }

    // Who or what the facts came from. With "everything" those of which that was not told as well.
    void tell_facts() {
        std::size_t without_source = 0;
        for (const FactEntry& fact : decision_.facts) {
            if (!fact.from.empty() || length_ == Length::everything) {
                sheet_.entry("fact given",
                             fact.name + ": " + value_text(fact) +
                                 (fact.from.empty() ? ", from: not told" : ", from: " + fact.from));
            } else {
                ++without_source;
            }
        }
        if (without_source != 0) {
            sheet_.entry("facts given", std::to_string(without_source) +
                                            " more, of which nobody told who or what they came "
                                            "from, are not listed here");
        }
    }

    void tell_quantities() {
        for (const QuantityValue& each : decision_.quantities) {
            std::string text = each.value;
            if (!each.formula.empty()) {
                text += " = " + each.formula + " = " + each.filled;
            }
            sheet_.entry(each.quantity, text);
        }
    }

    void tell_everything() {
        sheet_.line(2, "everything considered:");
        for (const Step& step : decision_.trail) {
            sheet_.line(4, step.provision + ": " + std::string(word(step.status)) + "; " +
                               step.effect);
            if (!step.displaced_by.empty()) {
                sheet_.line(8, displacing_text(step));
            }
            tell_ground(step);
        }
    }

    // Authorities that can ask something, then those that only explain.
    void tell_governing() {
        std::string binding;
        std::string explaining;
        for (const Governing& one : decision_.governing) {
            std::string& text = only_explains(one) ? explaining : binding;
            text += (text.empty() ? "" : ", ") + one.authority;
            if (one.governs == Perhaps::possibly) {
                text += " (possibly; settle " + joined(one.settled_by) + ")";
            }
        }
        sheet_.entry("governed by", binding.empty() ? "no authority on the shelf" : binding);
        if (!explaining.empty()) {
            sheet_.entry("explained by", explaining);
        }
    }

    // Which text was weighed, and up to when it was compared with its source; packs that only
    // explain come with "everything".
    void tell_packs() {
        std::map<std::string, std::vector<std::string>> by_dates;
        for (const PackUsed& pack : decision_.packs) {
            const auto one = std::find_if(
                decision_.governing.begin(), decision_.governing.end(),
                [&pack](const Governing& each) { return each.authority == pack.authority; });
            if (length_ == Length::everything || one == decision_.governing.end() ||
                !only_explains(*one)) {
                by_dates["edition of " + pack.edition + ", compared with its source up to " +
                         (pack.verified_through.empty() ? "no day" : pack.verified_through)]
                    .push_back(pack.authority + (pack.role == PackRole::names_authorities
                                                     ? " (says who governs)"
                                                     : ""));
            }
        }
        for (const auto& [dates, named] : by_dates) {
            std::set<std::string> once(named.begin(), named.end());
            sheet_.entry("text weighed", joined({once.begin(), once.end()}) + ": " + dates);
        }
    }

    void tell_cautions() {
        for (const std::string& caution : decision_.cautions) {
            sheet_.entry("caution", caution);
        }
    }

    const Decision& decision_;
    Length length_;
    Sheet sheet_;
};

}  // namespace

std::string tell_text(const Decision& decision, const std::string& case_name,
                      const std::string& says, Length length) {
    return Teller(decision, length).tell(case_name, says);
}

std::string tell_line(std::string_view text) {
    std::string line = shown_on_one_line(text);
    const auto both_blank = [](char a, char b) { return a == ' ' && b == ' '; };
    line.erase(std::unique(line.begin(), line.end(), both_blank), line.end());
    return line;
}

}  // namespace toprail
