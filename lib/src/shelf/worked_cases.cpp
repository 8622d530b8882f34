// Entry points: report_worked_cases, failing_worked_cases.
#include "toprail/worked_cases.hpp"

#include "reading/facts_node.hpp"
#include "shelf/build.hpp"
#include "shelf/checks.hpp"
#include "shelf/expectations.hpp"

#include <algorithm>
#include <set>

namespace toprail {
namespace {

// A pack that is picked by a fact decides its worked cases on the day it was verified, like any
// other.
Date deciding_date(const Rulepack& pack, const WorkedCase& worked) {
    return worked.on ? *worked.on : pack.verified_through ? *pack.verified_through : pack.from;
}

struct Outcome {
    bool decided = false;
    std::vector<Finding> troubles;
    std::vector<Mismatch> mismatches;
};

Outcome hold_case(const Shelf& shelf, const Rulepack& pack, const WorkedCase& worked) {
    Outcome outcome;
    Findings reading;
    const Facts facts = read_fact_entries(*worked.facts, reading);
    const bool readable = !reading.any_error();
    outcome.troubles = reading.take();
    DecideOptions options;
    options.authorities = {pack.id};
    const Answer answer = shelf.decide(facts, deciding_date(pack, worked), options);
    outcome.decided = readable && answer.decision.has_value();
    outcome.troubles.insert(outcome.troubles.end(), answer.findings.begin(), answer.findings.end());
    if (outcome.decided) {
        const Expectations expected{worked.answers, worked.stands,    worked.falls,
                                    worked.open,    worked.displaced, worked.asks};
        outcome.mismatches = mismatches(shelf.data().model, *answer.decision, pack.id, expected);
    }
    return outcome;
}

// A provision as it was written, which may be in another file.
void point_at(const Model& model, const std::vector<std::string>& keys, Finding& finding) {
    for (std::size_t i = 0; i < model.provisions.size(); ++i) {
        const std::string key = model.key(ProvisionId(i));
        if (std::find(keys.begin(), keys.end(), key) != keys.end()) {
            finding.others.push_back({place_of(model.provisions[i].span), "this brings it"});
        }
    }
}

// True when the case comes out as written.
bool report_case(const Model& model, const Outcome& outcome, const WorkedCase& worked,
                 Findings& findings) {
    if (!outcome.decided) {
        for (const Finding& trouble : outcome.troubles) {
            Finding& finding = findings.add(Kind::case_fails, worked.span,
                                            "the case \"" + worked.name +
                                                "\" cannot be decided: " + trouble.message);
            if (trouble.place.line != 0) {
                finding.place = trouble.place;
            }
            finding.help = trouble.help;
        }
        return false;
    }
    for (const Mismatch& mismatch : outcome.mismatches) {
        Finding& finding = findings.add(Kind::case_fails, mismatch.span,
                                        "the case \"" + worked.name +
                                            "\" comes out differently: " + mismatch.message);
        finding.help = "mend the provision, or the case if it is wrong";
        point_at(model, mismatch.by, finding);
    }
    return outcome.mismatches.empty();
}

// Authorities without which the pack would not even load: those it adopts, displaces, relaxes or
// lets govern, and those that these need in turn.
std::set<std::string> needed_authorities(const Model& model, const std::string& id) {
    std::set<std::string> needed{id};
    std::vector<std::string> open{id};
    const auto need = [&](const std::string& name) {
        if (needed.insert(name).second) {
            open.push_back(name);
        }
    };
    const auto need_all = [&need](const std::vector<Word>& words) {
        for (const Word& word : words) {
            if (const std::size_t slash = word.text.find('/'); slash != std::string::npos) {
                need(word.text.substr(0, slash));
            }
        }
    };
    while (!open.empty()) {
        const std::string next = open.back();
        open.pop_back();
        const auto known = model.authority_names.find(next);
        if (known == model.authority_names.end()) {
            continue;
        }
        for (const PackId edition : model.authorities[known->second.value].editions) {
            for (const Adoption& adoption : model[edition].adopts) {
                need(adoption.pack.text);
            }
            for (const Provision& provision : model.provisions) {
                if (provision.written_in != edition) {
                    continue;
                }
                need_all(provision.displaces);
                need_all(provision.effect.relaxes);
                if (provision.effect.kind == EffectKind::governs) {
                    need(provision.effect.target.text);
                }
            }
        }
    }
    return needed;
}

// A shelf of the vocabularies and the editions of these authorities alone. Empty when it does not
// load, or would be the whole shelf again.
std::optional<Shelf> part_of_shelf(const Model& model, const std::set<std::string>& authorities) {
    if (authorities.size() >= model.authorities.size()) {
        return std::nullopt;
    }
    std::vector<Parsed> files;
    for (std::size_t i = 0; i < model.trees.size(); ++i) {
        const Node* id = model.trees[i]->find("rulepack");
        if (id == nullptr || authorities.contains(id->text)) {
            files.push_back({model.sources[i], model.trees[i]});
        }
    }
    Findings ignored;
    return build_shelf(files, ignored, LoadOptions{}).shelf;
}

// Cases that come out as written on the whole shelf, decided again without the packs of others.
void report_elsewhere(const Model& model, const Rulepack& pack,
                      const std::vector<const WorkedCase*>& met, Findings& findings) {
    const std::optional<Shelf> part = part_of_shelf(model, needed_authorities(model, pack.id));
    if (!part) {
        return;
    }
    for (const WorkedCase* worked : met) {
        const Outcome alone = hold_case(*part, pack, *worked);
        for (const Mismatch& mismatch : alone.mismatches) {
            findings
                .add(Kind::case_rests_elsewhere, mismatch.span,
                     "without the rulepacks that " + pack.id + " does not adopt, the case \"" +
                         worked->name + "\" comes out differently: " + mismatch.message)
                .help = "adopt the other rulepack, or expect only what this one decides";
        }
    }
}

// What was adopted is held by the cases of the pack that it was written in.
void report_without_cases(const Model& model, Findings& findings) {
    std::vector<bool> has_provisions(model.packs.size(), false);
    for (const Provision& provision : model.provisions) {
        has_provisions[provision.written_in.value] = true;
    }
    for (std::size_t i = 0; i < model.packs.size(); ++i) {
        if (has_provisions[i] && model.packs[i].cases.empty()) {
            findings
                .add(Kind::no_worked_case, model.packs[i].span,
                     "none of its provisions is held by a worked case")
                .help = "write one under worked-cases, with facts and the answer that is right";
        }
    }
}

}  // namespace

std::vector<Finding> failing_worked_cases(const Shelf& shelf,
                                          const std::set<std::string>& authorities) {
    Findings findings;
    const Model& model = shelf.data().model;
    for (const Rulepack& pack : model.packs) {
        for (const WorkedCase& worked : pack.cases) {
            if (authorities.contains(pack.id) && worked.facts != nullptr) {
                report_case(model, hold_case(shelf, pack, worked), worked, findings);
            }
        }
    }
    return findings.take();
}

void report_worked_cases(const Shelf& shelf, Findings& findings) {
    const Model& model = shelf.data().model;
    report_without_cases(model, findings);
    for (const Rulepack& pack : model.packs) {
        std::vector<const WorkedCase*> met;
        for (const WorkedCase& worked : pack.cases) {
            if (worked.facts != nullptr &&
                report_case(model, hold_case(shelf, pack, worked), worked, findings)) {
                met.push_back(&worked);
            }
        }
        if (!met.empty()) {
            report_elsewhere(model, pack, met, findings);
        }
    }
}

}  // namespace toprail
