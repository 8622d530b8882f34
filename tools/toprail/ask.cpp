// ask: a conversation that settles one case. Reads answers line by line, so it works in a pipe as
// well.
#include "commands.hpp"
#include "replace_file.hpp"
#include "toprail/telling.hpp"

#include <algorithm>
#include <iostream>
#include <memory>
#include <set>
#include <sstream>

namespace toprail::command {
namespace {

struct Options {
    std::string facts;
    std::vector<std::string> authorities;
    std::string on;
    std::vector<std::string> packs;
    std::string duty;
    std::string save;
    std::string length = "reasons";
};

// A text as a YAML scalar in double quotes, which JSON readers take as well.
std::string quoted(const std::string& text) {
    std::string out = "\"";
    for (const char c : text) {
        if (c == '\n') {
            out += "\\n";
            continue;
        }
        if (c == '"' || c == '\\') {
            out += '\\';
        }
        out += c;
    }
    return out + "\"";
}

class Conversation {
  public:
    Conversation(Options options, Shelf shelf, Case start)
        : options_(std::move(options)),
          shelf_(std::move(shelf)),
          case_(std::move(start)),
          on_(read_day(options_.on)) {
        how_.authorities = options_.authorities;
        for (FactInfo& fact : shelf_.facts()) {
            infos_.push_back(std::move(fact));
        }
    }

    int run() {
        std::cout << "Answer each question, or: don't know, does not apply, stop.\n";
        bool stopped = false;
        while (!stopped) {
            const Answer answer = shelf_.decide(case_.facts, on_, how_);
            if (!answer.decision) {
                print_findings(answer.findings);
                return Exit::unusable;
            }
            tell_settled(*answer.decision);
            const std::string next = next_fact(*answer.decision);
            if (next.empty()) {
                break;
            }
            stopped = !ask(next, *answer.decision);
        }
        const Decision decision = tell(*shelf_.decide(case_.facts, on_, how_).decision);
        if (!options_.save.empty()) {
            save();
        }
        return decision.undetermined() ? Exit::undetermined : Exit::done;
    }

  private:
    [[nodiscard]] bool wanted(const DutyDecision& duty) const {
        return options_.duty.empty() || duty.duty == options_.duty;
    }

    // Of one duty alone the others are left out, with a word that they are. Gives what was told.
    Decision tell(Decision decision) {
        const auto others = std::remove_if(decision.duties.begin(), decision.duties.end(),
                                           [&](const DutyDecision& duty) { return !wanted(duty); });
        const bool some_left_out = others != decision.duties.end();
        decision.duties.erase(others, decision.duties.end());
        std::cout << "\n"
                  << tell_text(decision, case_.name, case_.says, length_of(options_.length));
        if (some_left_out) {
            std::cout << "Other duties were not asked about; toprail decide tells what is known of "
                         "them.\n";
        }
        return decision;
    }

    // An answer is told the moment it is settled, not only at the end.
    void tell_settled(const Decision& decision) {
        for (const DutyDecision& duty : decision.duties) {
            if (!wanted(duty)) {
                continue;
            }
            if (duty.outcome == Outcome::undetermined) {
                open_.insert(duty.duty);
            } else if (open_.erase(duty.duty) > 0) {
                std::cout << "settled: " << tell_line(duty.reads) << ", " << word(duty.outcome)
                          << "\n";
            }
        }
    }

    // The question comes from the first duty, in the order of the vocabulary, that is still open
    // and has a fact left that nobody has said they do not know.
    [[nodiscard]] std::string next_fact(const Decision& decision) const {
        std::vector<const DutyDecision*> open;
        for (const DutyDecision& duty : decision.duties) {
            if (wanted(duty) && duty.outcome == Outcome::undetermined) {
                open.push_back(&duty);
            }
        }
        std::sort(open.begin(), open.end(),
                  [](const DutyDecision* a, const DutyDecision* b) { return a->rank < b->rank; });
        for (const DutyDecision* duty : open) {
            if (!given_up_.contains(duty->ask_next) && !duty->ask_next.empty()) {
                return duty->ask_next;
            }
            for (const std::string& fact : duty->settled_by) {
                if (!given_up_.contains(fact)) {
                    return fact;
                }
            }
        }
        return {};
    }

    [[nodiscard]] const FactInfo& info(const std::string& name) const {
        return *std::find_if(infos_.begin(), infos_.end(),
                             [&](const FactInfo& fact) { return fact.name == name; });
    }

    [[nodiscard]] static std::string takes(const FactInfo& fact) {
        std::string text;
        if (fact.type == "yes-no") {
            text = "yes or no";
        } else if (fact.type == "choice") {
            for (const std::string& value : fact.values) {
                text += (text.empty() ? "" : ", ") + value;
            }
        } else if (fact.type == "date") {
            text = "a day such as 2024-06-01";
        } else if (fact.type == "count" || fact.type == "ratio") {
            text = "a number";
        } else {
            text = "a figure in " + fact.unit;
        }
        return fact.may_not_apply ? text + "; may not apply" : text;
    }

