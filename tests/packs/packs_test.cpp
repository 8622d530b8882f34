// The shipped rulepacks: they load and lint clean, and their worked cases show every provision at
// work.
#include "deciding/three_valued.hpp"
#include "reading/facts_node.hpp"
#include "shelf/shelf_data.hpp"
#include "support/shelves.hpp"

#include <doctest/doctest.h>

#include <map>
#include <set>

using namespace toprail;
using namespace toprail::test;

namespace {

struct Seen {
    bool yes = false;
    bool no = false;
    bool unknown = false;
};

// What the worked cases of the shelf show: per provision of a file, and per condition.
struct Coverage {
    std::map<std::pair<PackId, std::string>, Seen> provisions;
    std::vector<Seen> conditions;
    std::size_t cases = 0;
};

void note(Seen& seen, Truth truth) {
    seen.yes = seen.yes || truth == Truth::yes;
    seen.no = seen.no || truth == Truth::no;
    seen.unknown = seen.unknown || truth == Truth::open;
}

void add_case(const ShelfData& data, const Rulepack& pack, const WorkedCase& worked,
              Coverage& coverage) {
    Findings findings;
    const std::vector<BoundFact> facts =
        bind_facts(data.model, read_fact_entries(*worked.facts, findings), findings);
    Circumstances circumstances;
    circumstances.on = worked.on ? *worked.on : *pack.verified_through;
    circumstances.named.assign(data.model.authorities.size(), false);
    circumstances.named[pack.authority.value] = true;
    const FirstPass pass = three_valued(data.program, facts, circumstances);
    ++coverage.cases;
    for (std::size_t i = 0; i < data.program.conditions.size(); ++i) {
        note(coverage.conditions[i], pass.nodes[data.program.conditions[i].node.value]);
    }
    for (std::size_t i = 0; i < data.model.provisions.size(); ++i) {
        const Provision& provision = data.model.provisions[i];
        if (data.model[provision.pack].id != pack.id) {
            continue;
        }
        const LoweredProvision& lowered = data.program.provisions[i];
        Seen& seen = coverage.provisions[{provision.written_in, provision.id}];
        seen.yes = seen.yes || pass.nodes[lowered.live.value] == Truth::yes;
        seen.no = seen.no || pass.nodes[lowered.stands.value] == Truth::no;
    }
}

const Coverage& coverage() {
    static const Coverage all = [] {
        Coverage result;
        const ShelfData& data = shelf_with_templates().data();
        result.conditions.resize(data.program.conditions.size());
        for (const Rulepack& pack : data.model.packs) {
            for (const WorkedCase& worked : pack.cases) {
                add_case(data, pack, worked, result);
            }
        }
        return result;
    }();
    return all;
}

// Whether dates or a condition can ever make the provision fall.
bool can_fall(const ShelfData& data, ProvisionId id) {
    const Provision& provision = data.model[id];
    const Days& days = provision.in_force;
    return provision.where || !provision.guards.empty() || days.from || days.until;
}

using Names = std::set<std::string, std::less<>>;

// Everything of the list must still be an exception: a list that outlives its reasons hides slips.
void check_exceptions(const Names& listed, const Names& met) {
    for (const std::string& name : listed) {
        CHECK_MESSAGE(met.contains(name), name, " is no exception any more: take it off the list");
    }
}

}  // namespace

TEST_CASE("packs: the shipped shelf loads and lints without a finding") {
    const LoadedShelf loaded = load_folders({shipped_folder(), shipped_folder() + "/templates"});
    CHECK_MESSAGE(loaded.findings.empty(), told(loaded.findings));
    REQUIRE(loaded.shelf);
    std::vector<Finding> findings = lint_shelf(*loaded.shelf);
    std::erase_if(findings,
                  [](const Finding& finding) { return finding.severity == Severity::note; });
    CHECK_MESSAGE(findings.empty(), told(findings));
}

TEST_CASE("packs: every pack has worked cases and says what was read") {
    for (const Rulepack& pack : shelf_with_templates().data().model.packs) {
        CHECK_MESSAGE(!pack.cases.empty(), pack.source->name(), " has no worked case");
        CHECK_MESSAGE(!pack.what_was_read.empty(), pack.source->name(),
                      " does not say what was read");
        CHECK_MESSAGE(pack.verified_through.has_value(), pack.source->name());
    }
    CHECK(coverage().cases >= 500);
}

TEST_CASE("packs: every provision stands in some worked case") {
    // Each with its reason.
    static const Names never_stands{};
    const ShelfData& data = shelf_with_templates().data();
    Names met;
    for (std::size_t i = 0; i < data.model.provisions.size(); ++i) {
        const Provision& provision = data.model.provisions[i];
        if (provision.pack != provision.written_in) {
            continue;
        }
        const auto found = coverage().provisions.find({provision.written_in, provision.id});
        if (found == coverage().provisions.end() || !found->second.yes) {
            const std::string key = data.model.key(ProvisionId(i));
            met.insert(key);
            CHECK_MESSAGE(never_stands.contains(key), key, " stands in no worked case");
        }
    }
    check_exceptions(never_stands, met);
}

