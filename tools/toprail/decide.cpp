#include "commands.hpp"
#include "decide_lines.hpp"
#include "receipts.hpp"
#include "toprail/changes.hpp"
#include "toprail/signature.hpp"
#include "toprail/telling.hpp"
#include "toprail/worked_cases.hpp"

#include <iostream>
#include <map>
#include <memory>
#include <optional>
#include <set>

namespace toprail::command {
namespace {

struct Options {
    std::string facts;
    std::vector<std::string> authorities;
    std::string on;
    std::vector<std::string> packs;
    std::string format = "text";
    std::string length = "reasons";
    std::size_t budget = DecideOptions{}.budget;
    ReceiptPlan receipts;
    std::string only_case;
    std::string what_would_change;
    std::vector<std::string> approved_by;
    LinesOptions lines;
};

// What would change one duty, under its decision. Throws Unusable when there is no such duty.
std::string tell_changes(const Shelf& shelf, const Case& one, Date on, const DecideOptions& how,
                         const std::string& duty) {
    const Changes found = smallest_changes(shelf, one.facts, on, duty, how);
    if (has_error(found.findings)) {
        print_findings(found.findings);
        throw Unusable{};
    }
    std::string out = "  what would change " + duty + ": ";
    if (found.changes.empty()) {
        return out + (found.proved_smallest
                          ? "no change of one or two facts (proved)\n"
                          : "no change of one or two facts was found (not proved)\n");
    }
    out += found.proved_smallest ? "the smallest changes (proved smallest)\n"
                                 : "changes that were found (perhaps not the smallest)\n";
    for (const Change& change : found.changes) {
        out += "    if ";
        for (std::size_t i = 0; i < change.facts.size(); ++i) {
            const FactChange& fact = change.facts[i];
            out += (i == 0 ? "" : " and ") + tell_line(fact.now + " (now " + fact.was + ")");
        }
        out += ": " + std::string(word(change.outcome)) + "\n";
        for (const std::string& provision : change.brings_in) {
            out += "      brings in " + provision + "\n";
        }
        for (const std::string& provision : change.takes_away) {
            out += "      takes away " + provision + "\n";
        }
    }
    return out;
}

LoadOptions load_options(const Options& options) {
    LoadOptions how;
    if (!options.approved_by.empty()) {
        how.approve = signed_by(read_public_keys(options.approved_by));
    }
    return how;
}

// Keeps the case that was asked for alone.
void choose_case(const Options& options, FactsFile& file) {
    if (!options.only_case.empty()) {
        constexpr std::size_t most_names = 20;
        std::vector<std::string> names;
        for (const Case& each : file.cases) {
            names.push_back(each.name);
        }
        std::erase_if(file.cases, [&](const Case& each) { return each.name != options.only_case; });
        if (file.cases.empty()) {
            std::cerr << "toprail: no case is called " << tell_line(options.only_case)
                      << "; there are";
            for (std::size_t i = 0; i < names.size() && i < most_names; ++i) {
                std::cerr << (i == 0 ? " " : ", ") << tell_line(names[i]);
            }
            std::cerr << (names.size() > most_names ? ", ...\n" : "\n");
            throw Unusable{};
        }
    }
    if (!options.what_would_change.empty() && options.format != "text") {
        std::cerr << "toprail: --what-would-change is told in text; leave out --format\n";
        throw Unusable{};
    }
    if (options.format == "dot" && file.cases.size() != 1) {
        std::cerr << "toprail: a drawing tells one case; name it with --case\n";
        throw Unusable{};
    }
}

// Somebody may have edited a rulepack and not looked at it since. Said in every answer that rests
// on it, which stands as these rulepacks give it; receipts hold the answer as it was decided.
class FailingCases {
  public:
    explicit FailingCases(const Shelf& shelf) : shelf_(shelf) {}

    void warn(Decision& decision) {
        std::set<std::string> cautions;
        for (const PackUsed& pack : decision.packs) {
            const auto [found, first_met] = by_authority_.try_emplace(pack.authority);
            if (first_met) {
                find(pack.authority, found->second);
            }
            cautions.insert(found->second.begin(), found->second.end());
        }
        decision.cautions.insert(decision.cautions.begin(), cautions.begin(), cautions.end());
    }

