// toprail: decides, from rulepacks, whether a person in a lift must be tied off, how, and why.
#include "commands.hpp"
#include "shown_errors.hpp"
#include "toprail/receipt.hpp"

#include <algorithm>
#include <exception>
#include <iostream>
#include <string>
#include <utility>
#include <vector>

int main(int argc, char** argv) {
    using namespace toprail::command;
    const ShownErrors errors(std::cerr);
    try {
        CLI::App app{
            "Decides, from rulepacks, whether a person working from a lift must be tied off, how, "
            "and why.\nLocal codes, the maker's manual and a competent person on the site come "
            "first."};
        app.set_version_flag("--version", "toprail " + std::string(toprail::engine_version()),
                             "Print the version, which receipts record as well");
        app.require_subcommand(1);
        app.failure_message(CLI::FailureMessage::simple);
        app.footer("Exit status: 0 done and clean; 1 done, with findings; 2 wrong usage or "
                   "unreadable input;\n"
                   "3 undetermined: facts are missing.");
        const std::vector<std::pair<std::string, Run>> verbs{
            {"ask", add_ask(app)},         {"compare", add_compare(app)},
            {"decide", add_decide(app)},   {"lint", add_lint(app)},
            {"prove", add_prove(app)},     {"redact", add_redact(app)},
            {"replay", add_replay(app)},   {"sign", add_sign(app)},
            {"outline", add_outline(app)}, {"tell", add_tell(app)},
        };
        try {
            app.parse(argc, argv);
        } catch (const CLI::ParseError& trouble) {
            return app.exit(trouble) == 0 ? Exit::done : Exit::unusable;
        }
        const auto asked = std::find_if(verbs.begin(), verbs.end(), [&app](const auto& verb) {
            return app.got_subcommand(verb.first);
        });
        return asked->second();
    } catch (const Unusable&) {
        return Exit::unusable;
    } catch (const std::exception& trouble) {
        std::cerr << "toprail: " << trouble.what() << "\n";
        return Exit::unusable;
    }
}
