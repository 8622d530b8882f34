#include "commands.hpp"
#include "proofs.hpp"
#include "watch.hpp"

#include <iostream>
#include <memory>

namespace toprail::command {
namespace {

struct Options : ProofOptions {
    std::string packs = usual_packs;
    std::vector<std::string> strict;
    bool worked_cases = false;
    int threshold = -1;
};

#ifdef TOPRAIL_PROVING

int show_report(const Report& report, const Options& options) {
    std::size_t troubles = report.proofs.size();
    if (options.format == "json") {
        show_json(report, std::cout);
    } else {
        for (const ProofQuestion& question : proof_questions()) {
            const Tally& tally = report.tallies.at(question.code);
            std::cout << question.claim << ": " << tally.in_order << " of " << tally.asked
                      << " proved";
            std::cout << (tally.found > 0 ? ", " + std::to_string(tally.found) + " not so" : "");
            std::cout << (tally.not_settled > 0
                              ? ", " + std::to_string(tally.not_settled) + " not settled"
                              : "")
                      << "\n";
            for (const Proof& proof : report.proofs) {
                if (proof.question == question.code) {
                    show_text(proof, std::cout);
                }
            }
        }
    }
    tell_interrupted(report.interrupted, report.not_decided);
    return troubles == 0 && !report.interrupted ? Exit::done : Exit::findings;
}

int show_strictness(const Comparison& comparison, const Options& options) {
    if (options.format == "json") {
        show_json(comparison, std::cout);
    } else {
        show_text(comparison, options, std::cout);
        const std::string claim =
            options.strict[0] + " is at least as strict as " + options.strict[1];
        std::cout << claim
                  << (comparison.settled == Settled::proved ? ": proved\n"
                      : comparison.settled == Settled::refuted
                          ? ": refuted, it is looser as shown above\n"
                          : ": not settled within the time given\n");
    }
    tell_interrupted(comparison.interrupted, comparison.not_decided);
    return exit_of(comparison);
}

std::size_t not_noticed(const CaseCoverage& pack) {
    return pack.survivors.size() + pack.proved_alike.size() + pack.explained.size();
}

void show_changes(const std::vector<Survivor>& changes, const std::string& label) {
    for (const Survivor& each : changes) {
        std::cout << "  " << each.place.file << ":" << each.place.line << ": " << label << ": "
                  << each.change << (each.why.empty() ? "" : " (" + each.why + ")") << "\n";
    }
}

int show_cases(const CasesReport& report, const Options& options) {
    std::size_t survivors = 0;
    std::size_t proved = 0;
    std::size_t explained = 0;
    std::size_t idle = 0;
    std::size_t mutants = 0;
    for (const CaseCoverage& pack : report.packs) {
        survivors += pack.survivors.size();
        proved += pack.proved_alike.size();
        explained += pack.explained.size();
        idle += pack.idle_explanations.size();
        mutants += pack.mutants;
        if (pack.mutants + pack.idle_explanations.size() == 0 || options.format == "json") {
            continue;
        }
        std::cout << pack.authority << ": " << pack.cases << " cases notice "
                  << pack.mutants - not_noticed(pack) << " of " << pack.mutants << " changes; "
                  << pack.provisions - pack.never_decisive.size() << " of " << pack.provisions
                  << " provisions decide some case\n";
        for (const auto& [condition, truths] : pack.unreached) {
            for (const std::string& truth : truths) {
                // Few cases leave a condition unknown; telling that of each would drown the rest.
                if (truth != "never unknown") {
                    std::cout << "  " << condition << " is " << truth << " in any case\n";
                }
            }
        }
        show_changes(pack.survivors, "not noticed");
        show_changes(pack.explained, "not noticed, explained");
        show_changes(pack.proved_alike, "no case can notice, proved");
        show_changes(pack.idle_explanations, "explained, but nothing to explain");
    }
    if (options.format == "json") {
        show_json(report, std::cout);
    } else {
        std::cout << survivors << " of " << mutants << " changes go unnoticed and unexplained; "
                  << "explained: " << explained << ", proved that no case can notice: " << proved
                  << "\n";
    }
    tell_interrupted(report.interrupted, {});
    // An explanation that nothing needs hides the next change of its words.
    const bool too_many = options.threshold >= 0 &&
                          (survivors > static_cast<std::size_t>(options.threshold) || idle > 0);
    return too_many || report.interrupted ? Exit::findings : Exit::done;
}

int run(const Options& options) {
    ProveOptions how = read_proof_options(options);
    const Shelf shelf = load({options.packs});
    const Watch watch(options.budget);
    how.stop = watch.stop();
    how.progress = watch.progress();
    if (options.worked_cases) {
        return show_cases(prove_worked_cases(shelf, how), options);
    }
    if (!options.strict.empty()) {
        return show_strictness(at_least_as_strict(shelf, options.strict[0], options.strict[1], how),
                               options);
    }
    return show_report(prove(shelf, how), options);
}

#endif

}  // namespace

Run add_prove(CLI::App& app) {
    auto options = std::make_shared<Options>();
    CLI::App* verb =
        app.add_subcommand("prove", "Say what holds of whole rulepacks, in every case");
    verb->footer(
        "Example: toprail prove rulepacks\n"
        "         toprail prove --at-least-as-strict us.state.oregon us.federal.construction "
        "--duty tie-off");
    verb->add_option("packs", options->packs, "Folder of rulepacks")->capture_default_str();
    CLI::Option* strict =
        verb->add_option("--at-least-as-strict", options->strict,
                         "Two authorities: whether the first asks at least as much as the second");
    strict->expected(2);
    verb->add_flag("--worked-cases", options->worked_cases,
                   "Whether the worked cases notice small changes to the packs")
        ->excludes(strict);
    verb->add_option("--threshold", options->threshold,
                     "With --worked-cases: how many unexplained unnoticed changes are let pass")
        ->check(whole_number());
    add_proof_options(*verb, *options);
#ifdef TOPRAIL_PROVING
    return [options] { return run(*options); };
#else
    // The parser writes into the options whether or not anything reads them.
    return [options] { return without_solver(); };
#endif
}

}  // namespace toprail::command
