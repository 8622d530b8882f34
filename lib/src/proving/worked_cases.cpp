// Entry point: prove_worked_cases.
#include "deciding/three_valued.hpp"
#include "proving/likeness.hpp"
#include "proving/mutants.hpp"
#include "proving/narrow.hpp"
#include "reading/facts_node.hpp"
#include "shelf/expectations.hpp"
#include "toprail/proving.hpp"

#include <algorithm>
#include <map>
#include <memory>
#include <set>

namespace toprail {
namespace {

struct ReadyCase {
    const WorkedCase* worked = nullptr;
    Facts facts;
    std::vector<BoundFact> bound;
    Circumstances circumstances;
    FirstPass first;  // of the pack as it is
};

// One authority with its worked cases, ready to be changed and decided again.
struct Ground {
    std::string authority;
    std::shared_ptr<ShelfData> data;
    std::vector<ReadyCase> cases;
};

bool comes_out(const Shelf& shelf, const std::string& authority, const ReadyCase& ready) {
    DecideOptions options;
    options.authorities = {authority};
    const Answer answer = shelf.decide(ready.facts, ready.circumstances.on, options);
    if (!answer.decision) {
        return false;
    }
    const WorkedCase& worked = *ready.worked;
    return mismatches(shelf.data().model, *answer.decision, authority,
                      {worked.answers, worked.stands, worked.falls, worked.open, worked.displaced,
                       worked.asks})
        .empty();
}

Ground make_ground(const Model& model, AuthorityId authority) {
    Ground ground;
    ground.authority = model.authorities[authority.value].id;
    ground.data = build_data(narrow(model, {authority}));
    const Model& narrowed = ground.data->model;
    for (const PackId id : narrowed.authorities[authority.value].editions) {
        const Rulepack& pack = narrowed[id];
        for (const WorkedCase& worked : pack.cases) {
            if (worked.facts == nullptr) {
                continue;
            }
            ReadyCase ready;
            Findings findings;
            ready.worked = &worked;
            ready.facts = read_fact_entries(*worked.facts, findings);
            ready.bound = bind_facts(narrowed, ready.facts, findings);
            if (findings.any_error()) {
                continue;  // the linter reports it
            }
            // As in the linter: a case without a date is decided on the day the pack was verified.
            ready.circumstances.on = worked.on               ? *worked.on
                                     : pack.verified_through ? *pack.verified_through
                                                             : pack.from;
            ready.circumstances.named.assign(narrowed.authorities.size(), false);
            ready.circumstances.named[authority.value] = true;
            ready.first = three_valued(ground.data->program, ready.bound, ready.circumstances);
            // A case that fails as things are would seem to notice everything.
            if (comes_out(Shelf(ground.data), ground.authority, ready)) {
                ground.cases.push_back(std::move(ready));
            }
        }
    }
    return ground;
}

// The nodes that a mutant changes first, in the program before or after it. When each has one and
// the same settled truth in both, nothing that hangs on them differs. Empty: not known.
std::vector<NodeId> changed_nodes(const Mutant& mutant, PackId written_in, const ShelfData& data) {
    std::vector<NodeId> nodes;
    const auto add_leaf = [&](const LoweredTree& tree) {
        std::size_t at = 0;
        each_leaf(tree, [&](const LoweredTree& leaf) {
            if (at++ == mutant.place.leaf) {
                nodes.push_back(leaf.node);
            }
        });
    };
    if (mutant.place.home == SentencePlace::Home::condition) {
        add_leaf(data.program.conditions[mutant.place.index]);
    }
    for (std::size_t i = 0;
         mutant.place.home == SentencePlace::Home::provision && i < data.model.provisions.size();
         ++i) {
        const Provision& provision = data.model.provisions[i];
        if (provision.written_in != written_in || provision.id != mutant.place.provision) {
            continue;
        }
        const LoweredProvision& lowered = data.program.provisions[i];
        if (mutant.kind == Mutant::Kind::sentence) {
            add_leaf(*lowered.where);
        } else {
            nodes.push_back(lowered.stands);
        }
    }
    return nodes;
}

bool surely_alike(const Mutant& mutant, const std::vector<NodeId>& before,
                  const std::vector<NodeId>& after, const FirstPass& a, const FirstPass& b) {
    // What a provision does matters only where it stands.
    const bool effect_alone =
        mutant.kind != Mutant::Kind::sentence && mutant.kind != Mutant::Kind::days;
    for (std::size_t i = 0; i < before.size(); ++i) {
        const Truth x = a.nodes[before[i].value];
        const Truth y = b.nodes[after[i].value];
        if (x == Truth::open || x != y || (effect_alone && x == Truth::yes)) {
            return false;
        }
    }
    return !before.empty();
}

// Whether some case of the authority comes out otherwise than it says once the pack is changed.
bool noticed(const Mutant& mutant, PackId written_in, Ground& ground) {
    if (ground.cases.empty()) {
        return false;
    }
    const std::vector<NodeId> before = changed_nodes(mutant, written_in, *ground.data);
    auto changed = std::make_shared<ShelfData>();
    // The model is lent to the changed shelf and taken back: copying it costs more than deciding.
    Undo undo = apply(mutant, written_in, ground.data->model);
    std::swap(changed->model, ground.data->model);
    changed->graph = build_dependencies(changed->model);
    changed->program = lower(changed->model, changed->graph);
    bool found = false;
    {
        const Shelf shelf(changed);
        const std::vector<NodeId> after = changed_nodes(mutant, written_in, *changed);
        for (const ReadyCase& ready : ground.cases) {
            const FirstPass pass = three_valued(changed->program, ready.bound, ready.circumstances);
            if (!surely_alike(mutant, before, after, ready.first, pass) &&
                !comes_out(shelf, ground.authority, ready)) {
                found = true;
                break;
            }
        }
    }
    std::swap(changed->model, ground.data->model);
    put_back(std::move(undo), ground.data->model);
    return found;
}

// Whether the authority decides every case alike once the pack is changed.
bool surely_unnoticeable(const Mutant& mutant, PackId written_in, const Ground& ground,
                         Likeness& likeness) {
    Model model = ground.data->model;
    apply(mutant, written_in, model);
    const std::shared_ptr<ShelfData> changed = build_data(std::move(model));
    return likeness.proved(*ground.data, *changed, authority_of(changed->model, ground.authority));
}

class Casework {
  public:
    Casework(const Shelf& shelf, const ProveOptions& options)
        : model_(shelf.data().model),
          options_(options) {}