  private:
    void find(const std::string& authority, std::vector<std::string>& cautions) {
        std::map<std::string, std::size_t> failing;  // by file
        for (const Finding& finding : failing_worked_cases(shelf_, {authority})) {
            ++failing[finding.place.file];
        }
        for (const auto& [file, count] : failing) {
            cautions.push_back("worked cases in " + tell_line(file) + " come out differently (" +
                               std::to_string(count) +
                               "), so that answers that rest on it may be wrong; toprail lint "
                               "says which");
            std::cerr << "toprail: warning: " << cautions.back() << "\n";
        }
    }

    const Shelf& shelf_;
    std::map<std::string, std::vector<std::string>> by_authority_;
};

// Tells one case after the other and keeps none of them: of a case of which little is known, the
// decision alone takes megabytes.
class Telling {
  public:
    Telling(const Options& options, const FactsFile& file, const Shelf& shelf, Date on,
            const DecideOptions& how)
        : options_(options),
          file_(file),
          shelf_(shelf),
          on_(on),
          how_(how) {
        if (options.format == "html" && file.cases.size() > 1) {
            std::vector<std::string> names;
            for (const Case& each : file.cases) {
                names.push_back(each.name);
            }
            const std::string site =
                file.site.empty() ? std::to_string(names.size()) + " cases" : file.site;
            page_.emplace(std::move(names), site + ", decided for " + on.text(), length());
        }
    }

    std::string tell(const Case& one, const Decision& decision) {
        const bool first = &one == &file_.cases.front();
        if (options_.format == "html") {
            return tell_page(one, decision, first);
        }
        if (options_.format == "json") {
            std::string out = first ? "[\n" : ",\n";
            append_json(out, decision, one.name);
            return out;
        }
        if (options_.format == "dot") {
            return draw_dot(decision, one.name);
        }
        std::string out;
        if (first) {
            out = (file_.site.empty() ? "" : tell_line(file_.site) + ", ") + "decided for " +
                  on_.text() + "\n";
        }
        out += "\n" + tell_text(decision, one.name, one.says, length());
        if (!options_.what_would_change.empty()) {
            out += tell_changes(shelf_, one, on_, how_, options_.what_would_change);
        }
        return out;
    }

    [[nodiscard]] std::string end() {
        return options_.format == "json" ? "\n]\n" : page_ ? page_->end() : "";
    }

  private:
    [[nodiscard]] Length length() const { return length_of(options_.length); }

    // A case alone has the page to itself.
    std::string tell_page(const Case& one, const Decision& decision, bool first) {
        if (!page_) {
            return tell_html(decision, one.name, one.says, length(),
                             file_.site.empty() ? "" : "site: " + tell_line(file_.site));
        }
        return (first ? page_->begin() : "") + page_->tell(one.name, decision, one.says);
    }

