#include <iostream>
#include <memory>

#include "commands.hpp"
#include "toprail/telling.hpp"

namespace toprail::command {
namespace {

struct Options {
  std::string facts;
  std::vector<std::string> authorities;
  std::string on;
  std::string packs = usual_packs;
  std::string format = "text";
  std::string length = "reasons";
  std::size_t budget = DecideOptions{}.budget;
};

Length length_of(const std::string& word) {
  return word == "answer" ? Length::answer : word == "everything" ? Length::everything : Length::reasons;
}

int run(const Options& options) {
  const Date on = read_day(options.on);
  const Limits limits;
  const FactsFile file =
      read_facts(read_input(options.facts, limits.bytes), options.facts, limits);
  print_findings(file.findings);
  if (has_error(file.findings)) {
    return Exit::unusable;
  }
  const Shelf shelf = load(options.packs);
  DecideOptions how;
  how.authorities = options.authorities;
  how.budget = options.budget;
  // Every case is decided before anything is printed: an unreadable fact in the last one must not
  // leave half an answer behind.
  std::string out = options.format == "json" ? "[" : "";
  bool unusable = false;
  bool open = false;
  bool first = true;
  for (const Case& each : file.cases) {
    const Answer answer = shelf.decide(each.facts, on, how);
    if (!answer.decision) {
      std::cerr << "case " << each.name << ":\n";
      print_findings(answer.findings);
      unusable = true;
      continue;
    }
    open = open || answer.decision->undetermined();
    if (options.format == "json") {
      out += first ? "\n" : ",\n";
      append_json(out, *answer.decision, each.name);
    } else {
      out += first ? "" : "\n";
      out += tell_text(*answer.decision, each.name, each.says, length_of(options.length));
    }
    first = false;
  }
  if (unusable) {
    return Exit::unusable;
  }
  if (options.format == "json") {
    out += "\n]\n";
  } else {
    std::cout << (file.site.empty() ? "" : file.site + ", ") << "decided for " << on.text() << "\n\n";
  }
  std::cout << out << std::flush;
  if (!std::cout) {
    std::cerr << "toprail: the answer could not be written in full\n";
    return Exit::unusable;
  }
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
  verb->add_option("--packs", options->packs, "Folder of rulepacks")->capture_default_str();
  verb->add_option("--format", options->format, "text or json")
      ->check(CLI::IsMember({"text", "json"}))
      ->capture_default_str();
  verb->add_option("--length", options->length, "answer, reasons or everything (text only)")
      ->check(CLI::IsMember({"answer", "reasons", "everything"}))
      ->capture_default_str();
  verb->add_option("--budget", options->budget,
                   "Work allowed for exact answers on unknown facts, in diagram nodes")
      ->capture_default_str();
  return [options] { return run(*options); };
}

}  // namespace toprail::command