    CasesReport run() {
        std::size_t done = 0;
        for (const auto& [name, id] : model_.authority_names) {
            if (options_.progress) {
                options_.progress(done++, model_.authority_names.size(), name);
            }
            bool whole = false;
            try {
                whole = look_at(id);
            } catch (const Stopped&) {
                // Between two questions to the solver; what was found until then stays.
            }
            if (!whole) {
                report_.interrupted = true;
                break;
            }
        }
        return std::move(report_);
    }

  private:
    [[nodiscard]] bool stopped() const { return options_.stop != nullptr && options_.stop->load(); }

    // Authorities with a copy of what is written in a pack of this one.
    [[nodiscard]] std::vector<AuthorityId> adopters(AuthorityId authority) const {
        std::set<AuthorityId> found;
        for (const Provision& provision : model_.provisions) {
            if (model_[provision.written_in].authority == authority) {
                found.insert(model_[provision.pack].authority);
            }
        }
        found.erase(authority);
        return {found.begin(), found.end()};
    }

    // False when the host asked to stop.
    bool look_at(AuthorityId authority) {
        std::vector<Ground> grounds;
        grounds.push_back(make_ground(model_, authority));
        for (const AuthorityId adopter : adopters(authority)) {
            grounds.push_back(make_ground(model_, adopter));
        }
        report_.packs.emplace_back();
        CaseCoverage& coverage = report_.packs.back();
        coverage.authority = model_.authorities[authority.value].id;
        for (const Ground& ground : grounds) {
            coverage.cases += ground.cases.size();
        }
        bool stop = false;
        for (const PackId pack : model_.authorities[authority.value].editions) {
            tell_conditions(grounds, pack, coverage);
            stop = stop || !change(grounds, pack, coverage);
        }
        return !stop;
    }

    bool change(std::vector<Ground>& grounds, PackId pack, CaseCoverage& coverage) const {
        const std::vector<Unnoticed>& explanations = model_[pack].unnoticed;
        std::vector<bool> used(explanations.size(), false);
        Likeness likeness(options_);
        for (const Mutant& mutant : mutants_of(grounds.front().data->model, pack)) {
            if (stopped()) {
                return false;
            }
            const bool drops = mutant.kind == Mutant::Kind::dropped;
            coverage.provisions += drops ? 1U : 0U;
            ++coverage.mutants;
            const bool seen = std::any_of(grounds.begin(), grounds.end(), [&](Ground& ground) {
                return noticed(mutant, pack, ground);
            });
            if (seen) {
                continue;
            }
            if (drops) {
                coverage.never_decisive.push_back(mutant.place.provision);
            }
            Survivor survivor{coverage.authority, place_of(mutant.span), mutant.change, {}};
            const bool proved =
                std::all_of(grounds.begin(), grounds.end(), [&](const Ground& ground) {
                    return surely_unnoticeable(mutant, pack, ground, likeness);
                });
            const auto why =
                std::find_if(explanations.begin(), explanations.end(), [&](const Unnoticed& u) {
                    return !proved && u.change.text == mutant.change;
                });
            if (why != explanations.end()) {
                used[static_cast<std::size_t>(why - explanations.begin())] = true;
                survivor.why = why->why;
            }
            (proved                      ? coverage.proved_alike
             : why != explanations.end() ? coverage.explained
                                         : coverage.survivors)
                .push_back(std::move(survivor));
        }
        for (std::size_t i = 0; i < explanations.size(); ++i) {
            if (!used[i]) {
                const Unnoticed& idle = explanations[i];
                coverage.idle_explanations.push_back(
                    {coverage.authority, place_of(idle.change.span), idle.change.text, idle.why});
            }
        }
        return true;
    }

    void tell_conditions(const std::vector<Ground>& grounds, PackId pack,
                         CaseCoverage& coverage) const {
        for (const auto& [name, id] : model_[pack].conditions) {
            std::set<Truth> reached;
            for (const Ground& ground : grounds) {
                const NodeId node = ground.data->program.conditions[id.value].node;
                for (const ReadyCase& ready : ground.cases) {
                    reached.insert(ready.first.nodes[node.value]);
                }
            }
            ++coverage.conditions;
            for (const auto& [truth, text] :
                 {std::pair{Truth::yes, "never true"}, std::pair{Truth::no, "never false"},
                  std::pair{Truth::open, "never unknown"}}) {
                if (!reached.contains(truth)) {
                    coverage.unreached[name].emplace_back(text);
                }
            }
        }
    }

    const Model& model_;
    const ProveOptions& options_;
    CasesReport report_;
};

}  // namespace

CasesReport prove_worked_cases(const Shelf& shelf, const ProveOptions& options) {
    return Casework(shelf, options).run();
}

}  // namespace toprail
