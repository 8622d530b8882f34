#include "proofs.hpp"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <iostream>
#include <limits>
#include <sstream>

namespace toprail::command {

void add_proof_options(CLI::App& verb, ProofOptions& options) {
    verb.add_option("--on", options.on,
                    "The only deciding date considered; without it every date is");
    verb.add_option(
        "--given", options.given,
        "A fact that is the same in every case, such as industry=construction; may be given "
        "several times");
    verb.add_option("--duty", options.duty, "Only this duty, such as tie-off");
    verb.add_option("--time-limit", options.time_limit,
                    "Milliseconds for each question; past them it is not settled")
        ->check(whole_number())
        ->check(CLI::Range(1, 3'600'000))
        ->capture_default_str();
    verb.add_option("--budget", options.budget,
                    "Seconds for the whole work; past them what was found is shown, and what is "
                    "not decided; 0 is no end")
        ->check(whole_number())
        ->check(CLI::Range(0, 86'400))
        ->capture_default_str();
    verb.add_option("--regions", options.regions,
                    "Exact regions listed for one difference; where it has more, one that holds "
                    "them all stands in their place")
        ->check(whole_number())
        ->check(CLI::Range(1, 1000))
        ->capture_default_str();
    verb.add_flag("--every-region", options.every_region,
                  "List every exact region of every difference");
    verb.add_option("--format", options.format, "text or json")
        ->check(CLI::IsMember({"text", "json"}))
        ->capture_default_str();
}

int without_solver() {
    std::cerr
        << "toprail: this command was made without the solver Z3; install libz3-dev and make it "
           "again to prove and compare\n";
    return Exit::unusable;
}

#ifdef TOPRAIL_PROVING
namespace {

using Json = nlohmann::ordered_json;

std::string_view word_of(Settled settled) {
    switch (settled) {
    case Settled::proved:
        return "proved";
    case Settled::refuted:
        return "refuted";
    case Settled::not_settled:
        break;
    }
    return "not settled within the time given";
}

void show_indented(const std::string& text, std::ostream& out) {
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) {
        out << "      " << line << "\n";
    }
}

void show_also(const std::vector<std::string>& also, std::ostream& out) {
    if (also.empty()) {
        return;
    }
    out << "  likewise under " << also.size()
        << (also.size() == 1 ? " authority: " : " authorities: ");
    for (std::size_t i = 0; i < also.size(); ++i) {
        out << (i == 0 ? "" : ", ") << also[i];
    }
    out << "\n";
}

Json json_of(const Proof& proof) {
    Json json{{"question", proof.question},
              {"authority", proof.authority},
              {"about", proof.about},
              {"settled", word_of(proof.settled)},
              {"says", proof.says}};
    if (proof.example) {
        json["example"] = proof.example->yaml;
    }
    if (!proof.also.empty()) {
        json["also"] = proof.also;
    }
    if (proof.internal_error) {
        json["internal-error"] = true;
    }
    return json;
}

Json json_of(const Region& region) {
    return {
        {"authority", region.authority}, {"also", region.also},   {"subject", region.subject},
        {"before", region.before},       {"after", region.after}, {"asks", word(region.asks)},
        {"where", region.where},         {"whole", region.whole}, {"example", region.example.yaml}};
}

// Regions that are shown under one heading, or under several when the same holds of each.
struct Block {
    std::vector<std::string> heads;
    std::vector<const Region*> regions;
};

std::string head_of(const Region& region) {
    return region.authority + ", " + region.subject + ": " + region.before + " -> " + region.after +
           " (" + std::string(word(region.asks)) + ")";
}

bool same_cases(const Block& a, const Block& b) {
    return std::equal(a.regions.begin(), a.regions.end(), b.regions.begin(), b.regions.end(),
                      [](const Region* x, const Region* y) {
                          return x->authority == y->authority && x->also == y->also &&
                                 x->where == y->where && x->whole == y->whole;
                      });
}

std::vector<Block> blocks_of(const Comparison& comparison, bool merged) {
    std::vector<Block> blocks;
    for (const Region& region : comparison.regions) {
        const bool more = !blocks.empty() && blocks.back().heads.front() == head_of(region) &&
                          blocks.back().regions.front()->also == region.also;
        if (!more) {
            blocks.push_back({{head_of(region)}, {}});
        }
        blocks.back().regions.push_back(&region);
    }
    if (!merged) {
        return blocks;
    }
    std::vector<Block> fewer;
    for (Block& block : blocks) {
        const auto same = std::find_if(fewer.begin(), fewer.end(), [&block](const Block& other) {
            return same_cases(block, other);
        });
        if (same == fewer.end()) {
            fewer.push_back(std::move(block));
        } else {
            same->heads.push_back(block.heads.front());
        }
    }
    return fewer;
}

void show_where(const Region& region, bool more, std::ostream& out) {
    const std::string start = more ? "  or where " : "  where ";
    out << (region.whole ? "" : "  in some of these cases:\n");
    for (std::size_t i = 0; i < region.where.size(); ++i) {
        out << (i == 0 ? start : "    and ") << region.where[i] << "\n";
    }
    if (region.where.empty()) {
        out << "  in every case\n";
    }
}

}  // namespace

ProveOptions read_proof_options(const ProofOptions& options) {
    ProveOptions result;
    result.time_limit = options.time_limit;
    result.duty = options.duty;
    result.regions =
        options.every_region ? std::numeric_limits<std::size_t>::max() : options.regions;
    if (!options.on.empty()) {
        result.on = read_day(options.on);
    }
    for (const std::string& given : options.given) {
        const std::size_t at = given.find('=');
        if (at == std::string::npos) {
            std::cerr << "toprail: \"" << given
                      << "\" is no fact; write it as industry=construction\n";
            throw Unusable{};
        }
        result.given.set(given.substr(0, at), given.substr(at + 1));
    }
    return result;
}

void show_text(const Proof& proof, std::ostream& out) {
    out << "  " << (proof.internal_error ? "INTERNAL ERROR: " : "") << proof.says << "\n";
    show_also(proof.also, out);
    if (proof.example) {
        show_indented(proof.example->yaml, out);
    }
}

std::size_t show_text(const Comparison& comparison, const ProofOptions& options,
                      std::ostream& out) {
    for (const std::string& name : comparison.only_before) {
        out << name << " is only in the first\n";
    }
    for (const std::string& name : comparison.only_after) {
        out << name << " is only in the second\n";
    }
    for (const std::string& raised : comparison.raised_marks) {
        out << "mark raised: " << raised << "\n";
    }
    std::size_t shown = 0;
    for (const Block& block : blocks_of(comparison, !options.every_region)) {
        for (const std::string& head : block.heads) {
            out << head << "\n";
        }
        show_also(block.regions.front()->also, out);
        for (const Region* region : block.regions) {
            show_where(*region, region != block.regions.front(), out);
            out << "    for example\n";
            show_indented(region->example.yaml, out);
            ++shown;
        }
    }
    for (const Proof& proof : comparison.rest) {
        out << proof.authority << "\n";
        show_text(proof, out);
    }
    return shown;
}

void show_json(const Report& report, std::ostream& out) {
    Json json{{"questions", Json::array()}, {"proofs", Json::array()}};
    for (const ProofQuestion& question : proof_questions()) {
        const Tally& tally = report.tallies.at(question.code);
        json["questions"].push_back({{"question", question.code},
                                     {"claim", question.claim},
                                     {"asked", tally.asked},
                                     {"in-order", tally.in_order},
                                     {"found", tally.found},
                                     {"not-settled", tally.not_settled}});
    }
    for (const Proof& proof : report.proofs) {
        json["proofs"].push_back(json_of(proof));
    }
    json["interrupted"] = report.interrupted;
    json["not-decided"] = report.not_decided;
    out << json.dump(2) << "\n";
}

void show_json(const Comparison& comparison, std::ostream& out) {
    Json json{{"settled", word_of(comparison.settled)},
              {"only-in-first", comparison.only_before},
              {"only-in-second", comparison.only_after},
              {"raised-marks", comparison.raised_marks},
              {"regions", Json::array()},
              {"rest", Json::array()}};
    for (const Region& region : comparison.regions) {
        json["regions"].push_back(json_of(region));
    }
    for (const Proof& proof : comparison.rest) {
        json["rest"].push_back(json_of(proof));
    }
    json["interrupted"] = comparison.interrupted;
    json["not-decided"] = comparison.not_decided;
    out << json.dump(2) << "\n";
}

namespace {

Json json_of(const std::vector<Survivor>& survivors) {
    Json all = Json::array();
    for (const Survivor& survivor : survivors) {
        Json one{{"file", survivor.place.file},
                 {"line", survivor.place.line},
                 {"change", survivor.change}};
        if (!survivor.why.empty()) {
            one["why"] = survivor.why;
        }
        all.push_back(std::move(one));
    }
    return all;
}

}  // namespace

void show_json(const CasesReport& report, std::ostream& out) {
    Json packs = Json::array();
    for (const CaseCoverage& pack : report.packs) {
        packs.push_back({{"authority", pack.authority},
                         {"cases", pack.cases},
                         {"changes", pack.mutants},
                         {"unnoticed", json_of(pack.survivors)},
                         {"proved-alike", json_of(pack.proved_alike)},
                         {"explained", json_of(pack.explained)},
                         {"explained-for-nothing", json_of(pack.idle_explanations)},
                         {"conditions", pack.conditions},
                         {"truths-not-reached", pack.unreached},
                         {"provisions", pack.provisions},
                         {"never-decisive", pack.never_decisive}});
    }
    out << Json{{"packs", std::move(packs)}, {"interrupted", report.interrupted}}.dump(2) << "\n";
}

void tell_interrupted(bool interrupted, const std::vector<std::string>& not_decided) {
    if (!interrupted) {
        return;
    }
    std::cerr << "toprail: stopped early; what was found until then is shown\n";
    if (not_decided.empty()) {
        return;
    }
    std::cerr << "not decided: " << not_decided.size()
              << (not_decided.size() == 1 ? " part: " : " parts: ");
    for (std::size_t i = 0; i < not_decided.size(); ++i) {
        std::cerr << (i == 0 ? "" : ", ") << not_decided[i];
    }
    std::cerr << "\n";
}

int exit_of(const Comparison& comparison) {
    return comparison.settled == Settled::proved ? Exit::done : Exit::findings;
}
#endif

}  // namespace toprail::command