TEST_CASE("packs: every provision that can fall does so in some worked case") {
    static const Names never_falls{};
    const ShelfData& data = shelf_with_templates().data();
    Names met;
    for (std::size_t i = 0; i < data.model.provisions.size(); ++i) {
        const Provision& provision = data.model.provisions[i];
        if (provision.pack != provision.written_in || !can_fall(data, ProvisionId(i))) {
            continue;
        }
        const auto found = coverage().provisions.find({provision.written_in, provision.id});
        if (found == coverage().provisions.end() || !found->second.no) {
            const std::string key = data.model.key(ProvisionId(i));
            met.insert(key);
            CHECK_MESSAGE(never_falls.contains(key), key, " falls in no worked case");
        }
    }
    check_exceptions(never_falls, met);
}

TEST_CASE("packs: every named condition is seen true, false and unknown") {
    static const Names never_true{};
    static const Names never_false{};
    static const Names never_unknown{};
    const ShelfData& data = shelf_with_templates().data();
    Names met_true;
    Names met_false;
    Names met_unknown;
    for (std::size_t i = 0; i < data.model.conditions.size(); ++i) {
        const Condition& condition = data.model.conditions[i];
        const Seen& seen = coverage().conditions[i];
        const std::string where = condition.span.source->name();
        const std::string name = where.substr(where.rfind('/') + 1) + ":" + condition.name;
        if (!seen.yes) {
            met_true.insert(name);
            CHECK_MESSAGE(never_true.contains(name), name, " is true in no worked case");
        }
        if (!seen.no) {
            met_false.insert(name);
            CHECK_MESSAGE(never_false.contains(name), name, " is false in no worked case");
        }
        if (!seen.unknown) {
            met_unknown.insert(name);
            CHECK_MESSAGE(never_unknown.contains(name), name, " is unknown in no worked case");
        }
    }
    check_exceptions(never_true, met_true);
    check_exceptions(never_false, met_false);
    check_exceptions(never_unknown, met_unknown);
}

TEST_CASE("packs: every provision carries a citation, a mark and a gist") {
    for (const Provision& provision : shelf_with_templates().data().model.provisions) {
        CHECK_FALSE(provision.cite.empty());
        CHECK_FALSE(provision.gist.empty());
        // Common practice has no source: it says so, or names the label or manual at hand.
        if (provision.mark == Mark::common_practice) {
            const bool told = provision.cite.find("common practice") != std::string::npos ||
                              provision.cite.starts_with("label of ") ||
                              provision.cite.starts_with("manual of ");
            CHECK_MESSAGE(told, provision.id, " cites ", provision.cite);
        }
    }
}

TEST_CASE("packs: the filled templates count in no case of the shipped shelf") {
    for (const Authority& authority : shipped_shelf().data().model.authorities) {
        CHECK_FALSE(authority.id.starts_with("overlays."));
    }
    std::size_t filled = 0;
    for (const Authority& authority : shelf_with_templates().data().model.authorities) {
        filled += authority.id.starts_with("overlays.") ? 1U : 0U;
    }
    CHECK(filled == 3);
}

// Common practice, no source: the pairs follow from how lifts are built. Each is told with the last
// fact given, and not with it turned round.
TEST_CASE("packs: facts of a lift that cannot be true together are told") {
    struct Pair {
        const char* says;
        std::vector<std::pair<std::string, std::string>> facts;
        const char* otherwise;  // of the last fact
    };
    const std::vector<Pair> pairs{
        {"a guardrail without a midrail is not complete",
         {{"guardrail", "complete"}, {"midrail-fitted", "no"}},
         "yes"},
        {"where there is no guardrail there is no midrail",
         {{"guardrail", "none"}, {"midrail-fitted", "yes"}},
         "no"},
        {"a platform so high is raised",
         {{"elevated", "no"}, {"platform-height", "15.1 ft"}},
         "15 ft"},
        {"whoever enters or leaves at height does so from a raised platform",
         {{"entering-or-leaving-at-height", "yes"}, {"elevated", "no"}},
         "yes"},
        {"a platform that scissors or a plain mast raise stays over its base",
         {{"platform-completely-beyond-base", "yes"}, {"lift-mechanism", "scissor"}},
         "mast-with-jib"},
        {"a vehicle does not travel with its outriggers set",
         {{"lift-travelling", "yes"}, {"outriggers-used", "yes"}, {"mounting", "truck"}},
         "hand-pushed"},
        {"where no outriggers are set, none are set on both sides",
         {{"outriggers-used", "no"}, {"outriggers-both-sides", "yes"}},
         "no"},
        {"every case is about a person on the platform", {{"persons-aboard", "0"}}, "1"},
        {"whoever is tied off to an anchor is on it",
         {{"tied-off", "yes"}, {"persons-on-anchor", "0"}},
         "1"},
        {"an anchor with a safety factor of two holds twice the greatest arrest force",
         {{"system-safety-factor", "2"},
          {"arrest-force", "900 lbf"},
          {"anchor-strength", "1799 lbf"}},
         "1800 lbf"}};
    CHECK(pairs.size() == shipped_shelf().data().model.at_odds.size());
    for (const Pair& pair : pairs) {
        CAPTURE(pair.says);
        Facts facts;
        for (const auto& [name, text] : pair.facts) {
            facts.set(name, text);
        }
        const std::string begin = "facts at odds: " + std::string(pair.says) + " (";
        const auto at_odds = [&begin](const Decision& decision) {
            return decision.cautions.front().starts_with(begin);
        };
        CHECK(at_odds(decided(shipped_shelf(), facts)));
        facts.set(pair.facts.back().first, pair.otherwise);
        CHECK_FALSE(at_odds(decided(shipped_shelf(), facts)));
    }
}
