// Entry point: tell_html. One page that needs nothing else: no script, no picture, no font from
// outside. Words carry every outcome; there is no colour but black on white. Headings, landmarks
// and table heads let a screen reader find its way.
#include "findings/text.hpp"
#include "telling/sources.hpp"
#include "toprail/telling.hpp"

#include <algorithm>
#include <iterator>
#include <set>
#include <stdexcept>

namespace toprail {
namespace {

constexpr std::string_view style =
    "body{font:1rem/1.45 serif;max-width:60rem;margin:1rem auto;padding:0 1rem;color:#000;"
    "background:#fff}h1{font-size:1.4rem}h2{font-size:1.15rem;border-bottom:1px solid #000;"
    "margin-top:1.6rem}h3{font-size:1rem;margin:1.2rem 0 .3rem}p,ul{margin:.4rem 0}"
    "li{margin:.3rem 0}table{border-collapse:collapse;width:100%;margin:.5rem 0}"
    "caption{text-align:left;font-style:italic}th,td{border:1px solid #000;padding:.2rem "
    ".5rem;text-align:left;vertical-align:top;min-width:4rem;overflow-wrap:anywhere}"
    "th[scope=row]{font-weight:normal}.outcome{display:table;border:2px solid #000;"
    "padding:.1rem .6rem;font-weight:bold}a{color:#000}article{border-top:3px solid "
    "#000}.cite{font-size:.9rem}"
    "@media (max-width:40rem){body{padding:0 .4rem}th,td{font-size:.8rem;padding:.1rem .25rem}}"
    "@media print{html{font-size:10pt}body{margin:0;padding:0;max-width:none}"
    "th,td{font-size:.9rem}h2,h3,h4,caption,.outcome{break-after:avoid}tr,li{break-inside:avoid}"
    "article{break-before:page}"
    "thead{display:table-header-group}}";

// Text of any origin, made harmless: marks of HTML are escaped, characters that hide text are
// shown.
std::string escaped(std::string_view text) {
    std::string out;
    for (const char c : shown(text)) {
        switch (c) {
        case '&':
            out += "&amp;";
            break;
        case '<':
            out += "&lt;";
            break;
        case '>':
            out += "&gt;";
            break;
        case '"':
            out += "&quot;";
            break;
        default:
            out += c;
        }
    }
    return out;
}

/// HTML that is put together from texts of any origin.
class Writer {
  public:
    Writer& raw(std::string_view html) {
        out_ += html;
        return *this;
    }
    Writer& text(std::string_view plain) {
        out_ += escaped(plain);
        return *this;
    }
    void element(std::string_view tag, std::string_view plain) {
        raw("<").raw(tag).raw(">").text(plain).raw("</").raw(tag).raw(">\n");
    }
    void open_page(const std::string& title, const std::string& says, const std::string& origin) {
        raw("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta "
            "name=\"viewport\" content=\"width=device-width\">\n<title>");
        text(title);
        raw("</title>\n<style>").raw(style).raw("</style>\n</head>\n<body>\n<header>\n");
        element("h1", title);
        for (std::size_t at = 0; at < origin.size();) {
            const std::size_t end = std::min(origin.find('\n', at), origin.size());
            element("p", std::string_view(origin).substr(at, end - at));
            at = end + 1;
        }
        if (!says.empty()) {
            element("p", "described as: " + says);
        }
        raw("</header>\n<main>\n");
    }
    void close_page() { raw("</body>\n</html>\n"); }
    std::string take() { return std::move(out_); }

  private:
    std::string out_;
};

/// One case, on a page of its own or as one article of several.
class CasePart {
  public:
    /// `number` is 0 for a case alone; otherwise it tells the ids of one case from those of others.
    CasePart(Writer& page, const Decision& decision, Length length, std::size_t number)
        : page_(page),
          decision_(decision),
          length_(length),
          id_lead_(number == 0 ? "" : "case-" + std::to_string(number) + "-"),
          level_(number == 0 ? 2 : 3) {}

    void tell() {
        for (const std::string& caution : decision_.cautions) {
            if (comes_first(caution)) {
                raw("<p><strong>Stop and ask:</strong> ").text(caution).raw("</p>\n");
            }
        }
        tell_duties();
        tell_choices();
        tell_limits();
        tell_plan();
        if (length_ != Length::answer) {
            tell_facts();
        }
        if (length_ == Length::everything) {
            tell_quantities();
            tell_steps();
        }
        tell_packs();
    }

