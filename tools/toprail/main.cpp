// toprail: decides, from rulepacks, whether a person in a lift must be tied off, how, and why.
#include <exception>
#include <iostream>

#include "commands.hpp"

int main(int argc, char** argv) {
  using namespace toprail::command;
  try {
    CLI::App app{"Decides, from rulepacks, whether a person working from a lift must be tied off, how, "
                 "and why.\nLocal codes, the maker's manual and a competent person on the site come first."};
    app.require_subcommand(1);
    app.failure_message(CLI::FailureMessage::simple);
    app.footer("Exit status: 0 done and clean; 1 done, with findings; 2 wrong usage or unreadable input;\n"
               "3 undetermined: facts are missing.");
    const Run decide = add_decide(app);
    const Run lint = add_lint(app);
    try {
      app.parse(argc, argv);
    } catch (const CLI::ParseError& trouble) {
      return app.exit(trouble) == 0 ? Exit::done : Exit::unusable;
    }
    return app.got_subcommand("decide") ? decide() : lint();
  } catch (const Unusable&) {
    return Exit::unusable;
  } catch (const std::exception& trouble) {
    std::cerr << "toprail: " << trouble.what() << "\n";
    return Exit::unusable;
  }
}