    const Options& options_;
    const FactsFile& file_;
    const Shelf& shelf_;
    Date on_;
    const DecideOptions& how_;
    std::optional<CasesPage> page_;
};

// Whether every case can be decided; those that cannot are told. An unreadable fact in the last one
// must not leave half an answer behind.
bool all_usable(const FactsFile& file, const Shelf& shelf, Date on, const DecideOptions& how) {
    bool usable = true;
    for (const Case& each : file.cases) {
        const std::vector<Finding> findings = shelf.check(each.facts, on, how);
        if (has_error(findings)) {
            std::cerr << "case " << tell_line(each.name) << ":\n";
            print_findings(findings);
            usable = false;
        }
    }
    if (!usable) {
        std::cerr << "toprail: nothing was decided; --case decides one of the others alone\n";
    }
    return usable;
}

// Before anything is decided or kept; a name that is none is told with those that there are.
bool is_duty(const Shelf& shelf, const std::string& name) {
    std::string names;
    for (const DutyInfo& duty : shelf.duties()) {
        if (duty.name == name) {
            return true;
        }
        names += (names.empty() ? "" : ", ") + duty.name;
    }
    std::cerr << "toprail: no duty is called " << tell_line(name) << "; there are "
              << tell_line(names) << "\n";
    return false;
}

int decide_each(const Options& options, const FactsFile& file, const Shelf& shelf, Date on,
                const DecideOptions& how) {
    ReceiptKeeper keeper(options.receipts, shelf);
    if (!options.what_would_change.empty() && !is_duty(shelf, options.what_would_change)) {
        return Exit::unusable;
    }
    if (!all_usable(file, shelf, on, how) || !keeper.ready(file)) {
        return Exit::unusable;
    }
    FailingCases failing(shelf);
    Telling telling(options, file, shelf, on, how);
    bool open = false;
    for (const Case& each : file.cases) {
        Answer answer = keeper.decide(file.site, each, on, how);
        if (!answer.decision) {
            std::cerr << "case " << tell_line(each.name) << ":\n";
            print_findings(answer.findings);
            return Exit::unusable;
        }
        failing.warn(*answer.decision);
        open |= answer.decision->undetermined();
        std::cout << telling.tell(each, *answer.decision);
        if (!std::cout) {
            break;  // nobody sees the others
        }
    }
    std::cout << telling.end() << std::flush;
    if (!std::cout) {
        std::cerr << "toprail: the answer could not be written in full\n";
        return Exit::unusable;
    }
    return open ? Exit::undetermined : Exit::done;
}

int run_lines(const Options& options) {
    if (options.receipts.any() || !options.receipts.key_file.empty() ||
        options.receipts.redactable || !options.only_case.empty() ||
        !options.what_would_change.empty() || options.format != "text") {
        std::cerr << "toprail: --lines gives outcomes alone, without receipts, --case, --format or "
                     "--what-would-change; decide such cases by themselves\n";
        return Exit::unusable;
    }
    DecideOptions how;
    how.authorities = options.authorities;
    how.budget = options.budget;
    const Date on = read_day(options.on);
    return decide_lines_of(options.facts, load(options.packs, load_options(options)), on, how,
                           options.lines);
}

int run(const Options& options) {
    if (options.lines.lines) {
        return run_lines(options);
    }
    const Date on = read_day(options.on);
    const Limits limits;
    const std::string text = read_input(options.facts, limits.bytes);
    FactsFile file = read_facts(text, options.facts, limits);
    print_findings(file.findings);
    if (has_error(file.findings)) {
        if (looks_like_lines(options.facts, text)) {
            std::cerr << "toprail: if " << tell_line(options.facts)
                      << " holds one case a line, decide it with --lines\n";
        }
        return Exit::unusable;
    }
    choose_case(options, file);
    const Shelf shelf = load(options.packs, load_options(options));
    DecideOptions how;
    how.authorities = options.authorities;
    how.budget = options.budget;
    return decide_each(options, file, shelf, on, how);
}

}  // namespace

Run add_decide(CLI::App& app) {
    auto options = std::make_shared<Options>();
    CLI::App* verb = app.add_subcommand("decide", "Decide the cases of a facts file");
    verb->footer("Example: toprail decide --facts site.yaml --on 2024-06-01 --packs rulepacks");
    verb->add_option("--facts", options->facts, "Facts file, YAML or JSON; - for standard input")
        ->check(some_name())
        ->required();
    verb->add_option("--on", options->on, "Deciding date, such as 2024-06-01")->required();
    verb->add_option("--authority", options->authorities,
                     "Authority that governs; may be given several times. Without it the governing "
                     "rulepack decides who does");
    add_packs(*verb, options->packs);
    verb->add_option("--format", options->format,
                     "text, json, html (one page, with an article for each case), or dot (a "
                     "drawing, of one case: see --case)")
        ->check(CLI::IsMember({"text", "json", "html", "dot"}))
        ->capture_default_str();
    add_length(*verb, options->length);
    verb->add_option("--budget", options->budget,
                     "Work allowed for exact answers on unknown facts, in diagram nodes")
        ->check(whole_number())
        ->capture_default_str();
    verb->add_option("--case", options->only_case, "Decide the case of this name alone")
        ->check(some_name());
    verb->add_option("--what-would-change", options->what_would_change,
                     "Tell the smallest changes of facts that change this duty (text only)")
        ->check(some_name());
    verb->add_option("--approved-by", options->approved_by,
                     "File with a public key: load only rulepacks signed by one of those named");
    add_receipt_options(*verb, options->receipts);
    add_lines_options(*verb, options->lines);
    return [options] { return run(*options); };
}

}  // namespace toprail::command