    void tell_cautions() {
        open_section("cautions", "Cautions");
        raw("<ul>\n");
        for (const std::string& caution : decision_.cautions) {
            element("li", caution);
        }
        raw("</ul>\n");
        close_section();
    }

  private:
    Writer& raw(std::string_view html) { return page_.raw(html); }
    Writer& text(std::string_view plain) { return page_.text(plain); }
    void element(std::string_view tag, std::string_view plain) { page_.element(tag, plain); }
    [[nodiscard]] std::string heading(std::size_t below) const {
        return "h" + std::to_string(level_ + below);
    }
    // A section is a landmark by the name of its heading.
    void open_section(std::string_view id, std::string_view name) {
        const std::string whole = id_lead_ + std::string(id);
        raw("<section aria-labelledby=\"").raw(whole).raw("\">\n<").raw(heading(0));
        raw(" id=\"").raw(whole).raw("\">").text(name).raw("</").raw(heading(0)).raw(">\n");
    }
    void close_section() { raw("</section>\n"); }

    void open_table(std::string_view caption, const std::vector<std::string_view>& heads) {
        raw("<table>\n<caption>").text(caption).raw("</caption>\n<thead><tr>");
        for (const std::string_view head : heads) {
            raw("<th scope=\"col\">").text(head).raw("</th>");
        }
        raw("</tr></thead>\n<tbody>\n");
    }
    // The name of a provision may be broken after its dots and its stroke.
    Writer& row_name(std::string_view name) {
        for (std::size_t end = name.find_first_of("./"); end != std::string_view::npos;
             end = name.find_first_of("./")) {
            text(name.substr(0, end + 1)).raw("<wbr>");
            name.remove_prefix(end + 1);
        }
        return text(name);
    }
    // The first cell names the row.
    void row(const std::vector<std::string>& cells) {
        raw("<tr>");
        for (std::size_t i = 0; i < cells.size(); ++i) {
            raw(i == 0 ? "<th scope=\"row\">" : "<td>");
            if (i == 0) {
                row_name(cells[i]);
            } else {
                text(cells[i]);
            }
            raw(i == 0 ? "</th>" : "</td>");
        }
        raw("</tr>\n");
    }
    void close_table() { raw("</tbody>\n</table>\n"); }

    [[nodiscard]] const Step* step(const std::string& provision) const {
        return find_step(decision_, provision);
    }

    [[nodiscard]] std::string cites(const std::vector<std::string>& provisions) const {
        return toprail::cites(decision_, provisions);
    }

    [[nodiscard]] std::string because(const Step& step) const {
        std::string all;
        for (const Reason& reason : step.because) {
            all += (all.empty() ? "" : "; ") + reason.says + ": " + std::string(reason.truth);
            std::vector<std::string> since;
            for (const Reason& each : reason.since) {
                since.push_back(each.says + ": " + std::string(each.truth));
            }
            if (length_ == Length::everything && !since.empty()) {
                all += " (since " + joined(since, "; ") + ")";
            }
        }
        return all;
    }

    void tell_grounds(const std::vector<std::string>& provisions) {
        raw("<ul>\n");
        // One paragraph may reach the case through several authorities: it is told once.
        std::set<std::string> told;
        for (const std::string& provision : provisions) {
            const Step* found = step(provision);
            if (found == nullptr || !told.insert(found->cite + found->gist).second) {
                continue;
            }
            raw("<li>").text(found->gist);
            const std::string reasons = because(*found);
            if (!reasons.empty()) {
                raw("<br>").text(reasons);
            }
            raw("<br><cite class=\"cite\">").text(source_text(*found)).raw("</cite>");
            if (!found->in_force.empty()) {
                raw("<br>").text(found->in_force);
            }
            if (!found->source_note.empty()) {
                raw("<br>source: ").text(found->source_note);
            }
            raw("</li>\n");
        }
        raw("</ul>\n");
    }

    void tell_duty(const DutyDecision& duty) {
        element(heading(1), duty.asks);
        const bool by_plan = depends_on_plan(duty);
        raw("<p class=\"outcome\">");
        text(by_plan ? "depends on the plan: " + outcomes_by_plan(duty)
                     : std::string(word(duty.outcome)));
        if (duty.contested == Perhaps::yes) {
            raw(" (contested)");
        }
        raw("</p>\n");
        if (!duty.spoken_of) {
            std::string says = nobody_speaks_of_it;
            says.front() = 'N';
            element("p", says + ".");
        }
        if (duty.outcome == Outcome::undetermined && !by_plan) {
            std::vector<std::string> possible;
            for (const Outcome outcome : duty.possible) {
                possible.emplace_back(word(outcome));
            }
            element("p", "Possible: " + joined(possible, " or ") +
                             ". Settled by: " + settling(duty.settled_by) +
                             ". Until settled, act as if: " + std::string(word(duty.act_as_if)) +
                             ".");
        }
        for (const auto& [provision, terms] : duty.terms) {
            element("p", "On these terms: " + terms + " (" + cites({provision}) + ")");
        }
        if (length_ != Length::answer && !duty.provisions.empty()) {
            if (only_open_grounds(decision_, duty)) {
                element("p", whichever_way);
            }
            tell_grounds(duty.provisions);
        }
    }

