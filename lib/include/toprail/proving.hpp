// Proofs over whole rulepacks: not what one case comes out as, but what every case does. Part of
// toprail::proving, which is built where the solver Z3 is found; the rest of the library needs it
// not.
//
//   toprail::Report report = toprail::prove(*loaded.shelf);
//   for (const toprail::Proof& proof : report.proofs) std::cout << proof.says << "\n";
//
// Every function may run on its own thread; none touches the shelf it is given. Each keeps one
// solver for itself. All of them throw std::runtime_error when the solver fails or a name is not
// known.
#pragma once

#include "toprail/shelf.hpp"

#include <atomic>
#include <cstddef>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace toprail {

/// How a claim came out. `not_settled`: neither, within the time given.
enum class Settled { proved, refuted, not_settled };

/// A case that shows something. The engine decided it before it was handed out.
struct Example {
    Facts facts;
    Date on = Date::from_days(0);
    /// The authority whose worked case it is; empty when the governing rulepack decides.
    std::string authority;
    /// The case as a worked case of that authority or, without one, as a facts file.
    std::string yaml;
};

/// One claim and what became of it.
struct Proof {
    /// Stable code of the question, from `proof_questions()`.
    std::string_view question;
    std::string authority;
    /// The provisions, by key, or the duty or choice that the claim is about.
    std::vector<std::string> about;
    Settled settled = Settled::not_settled;
    /// What was found, in a sentence.
    std::string says;
    std::optional<Example> example;
    /// Further authorities of which the same was found, by the same provisions as they adopted
    /// them.
    std::vector<std::string> also;
    /// The solver and the engine differ: a fault of this program, never of a rulepack.
    bool internal_error = false;
};

struct ProofQuestion {
    std::string_view code;
    /// What is claimed of a rulepack that is in order.
    std::string_view claim;
};

/// All questions that `prove` asks, in order.
const std::vector<ProofQuestion>& proof_questions();

/// Counts of one question. asked = in_order + found + not_settled.
struct Tally {
    std::size_t asked = 0;
    std::size_t in_order = 0;
    std::size_t found = 0;
    std::size_t not_settled = 0;
};

struct Report {
    /// What is not in order, and what was not settled.
    std::vector<Proof> proofs;
    /// Per code of a question.
    std::map<std::string_view, Tally> tallies;
    /// True when the host asked to stop: then it holds what was found until then.
    bool interrupted = false;
    /// Authorities, and "all authorities together", that were not looked through to the end.
    std::vector<std::string> not_decided;
};

struct ProveOptions {
    /// Milliseconds for each question to the solver.
    unsigned time_limit = 2000;
    /// Facts that are the same in every case considered.
    Facts given;
    /// The only deciding date considered; empty: every date.
    std::optional<Date> on;
    /// Restricts comparisons to one duty.
    std::string duty;
    /// Exact regions listed for one difference. Where it has more, one region that holds all of
    /// them stands in their place, and says that the answer differs in some of its cases only.
    std::size_t regions = 2;
    /// Told how far the work is and what it is about; may be empty.
    std::function<void(std::size_t done, std::size_t total, std::string_view about)> progress;
    /// Set to true from anywhere to stop after the question in hand; may be null. A host with
    /// little time sets it from a timer: what was found stays, and what was not is named.
    const std::atomic<bool>* stop = nullptr;
};

/// Looks through every pack for provisions that can never stand or never decide, exceptions that
/// never apply, displacements that never matter, contested duties, admissible sets that can become
/// empty, and sites where no authority speaks of the weightiest duty.
Report prove(const Shelf& shelf, const ProveOptions& options = {});

/// Which way an answer differs. More is asked where a duty is stricter, a value is barred, a limit
/// is tighter, or an authority governs that did not. `either`: less in some cases, more in others.
enum class Asks { less, more, either };

/// "asks less", "asks more", "asks less in some cases, more in others".
std::string_view word(Asks asks);

/// A set of cases in which an answer differs.
struct Region {
    /// Whose answer; `also` counts further authorities in which it differs in no other cases.
    std::string authority;
    std::vector<std::string> also;
    /// "tie-off", "means: positioning", "free-fall: at most".
    std::string subject;
    std::string before;
    std::string after;
    /// What `after` asks beside `before`.
    Asks asks = Asks::either;
    /// "platform-height is more than 10 ft", all of which hold; empty: in every case.
    std::vector<std::string> where;
    /// False when the answer differs in some of these cases only.
    bool whole = true;
    Example example;
};

struct Comparison {
    /// Ordered by authority and subject.
    std::vector<Region> regions;
    /// Differences beyond the number of regions asked for, each with a sentence and an example.
    std::vector<Proof> rest;
    /// Authorities that only one side has.
    std::vector<std::string> only_before;
    std::vector<std::string> only_after;
    /// Provisions whose mark says now that more of their text was read, "us.state.x/y: inference ->
    /// read". No answer changes by it, but which of them are told as unverified.
    std::vector<std::string> raised_marks;
    /// proved: equal, or at least as strict; refuted: `regions` say where not.
    Settled settled = Settled::not_settled;
    bool interrupted = false;
    /// Authorities and the like that were not compared to the end.
    std::vector<std::string> not_decided;
};

/// Whether two shelves decide every case alike, authority by authority: who governs, duties,
/// choices and limits.
Comparison compare(const Shelf& before, const Shelf& after, const ProveOptions& options = {});

/// Whether one authority asks at least as much as another wherever both have an edition in force.
/// `before` is what the other says, `after` what the first says.
Comparison at_least_as_strict(const Shelf& shelf, const std::string& authority,
                              const std::string& other, const ProveOptions& options = {});

/// A small change to a pack that no worked case notices.
struct Survivor {
    std::string authority;
    Place place;
    /// "\"platform-height is more than 10 ft\" is at least"
    std::string change;
    /// What the pack says of it under `unnoticed`; else empty.
    std::string why;
};

/// How well the worked cases of one authority protect its pack.
struct CaseCoverage {
    std::string authority;
    std::size_t cases = 0;
    std::size_t mutants = 0;
    /// Neither noticed, nor proved to make no difference, nor explained.
    std::vector<Survivor> survivors;
    /// Not noticed, and no case can: with all facts known every case comes out alike, which was
    /// proved.
    std::vector<Survivor> proved_alike;
    /// Not noticed and not proved, but explained in the pack.
    std::vector<Survivor> explained;
    /// Explanations in the pack that fit no such change; `place` and `change` are their own.
    std::vector<Survivor> idle_explanations;
    /// Conditions of the pack, each with the truths that no case reaches: "never true".
    std::map<std::string, std::vector<std::string>> unreached;
    std::size_t conditions = 0;
    /// Ids of own provisions that stand and bear in no case.
    std::vector<std::string> never_decisive;
    std::size_t provisions = 0;
};

struct CasesReport {
    std::vector<CaseCoverage> packs;
    bool interrupted = false;
};

/// Changes every pack in small ways and decides the worked cases again: its own, and those of the
/// authorities that adopt it. The solver is asked about what no case notices.
CasesReport prove_worked_cases(const Shelf& shelf, const ProveOptions& options = {});

}  // namespace toprail
