// Entry point: smallest_changes. Each given fact is taken back; where the outcome then hangs on it,
// every class of its values is tried. Pairs are tried in the same way when no single fact does it.
#include "toprail/changes.hpp"

#include "deciding/work.hpp"
#include "rulepack/resolve.hpp"

#include <algorithm>
#include <map>

namespace toprail {
namespace {

constexpr Outcome ranked[] = {Outcome::required, Outcome::required_with_exception,
                              Outcome::not_required, Outcome::not_addressed};

/// Thrown when the tries are used up; never leaves this file.
struct TriesSpent {};

/// The classes of one fact's values, as a variable that can be told in words, and a value of each.
struct Choices {
    Variable variable;
    std::vector<BoundFact> values;
};

class Search {
  public:
    Search(const Shelf& shelf, const Facts& given, const Circumstances& circumstances,
           std::vector<BoundFact> bound, DutyId duty, const DecideOptions& options,
           std::size_t most_tries)
        : model_(shelf.data().model),
          program_(shelf.data().program),
          given_(given),
          circumstances_(circumstances),
          base_(std::move(bound)),
          duty_(duty),
          budget_(options.budget),
          tries_left_(most_tries) {
        const LoweredDuty& lowered = program_.duties[duty.value];
        nodes_ = {lowered.required, lowered.excepted, lowered.not_required};
    }

    void run(Changes& result) {
        const Ranking base = rank(base_);
        exact_ = base.exact;
        before_ = base.reachable;
        const DutyDecision decided = decide(base_);
        result.outcome = decided.outcome;
        grounds_ = decided.provisions;
        try {
            look_at_singles();
            if (found_.empty()) {
                const bool singles_exact = exact_;
                look_at_pairs();
                result.proved_smallest = singles_exact && (!found_.empty() || exact_);
            } else {
                result.proved_smallest = true;
            }
            result.complete = exact_;
        } catch (const TriesSpent&) {
            // A single fact is the smallest change there is, however the search ended.
            result.proved_smallest = !found_.empty() && found_.front().facts.size() == 1;
        }
        result.size = found_.empty() ? 0 : found_.front().facts.size();
        result.changes = std::move(found_);
    }

  private:
    [[nodiscard]] Ranking rank(const std::vector<BoundFact>& facts) {
        if (tries_left_-- == 0) {
            throw TriesSpent{};
        }
        Knowledge knowledge(program_, model_, facts, circumstances_, budget_);
        knowledge.work_out(nodes_);
        return knowledge.rank(nodes_);
    }

    [[nodiscard]] DutyDecision decide(const std::vector<BoundFact>& facts) const {
        Knowledge knowledge(program_, model_, facts, circumstances_, budget_);
        Work work{model_, program_, given_, circumstances_, knowledge, {}};
        knowledge.work_out(program_.governs);
        for (const NodeId governs : program_.governs) {
            work.governs.push_back(knowledge.truth(governs));
        }
        std::vector<NodeId> nodes = nodes_;
        for (const LoweredProvision& provision : program_.provisions) {
            nodes.push_back(provision.live);
        }
        for (const LoweredDuty& duty : program_.duties) {
            nodes.insert(nodes.end(),
                         {duty.required, duty.excepted, duty.not_required, duty.contested});
        }
        knowledge.work_out(nodes);
        for (DutyDecision& each : decide_duties(work)) {
            if (each.duty == model_[duty_].name) {
                return std::move(each);
            }
        }
        DutyDecision none;
        none.possible = {Outcome::not_addressed};
        return none;
    }

    [[nodiscard]] Choices choices(const std::vector<BoundFact>& without, FactId id) const {
        const Fact& fact = model_[id];
        const FirstPass first = three_valued(program_, without, circumstances_);
        Choices all;
        all.variable.fact = id;
        if (fact.type == FactType::choice || fact.type == FactType::yes_no) {
            const std::size_t count = fact.type == FactType::yes_no ? 2 : fact.values.size();
            // One class for each value: what is told names them one by one.
            std::vector<std::vector<bool>> tests(count, std::vector<bool>(count, false));
            std::vector<const std::vector<bool>*> each;
            for (std::size_t i = 0; i < count; ++i) {
                tests[i][i] = true;
                each.push_back(&tests[i]);
            }
            all.variable.classes = value_classes(fact, each);
        } else if (fact.type == FactType::date) {
            std::vector<std::int32_t> cuts;
            for (const Atom& atom : program_.atoms) {
                if (atom.kind == AtomKind::day && atom.fact == id) {
                    add_cuts(atom, cuts);
                }
            }
            all.variable.classes = day_classes(fact, std::move(cuts));
        } else {
            const OpenCone cone = open_cone(program_, first, nodes_);
            all.variable.turns = scan_thresholds(program_, model_, first, cone)[id.value];
            all.variable.classes = number_classes(fact, all.variable.turns);
        }
        for (const FactClass& each : all.variable.classes) {
            BoundFact value;
            value.state = each.absent ? FactState::does_not_apply : FactState::given;
            value.value = each.values.empty() ? 0 : each.values.front();
            value.day = each.first_day;
            value.number = each.sample;
            all.values.push_back(std::move(value));
        }
        return all;
    }

    [[nodiscard]] std::vector<std::size_t> given_facts() const {
        std::vector<std::size_t> all;
        for (std::size_t i = 0; i < base_.size(); ++i) {
            if (base_[i].state != FactState::not_known) {
                all.push_back(i);
            }
        }
        return all;
    }