    void tell_duties() {
        open_section("duties", "What is required");
        std::vector<const DutyDecision*> duties;
        for (const DutyDecision& duty : decision_.duties) {
            duties.push_back(&duty);
        }
        std::sort(duties.begin(), duties.end(),
                  [](const DutyDecision* a, const DutyDecision* b) { return a->rank < b->rank; });
        std::vector<std::string> quiet;
        for (const DutyDecision* duty : duties) {
            // The first duty of the vocabulary is the question people come with.
            if (duty->outcome == Outcome::not_addressed && duty->rank != 0) {
                quiet.push_back(duty->reads);
            } else {
                tell_duty(*duty);
            }
        }
        if (!quiet.empty()) {
            element("p", "Not addressed: " + joined(quiet) + ".");
        }
        close_section();
    }

    void tell_choices() {
        if (decision_.choices.empty()) {
            return;
        }
        open_section("choices", "What may be chosen");
        open_table("Values left by every authority, and those taken away",
                   {"Choice", "Admissible", "Open", "Barred"});
        for (const ChoiceDecision& choice : decision_.choices) {
            row({choice.reads,
                 choice.empty == Perhaps::yes ? "nothing satisfies every authority: stop and ask"
                 : choice.admissible.empty()  ? "none for certain"
                                              : joined(choice.admissible),
                 by_provision(choice.open), by_provision(choice.barred)});
        }
        close_table();
        close_section();
    }

    [[nodiscard]] std::string
    by_provision(const std::map<std::string, std::vector<std::string>>& values) const {
        std::string all;
        for (const auto& [value, by] : values) {
            all += (all.empty() ? "" : "; ") + value + " (" + cites(by) + ")";
        }
        return all.empty() ? "none" : all;
    }

    void tell_limits() {
        if (decision_.limits.empty()) {
            return;
        }
        open_section("limits", "Limits");
        open_table("The strictest bound holds", {"Quantity", "Value", "Bound", "Under"});
        for (const LimitDecision& limit : decision_.limits) {
            for (const Bound& bound : limit.bounds) {
                const bool open = bound.status == Status::open;
                if (!bound.strictest && !open && length_ != Length::everything) {
                    continue;
                }
                const std::string lead = !open                ? ""
                                         : bound.when.empty() ? "perhaps "
                                                              : "if " + bound.when + ": ";
                row({limit.reads, limit.value.empty() ? "not known" : limit.value,
                     lead + (bound.at_most ? "at most " : "at least ") + bound.text +
                         (bound.strictest ? " (strictest)" : ""),
                     cites({bound.provision})});
            }
        }
        close_table();
        close_section();
    }

    void tell_plan() {
        if (decision_.fit.empty()) {
            return;
        }
        open_section("plan", "The plan held against it");
        open_table("What is planned", {"About", "Verdict", "Why"});
        for (const Fit& fit : decision_.fit) {
            // A duty that asks for nothing is no part of what the plan meets.
            if (fit.about != "duty" || fit.verdict != Verdict::met || asked(fit)) {
                row({fit.name, std::string(word(fit.verdict)), fit.reason});
            }
        }
        close_table();
        close_section();
    }

    [[nodiscard]] bool asked(const Fit& fit) const {
        const DutyDecision* duty = decision_.duty(fit.name);
        return duty != nullptr && (duty->outcome == Outcome::required ||
                                   duty->outcome == Outcome::required_with_exception);
    }

    void tell_facts() {
        open_section("facts", "Facts as given");
        open_table("Every fact, and who or what it came from", {"Fact", "Value", "From"});
        for (const FactEntry& fact : decision_.facts) {
            row({fact.name, value_text(fact), fact.from.empty() ? "not told" : fact.from});
        }
        close_table();
        close_section();
    }

