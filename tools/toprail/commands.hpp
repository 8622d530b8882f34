// The verbs of the command. Each adds its options to the parser and gives back what runs it.
#pragma once

#include "toprail/shelf.hpp"
#include "toprail/telling.hpp"

#include <CLI/CLI.hpp>

#include <fstream>
#include <functional>
#include <string>
#include <vector>

namespace toprail::command {

/// Exit statuses, the same for every verb.
enum Exit : int {
    done = 0,
    findings = 1,      // done, with findings or a changed decision
    unusable = 2,      // wrong usage or unreadable input
    undetermined = 3,  // a duty hangs on facts that are not known
};

using Run = std::function<int()>;

Run add_ask(CLI::App& app);
Run add_compare(CLI::App& app);
Run add_decide(CLI::App& app);
Run add_lint(CLI::App& app);
Run add_prove(CLI::App& app);
Run add_redact(CLI::App& app);
Run add_replay(CLI::App& app);
Run add_sign(CLI::App& app);
Run add_outline(CLI::App& app);
Run add_tell(CLI::App& app);

/// Where rulepacks are looked for unless --packs says otherwise: those installed with the command,
/// wherever that was put. A command that is not installed takes the folder "rulepacks" that it is
/// run beside, or that of the sources that its build folder lies in.
extern const std::string usual_packs;

/// Prints findings to the error output, as text.
void print_findings(const std::vector<Finding>& findings);

/// Loads the shelf, printing what is wrong with it; throws Unusable when it cannot be used.
struct Unusable {};
Shelf load(const std::vector<std::string>& folders, const LoadOptions& options = {});

/// Adds --packs FOLDER, which may be given several times, to a verb.
void add_packs(CLI::App& verb, std::vector<std::string>& folders);

/// Adds --length, how much of a decision is told.
void add_length(CLI::App& verb, std::string& length);
Length length_of(const std::string& word);

/// For options that take a number of something: decimal digits and nothing else, so that -1 is not
/// taken for a very large one.
CLI::Validator whole_number();

/// For options that name something: an empty text, as an unset variable gives it, is no name and
/// must not pass for an option that was left out.
CLI::Validator some_name();

/// Opens a file for reading; throws Unusable with a message printed.
std::ifstream open_file(const std::string& path);

/// Reads a whole file or, for "-", the standard input; throws Unusable with a message printed.
std::string read_input(const std::string& path, std::size_t limit);

/// Reads a date option; throws Unusable with a message printed.
Date read_day(const std::string& text);

}  // namespace toprail::command