    // False when the conversation is to end.
    bool ask(const std::string& name, const Decision& decision) {
        const FactInfo& fact = info(name);
        std::cout << "\n" << tell_line(fact.ask) << " (" << takes(fact) << ")\n";
        tell_why(fact, decision);
        std::string line;
        while (true) {
            std::cout << "> " << std::flush;
            if (!std::getline(std::cin, line)) {
                std::cout << "\n";
                return false;
            }
            const std::size_t first = line.find_first_not_of(" \t\r");
            const std::size_t last = line.find_last_not_of(" \t\r");
            line = first == std::string::npos ? "" : line.substr(first, last - first + 1);
            if (line == "stop") {
                return false;
            }
            if (line == "don't know" || line == "not known" || line == "dont know") {
                given_up_.insert(name);
                case_.facts.set(name, "not known");
                return true;
            }
            if (!line.empty() && take(name, fact, line)) {
                return true;
            }
        }
    }

    // At most three answers are named: a question may bear on dozens.
    void tell_why(const FactInfo& fact, const Decision& decision) const {
        constexpr std::size_t most_named = 3;
        std::vector<std::string> changed;
        for (const DutyDecision& duty : decision.duties) {
            if (wanted(duty) && std::find(duty.settled_by.begin(), duty.settled_by.end(),
                                          fact.name) != duty.settled_by.end()) {
                changed.push_back(duty.reads);
            }
        }
        std::cout << "  " << tell_line(fact.why) << " It can still change: ";
        for (std::size_t i = 0; i < std::min(changed.size(), most_named); ++i) {
            std::cout << (i == 0 ? "" : ", ") << tell_line(changed[i]);
        }
        if (changed.size() > most_named) {
            std::cout << " and " << changed.size() - most_named << " more";
        }
        std::cout << ".\n";
    }

    // A bare number is taken in the unit that the question names.
    bool take(const std::string& name, const FactInfo& fact, const std::string& line) {
        const bool bare = line.find_first_not_of("0123456789.,-") == std::string::npos;
        const std::string value = bare && !fact.unit.empty() ? line + " " + fact.unit : line;
        Facts tried = case_.facts;
        tried.set(name, value, "answered when asked");
        const Answer answer = shelf_.decide(tried, on_, how_);
        if (!answer.decision) {
            for (const Finding& finding : answer.findings) {
                std::cout << tell_line(finding.message +
                                       (finding.help.empty() ? "" : "; " + finding.help))
                          << "\n";
            }
            return false;
        }
        case_.facts = std::move(tried);
        return true;
    }

    void save() const {
        std::ostringstream file;
        file << "cases:\n  - case: " << quoted(case_.name) << "\n";
        if (!case_.says.empty()) {
            file << "    says: " << quoted(case_.says) << "\n";
        }
        file << "    facts:\n";
        for (const FactEntry& fact : case_.facts.entries()) {
            const std::string value = fact.state == FactState::given       ? quoted(fact.text)
                                      : fact.state == FactState::not_known ? "not known"
                                                                           : "does not apply";
            file << "      " << fact.name << ": ";
            if (fact.from.empty()) {
                file << value << "\n";
            } else {
                file << "{value: " << value << ", from: " << quoted(fact.from) << "}\n";
            }
        }
        replace_file(options_.save, file.str());
        std::cout << "saved to " << options_.save << "\n";
    }

    Options options_;
    Shelf shelf_;
    Case case_;
    Date on_;
    DecideOptions how_;
    std::vector<FactInfo> infos_;
    std::set<std::string> given_up_;
    std::set<std::string> open_;  // duties that were undetermined when last looked at
};

int run(const Options& options) {
    Case start;
    start.name = "case";
    if (!options.facts.empty()) {
        const Limits limits;
        FactsFile file = read_facts(read_input(options.facts, limits.bytes), options.facts, limits);
        print_findings(file.findings);
        if (has_error(file.findings)) {
            return Exit::unusable;
        }
        if (file.cases.size() != 1) {
            std::cerr << "toprail: ask settles one case, " << options.facts << " holds "
                      << file.cases.size() << "\n";
            return Exit::unusable;
        }
        start = std::move(file.cases.front());
    }
    Shelf shelf = load(options.packs);
    const std::vector<DutyInfo> duties = shelf.duties();
    if (!options.duty.empty() && std::none_of(duties.begin(), duties.end(), [&](const DutyInfo& d) {
            return d.name == options.duty;
        })) {
        std::cerr << "toprail: no duty is called " << options.duty << "\n";
        return Exit::unusable;
    }
    return Conversation(options, std::move(shelf), std::move(start)).run();
}

}  // namespace

Run add_ask(CLI::App& app) {
    auto options = std::make_shared<Options>();
    CLI::App* verb = app.add_subcommand("ask", "Settle one case in conversation");
    verb->footer("Example: toprail ask --on 2024-06-01 --duty tie-off --save case.yaml");
    verb->add_option("--on", options->on, "Deciding date, such as 2024-06-01")->required();
    verb->add_option("--facts", options->facts, "Facts file with one case to start from");
    verb->add_option("--authority", options->authorities,
                     "Authority that governs; may be repeated");
    verb->add_option("--duty", options->duty,
                     "Ask only what can change this duty, such as tie-off");
    add_packs(*verb, options->packs);
    add_length(*verb, options->length);
    verb->add_option("--save", options->save, "Write the facts to this file at the end");
    return [options] { return run(*options); };
}

}  // namespace toprail::command