    // Whether the outcome can be another one once some facts are taken back. No filling of them
    // gives another one when the outcome was decided and still is.
    bool can_change(const std::vector<BoundFact>& without) {
        const Ranking open = rank(without);
        exact_ = exact_ && open.exact;
        return open.reachable != before_ || std::count(before_.begin(), before_.end(), true) != 1;
    }

    // Tries every class of one fact; those with equal effect are told as one change.
    void look_at(std::vector<BoundFact> facts, std::size_t i,
                 const std::vector<FactChange>& so_far) {
        facts[i] = BoundFact{};
        const Choices all = choices(facts, FactId(i));
        std::map<std::vector<bool>, std::vector<bool>> effects;
        for (std::size_t c = 0; c < all.values.size(); ++c) {
            facts[i] = all.values[c];
            const std::vector<bool> reachable = rank(facts).reachable;
            if (reachable != before_) {
                std::vector<bool>& classes = effects[reachable];
                classes.resize(all.values.size(), false);
                classes[c] = true;
            }
        }
        for (const auto& [reachable, classes] : effects) {
            const auto sample = std::find(classes.begin(), classes.end(), true) - classes.begin();
            facts[i] = all.values[static_cast<std::size_t>(sample)];
            add(facts, reachable, so_far, FactId(i),
                describe_classes(model_, all.variable, classes));
        }
    }

    void look_at_singles() {
        for (const std::size_t i : given_facts()) {
            std::vector<BoundFact> without = base_;
            without[i] = BoundFact{};
            if (can_change(without)) {
                look_at(base_, i, {});
            }
        }
    }

    void look_at_pairs() {
        const std::vector<std::size_t> given = given_facts();
        for (std::size_t a = 0; a < given.size(); ++a) {
            for (std::size_t b = a + 1; b < given.size(); ++b) {
                std::vector<BoundFact> facts = base_;
                facts[given[a]] = BoundFact{};
                facts[given[b]] = BoundFact{};
                if (can_change(facts)) {
                    look_at_pair(std::move(facts), given[a], given[b]);
                }
            }
        }
    }

    void look_at_pair(std::vector<BoundFact> facts, std::size_t first, std::size_t second) {
        const Choices all = choices(facts, FactId(first));
        for (std::size_t c = 0; c < all.values.size(); ++c) {
            std::vector<bool> chosen(all.values.size(), false);
            chosen[c] = true;
            facts[first] = all.values[c];
            look_at(facts, second,
                    {{model_[FactId(first)].name, was(FactId(first)),
                      describe_classes(model_, all.variable, chosen)}});
        }
    }

    [[nodiscard]] std::string was(FactId fact) const {
        const FactEntry* entry = given_.find(model_[fact].name);
        return entry->state == FactState::given ? entry->text : "does not apply";
    }

    void add(const std::vector<BoundFact>& facts, const std::vector<bool>& reachable,
             const std::vector<FactChange>& so_far, FactId fact, std::string now) {
        Change change;
        change.facts = so_far;
        change.facts.push_back({model_[fact].name, was(fact), std::move(now)});
        for (std::size_t i = 0; i < std::size(ranked); ++i) {
            if (reachable[i]) {
                change.possible.push_back(ranked[i]);
            }
        }
        change.outcome =
            change.possible.size() == 1 ? change.possible.front() : Outcome::undetermined;
        const std::vector<std::string> grounds = decide(facts).provisions;
        change.brings_in = missing_in(grounds_, grounds);
        change.takes_away = missing_in(grounds, grounds_);
        found_.push_back(std::move(change));
    }

    // Those of `all` that do not stand in `known`, with their citations.
    [[nodiscard]] std::vector<std::string> missing_in(const std::vector<std::string>& known,
                                                      const std::vector<std::string>& all) const {
        std::vector<std::string> cited;
        for (std::size_t i = 0; i < model_.provisions.size(); ++i) {
            const std::string key = model_.key(ProvisionId(i));
            if (std::find(all.begin(), all.end(), key) != all.end() &&
                std::find(known.begin(), known.end(), key) == known.end()) {
                cited.push_back(key + " (" + model_.provisions[i].cite + ")");
            }
        }
        return cited;
    }

    const Model& model_;
    const Program& program_;
    const Facts& given_;
    const Circumstances& circumstances_;
    std::vector<BoundFact> base_;
    DutyId duty_;
    std::size_t budget_;
    std::size_t tries_left_;
    std::vector<NodeId> nodes_;
    std::vector<bool> before_;
    std::vector<std::string> grounds_;
    bool exact_ = true;
    std::vector<Change> found_;
};

}  // namespace

Changes smallest_changes(const Shelf& shelf, const Facts& facts, Date on, const std::string& duty,
                         const DecideOptions& options, std::size_t most_tries) {
    Changes result;
    const Model& model = shelf.data().model;
    Findings findings;
    const auto found = model.duty_names.find(duty);
    if (found == model.duty_names.end()) {
        std::vector<std::string> known;
        for (const auto& [name, id] : model.duty_names) {
            known.push_back(name);
        }
        report_unknown(Kind::unknown_name, {duty, {}}, "duty", known, findings);
    }
    std::vector<BoundFact> bound = bind_facts(model, facts, findings);
    const Circumstances circumstances = read_circumstances(model, on, options, findings);
    if (!findings.any_error()) {
        Search(shelf, facts, circumstances, std::move(bound), found->second, options, most_tries)
            .run(result);
    }
    result.findings = findings.take();
    return result;
}

}  // namespace toprail