    void tell_quantities() {
        if (decision_.quantities.empty()) {
            return;
        }
        open_section("quantities", "Figures worked out");
        open_table("Formulas with their terms filled in",
                   {"Quantity", "Value", "Formula", "Filled in"});
        for (const QuantityValue& each : decision_.quantities) {
            row({each.reads, each.value, each.formula, each.filled});
        }
        close_table();
        close_section();
    }

    void tell_steps() {
        open_section("steps", "Everything considered");
        open_table("Every provision weighed, in order",
                   {"Provision", "Became", "Effect", "Because", "Source"});
        for (const Step& each : decision_.trail) {
            std::string became(word(each.status));
            if (!each.displaced_by.empty()) {
                became += "; " + displacing_text(each);
            }
            row({each.provision, became, each.effect, because(each),
                 source_text(each) + (each.in_force.empty() ? "" : "; " + each.in_force)});
        }
        close_table();
        close_section();
    }

    void tell_packs() {
        open_section("authorities", "Under whose rules");
        if (decision_.governing.empty()) {
            element("p", "No authority on the shelf governs this case.");
        }
        open_table("Authorities and editions", {"Authority", "Edition", "Picked by",
                                                "Compared with its source until", "Counts"});
        for (const PackUsed& pack : decision_.packs) {
            row({pack.authority + ": " + pack.title +
                     (pack.role == PackRole::adopted && !pack.adopted_by.empty()
                          ? ", adopted by " + pack.adopted_by
                      : pack.role == PackRole::adopted           ? ", adopted"
                      : pack.role == PackRole::names_authorities ? ", which says who governs"
                                                                 : ""),
                 pack.edition,
                 pack.picked_by.empty() ? "not recorded" : pack.picked_by + " " + pack.picked_date,
                 pack.verified_through.empty() ? "never" : pack.verified_through,
                 std::string(word(pack.counts))});
        }
        close_table();
        close_section();
    }

    Writer& page_;
    const Decision& decision_;
    Length length_;
    std::string id_lead_;
    std::size_t level_;
};

}  // namespace

std::string tell_html(const Decision& decision, const std::string& case_name,
                      const std::string& says, Length length, const std::string& origin) {
    Writer page;
    page.open_page(case_name + ", decided for " + decision.on.text(), says, origin);
    CasePart part(page, decision, length, 0);
    part.tell();
    page.raw("</main>\n<footer>\n");
    part.tell_cautions();
    page.raw("</footer>\n");
    page.close_page();
    return page.take();
}

CasesPage::CasesPage(std::vector<std::string> names, std::string title, Length length)
    : names_(std::move(names)),
      title_(std::move(title)),
      length_(length) {}

std::string CasesPage::begin() const {
    Writer page;
    page.open_page(title_, {}, {});
    page.raw("<nav aria-label=\"Cases\">\n<ul>\n");
    for (std::size_t i = 1; i <= names_.size(); ++i) {
        page.raw("<li><a href=\"#case-" + std::to_string(i) + "\">").text(names_[i - 1]);
        page.raw("</a></li>\n");
    }
    page.raw("</ul>\n</nav>\n");
    return page.take();
}

std::string CasesPage::pass_over(std::size_t until) {
    Writer page;
    for (; told_ < until; ++told_) {
        page.raw("<article>\n<h2 id=\"case-" + std::to_string(told_ + 1) + "\">");
        page.text(names_[told_]).raw("</h2>\n");
        page.element("p", "This case has no answer here, which is no leave to go without: ask a "
                          "competent person.");
        page.raw("</article>\n");
    }
    return page.take();
}

std::string CasesPage::tell(const std::string& name, const Decision& decision,
                            const std::string& says) {
    const auto from = std::next(names_.begin(), static_cast<std::ptrdiff_t>(told_));
    const auto found = std::find(from, names_.end(), name);
    if (found == names_.end()) {
        throw std::invalid_argument("no case of that name is left on this page");
    }
    Writer page;
    page.raw(pass_over(static_cast<std::size_t>(found - names_.begin())));
    const std::string id = "case-" + std::to_string(++told_);
    page.raw("<article aria-labelledby=\"" + id + "\">\n<h2 id=\"" + id + "\">");
    page.text(name + ", decided for " + decision.on.text()).raw("</h2>\n");
    if (!says.empty()) {
        page.element("p", "described as: " + says);
    }
    CasePart part(page, decision, length_, told_);
    part.tell();
    part.tell_cautions();
    page.raw("</article>\n");
    return page.take();
}

std::string CasesPage::end() {
    Writer page;
    page.raw(pass_over(names_.size()));
    page.raw("</main>\n");
    page.close_page();
    return page.take();
}

}  // namespace toprail
