#include "commands.hpp"
#include "decide_lines.hpp"
#include "receipts.hpp"
#include "toprail/changes.hpp"
#include "toprail/signature.hpp"
#include "toprail/telling.hpp"
#include "toprail/worked_cases.hpp"

#include <algorithm>
#include <iostream>
#include <map>
#include <memory>
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
    if (options.format == "dot" && file.cases.size() != 1) {
        std::cerr << "toprail: a drawing tells one case; name it with --case\n";
        throw Unusable{};
    }
}

/// What was decided of one case, kept until all are.
struct Decided {
    const Case* of = nullptr;
    Decision decision;
};

// A case alone has the page to itself.
std::string tell_page(const FactsFile& file, const std::vector<Decided>& decided, Date on,
                      Length length) {
    if (decided.size() == 1) {
        const Case& one = *decided.front().of;
        return tell_html(decided.front().decision, one.name, one.says, length,
                         file.site.empty() ? "" : "site: " + file.site);
    }
    std::vector<CaseOnPage> cases;
    for (const Decided& each : decided) {
        cases.push_back({each.decision, each.of->name, each.of->says});
    }
    const std::string site =
        file.site.empty() ? std::to_string(cases.size()) + " cases" : file.site;
    return tell_html(cases, site + ", decided for " + on.text(), length);
}

// Somebody may have edited a rulepack and not looked at it since. Said in every answer, which
// stands as these rulepacks give it; receipts hold the answer as it was decided.
void warn_of_failing_cases(const Shelf& shelf, std::vector<Decided>& decided) {
    std::set<std::string> used;
    for (const Decided& each : decided) {
        for (const PackUsed& pack : each.decision.packs) {
            used.insert(pack.authority);
        }
    }
    std::map<std::string, std::size_t> failing;  // by file
    for (const Finding& finding : failing_worked_cases(shelf, used)) {
        ++failing[finding.place.file];
    }
    for (const auto& [file, count] : failing) {
        const std::string caution = "worked cases in " + tell_line(file) +
                                    " come out differently (" + std::to_string(count) +
                                    "), so that answers that rest on it may be wrong; toprail lint "
                                    "says which";
        std::cerr << "toprail: warning: " << caution << "\n";
        for (Decided& each : decided) {
            each.decision.cautions.insert(each.decision.cautions.begin(), caution);
        }
    }
}

// Every case that can be decided; false when some cannot, which is told.
bool decide_all(const FactsFile& file, Date on, const DecideOptions& how, ReceiptKeeper& keeper,
                std::vector<Decided>& decided) {
    bool usable = true;
    for (const Case& each : file.cases) {
        Answer answer = keeper.decide(file.site, each, on, how);
        if (answer.decision) {
            decided.push_back({&each, std::move(*answer.decision)});
        } else {
            std::cerr << "case " << tell_line(each.name) << ":\n";
            print_findings(answer.findings);
            usable = false;
        }
    }
    return usable;
}

std::string tell_each(const Options& options, const Shelf& shelf, const DecideOptions& how,
                      const std::vector<Decided>& decided, Date on) {
    std::string out = options.format == "json" ? "[" : "";
    for (const Decided& each : decided) {
        const bool first = &each == &decided.front();
        if (options.format == "json") {
            out += first ? "\n" : ",\n";
            append_json(out, each.decision, each.of->name);
        } else if (options.format == "dot") {
            out += draw_dot(each.decision, each.of->name);
        } else {
            out += first ? "" : "\n";
            out +=
                tell_text(each.decision, each.of->name, each.of->says, length_of(options.length));
            if (!options.what_would_change.empty()) {
                out += tell_changes(shelf, *each.of, on, how, options.what_would_change);
            }
        }
    }
    return out + (options.format == "json" ? "\n]\n" : "");
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
    ReceiptKeeper keeper(options.receipts, shelf);
    DecideOptions how;
    how.authorities = options.authorities;
    how.budget = options.budget;
    // Every case is decided before anything is printed: an unreadable fact in the last one must not
    // leave half an answer behind.
    std::vector<Decided> decided;
    if (!decide_all(file, on, how, keeper, decided) || !keeper.keep()) {
        return Exit::unusable;
    }
    warn_of_failing_cases(shelf, decided);
    const std::string out = options.format == "html"
                                ? tell_page(file, decided, on, length_of(options.length))
                                : tell_each(options, shelf, how, decided, on);
    if (options.format == "text") {
        std::cout << (file.site.empty() ? "" : tell_line(file.site) + ", ") << "decided for "
                  << on.text() << "\n\n";
    }
    std::cout << out << std::flush;
    if (!std::cout) {
        std::cerr << "toprail: the answer could not be written in full\n";
        return Exit::unusable;
    }
    const bool open = std::any_of(decided.begin(), decided.end(),
                                  [](const Decided& each) { return each.decision.undetermined(); });
    return open ? Exit::undetermined : Exit::done;
}

}  // namespace

Run add_decide(CLI::App& app) {
    auto options = std::make_shared<Options>();
    CLI::App* verb = app.add_subcommand("decide", "Decide the cases of a facts file");
    verb->footer("Example: toprail decide --facts site.yaml --on 2024-06-01 --packs rulepacks");
    verb->add_option("--facts", options->facts, "Facts file, YAML or JSON; - for standard input")
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
        ->capture_default_str();
    verb->add_option("--case", options->only_case, "Decide the case of this name alone");
    verb->add_option("--what-would-change", options->what_would_change,
                     "Tell the smallest changes of facts that change this duty (text only)");
    verb->add_option("--approved-by", options->approved_by,
                     "File with a public key: load only rulepacks signed by one of those named");
    add_receipt_options(*verb, options->receipts);
    add_lines_options(*verb, options->lines);
    return [options] { return run(*options); };
}

}  // namespace toprail::command
