// What `prove` and `compare` have in common: options for the solver, and how findings are shown.
#pragma once

#include "commands.hpp"

#include <string>
#include <vector>

#ifdef TOPRAIL_PROVING
#include "toprail/proving.hpp"
#endif

namespace toprail::command {

struct ProofOptions {
    std::string on;
    std::vector<std::string> given;
    std::string duty;
    std::string format = "text";
    unsigned time_limit = 2000;
    std::size_t regions = 8;
};

void add_proof_options(CLI::App& verb, ProofOptions& options);

/// Says what is missing, on one line; for a command that was made without the solver.
int without_solver();

#ifdef TOPRAIL_PROVING
/// Throws Unusable with a message printed.
ProveOptions read_proof_options(const ProofOptions& options);
void show_text(const Proof& proof, std::ostream& out);
void show_text(const Comparison& comparison, std::ostream& out);
void show_json(const Report& report, std::ostream& out);
void show_json(const Comparison& comparison, std::ostream& out);
void show_json(const CasesReport& report, std::ostream& out);
int exit_of(const Comparison& comparison);
#endif

}  // namespace toprail::command
