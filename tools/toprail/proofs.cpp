#include "proofs.hpp"

#include <nlohmann/json.hpp>

#include <iostream>
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
        ->check(CLI::Range(1, 3'600'000))
        ->capture_default_str();
    verb.add_option("--regions", options.regions,
                    "Regions listed for one difference before the rest is summed up")
        ->check(CLI::Range(1, 1000))
        ->capture_default_str();
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
    return {{"authority", region.authority}, {"also", region.also},
            {"subject", region.subject},     {"before", region.before},
            {"after", region.after},         {"where", region.where},
            {"whole", region.whole},         {"example", region.example.yaml}};
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
    result.regions = options.regions;
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

void show_text(const Comparison& comparison, std::ostream& out) {
    for (const std::string& name : comparison.only_before) {
        out << name << " is only in the first\n";
    }
    for (const std::string& name : comparison.only_after) {
        out << name << " is only in the second\n";
    }
    const Region* last = nullptr;
    for (const Region& region : comparison.regions) {
        const bool more = last != nullptr && last->authority == region.authority &&
                          last->subject == region.subject && last->before == region.before &&
                          last->after == region.after && last->also == region.also;
        if (!more) {
            out << region.authority << ", " << region.subject << ": " << region.before << " -> "
                << region.after << "\n";
            show_also(region.also, out);
        }
        show_where(region, more, out);
        out << "    for example\n";
        show_indented(region.example.yaml, out);
        last = &region;
    }
    for (const Proof& proof : comparison.rest) {
        out << proof.authority << "\n";
        show_text(proof, out);
    }
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
    out << json.dump(2) << "\n";
}

void show_json(const Comparison& comparison, std::ostream& out) {
    Json json{{"settled", word_of(comparison.settled)},
              {"only-in-first", comparison.only_before},
              {"only-in-second", comparison.only_after},
              {"regions", Json::array()},
              {"rest", Json::array()}};
    for (const Region& region : comparison.regions) {
        json["regions"].push_back(json_of(region));
    }
    for (const Proof& proof : comparison.rest) {
        json["rest"].push_back(json_of(proof));
    }
    json["interrupted"] = comparison.interrupted;
    out << json.dump(2) << "\n";
}

void show_json(const CasesReport& report, std::ostream& out) {
    Json packs = Json::array();
    for (const CaseCoverage& pack : report.packs) {
        Json survivors = Json::array();
        for (const Survivor& survivor : pack.survivors) {
            survivors.push_back({{"file", survivor.place.file},
                                 {"line", survivor.place.line},
                                 {"change", survivor.change}});
        }
        packs.push_back({{"authority", pack.authority},
                         {"cases", pack.cases},
                         {"changes", pack.mutants},
                         {"unnoticed", std::move(survivors)},
                         {"conditions", pack.conditions},
                         {"truths-not-reached", pack.unreached},
                         {"provisions", pack.provisions},
                         {"never-decisive", pack.never_decisive}});
    }
    out << Json{{"packs", std::move(packs)}, {"interrupted", report.interrupted}}.dump(2) << "\n";
}

int exit_of(const Comparison& comparison) {
    return comparison.settled == Settled::proved ? Exit::done : Exit::findings;
}
#endif

}  // namespace toprail::command
