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
    std::size_t regions = 2;
    bool every_region = false;
    unsigned budget = 0;
};

void add_proof_options(CLI::App& verb, ProofOptions& options);

/// Says what is missing, on one line; for a command that was made without the solver.
int without_solver();

#ifdef TOPRAIL_PROVING
/// Throws Unusable with a message printed.
ProveOptions read_proof_options(const ProofOptions& options);
void show_text(const Proof& proof, std::ostream& out);
/// Differences of one authority in the very same cases are shown together, unless every region is
/// asked for. Gives back how many regions were shown.
std::size_t show_text(const Comparison& comparison, const ProofOptions& options, std::ostream& out);
/// What an early end left undone, by name; nothing when all was done.
void tell_interrupted(bool interrupted, const std::vector<std::string>& not_decided);
void show_json(const Report& report, std::ostream& out);
void show_json(const Comparison& comparison, std::ostream& out);
void show_json(const CasesReport& report, std::ostream& out);
int exit_of(const Comparison& comparison);
#endif

}  // namespace toprail::command
