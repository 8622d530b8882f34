// Entry point: reasons_for.
#include "deciding/reasons.hpp"

#include <algorithm>
#include <set>
#include <tuple>

namespace toprail {
namespace {

// Named conditions inside named conditions are followed this far; deeper ones are named only.
constexpr unsigned deepest = 24;

std::string_view truth_word(Truth truth) {
    return truth == Truth::yes ? "true" : truth == Truth::no ? "false" : "unknown";
}

// By their words, each once.
void put_in_order(std::vector<Reason>& reasons) {
    const auto less = [](const Reason& a, const Reason& b) {
        return std::tie(a.says, a.truth) < std::tie(b.says, b.truth);
    };
    const auto same = [](const Reason& a, const Reason& b) {
        return a.says == b.says && a.truth == b.truth;
    };
    std::sort(reasons.begin(), reasons.end(), less);
    reasons.erase(std::unique(reasons.begin(), reasons.end(), same), reasons.end());
}

class Explainer {
  public:
    Explainer(const Work& work, ReasonCache& cache) : work_(work), cache_(cache) {}

    // The leaf sentences that decide the tree.
    std::vector<Reason> explain(const LoweredTree& tree, unsigned depth) {
        const Truth truth = work_.knowledge.truth(tree.node);
        if (tree.tree->shape == ConditionTree::Shape::sentence) {
            return leaf(tree, truth, depth);
        }
        const bool none_of = tree.tree->shape == ConditionTree::Shape::none_of;
        const bool all_of = tree.tree->shape == ConditionTree::Shape::all_of;
        // The truth of a part that decides the whole by itself.
        const Truth deciding = all_of ? Truth::no : Truth::yes;
        const bool decided_by_one = truth == (all_of    ? Truth::no
                                              : none_of ? Truth::no
                                                        : Truth::yes);
        if (truth != Truth::open && decided_by_one) {
            return shortest(tree, deciding, depth);
        }
        std::vector<Reason> all;
        for (const LoweredTree& part : tree.parts) {
            if (truth != Truth::open || work_.knowledge.truth(part.node) == Truth::open) {
                append(all, explain(part, depth));
            }
        }
        return all;
    }

  private:
    static void append(std::vector<Reason>& list, std::vector<Reason> more) {
        for (Reason& reason : more) {
            list.push_back(std::move(reason));
        }
    }

    static auto key(const std::vector<Reason>& reasons) {
        std::size_t facts = 0;
        std::string text;
        for (const Reason& reason : reasons) {
            facts += reason.facts.size();
            text += reason.says + "\n";
        }
        return std::make_tuple(facts, text);
    }

    std::vector<Reason> shortest(const LoweredTree& tree, Truth deciding, unsigned depth) {
        std::optional<std::vector<Reason>> best;
        for (const LoweredTree& part : tree.parts) {
            if (work_.knowledge.truth(part.node) == deciding) {
                std::vector<Reason> reasons = explain(part, depth);
                if (!best || key(reasons) < key(*best)) {
                    best = std::move(reasons);
                }
            }
        }
        if (best) {
            return std::move(*best);
        }
        // No part decides by itself although the whole is decided: the parts exclude or exhaust
        // each other.
        std::vector<Reason> all;
        for (const LoweredTree& part : tree.parts) {
            append(all, explain(part, depth));
        }
        return all;
    }

    std::vector<Reason> leaf(const LoweredTree& tree, Truth truth, unsigned depth) {
        const Test& test = tree.tree->test;
        if (test.subject.kind == RefKind::condition) {
            return named(tree, truth, depth);
        }
        Reason reason;
        std::set<std::string> facts;
        collect_facts(test.subject, facts);
        collect_facts(test.other, facts);
        reason.facts.assign(facts.begin(), facts.end());
        reason.truth = truth_word(truth);
        reason.says = reading(tree.tree->sentence, test) + " (" + name_and_value(test.subject);
        if (test.other.kind != RefKind::none) {
            reason.says += "; " + name_and_value(test.other);
        }
        reason.says += ")";
        return {reason};
    }

    // The sentence with the plain-language reading of its subject in place of the name.
    [[nodiscard]] std::string reading(const Sentence& sentence, const Test& test) const {
        const std::string& reads = test.subject.kind == RefKind::quantity
                                       ? work_.model.quantities[test.subject.index].reads
                                       : work_.model.facts[test.subject.index].reads;
        if (test.kind == Test::Kind::truth) {
            return (test.negated ? "not: " : "") + reads;
        }
        const std::size_t subject_end =
            sentence.whole.text.find(sentence.subject.text) + sentence.subject.text.size();
        return reads + sentence.whole.text.substr(subject_end);
    }

    [[nodiscard]] std::string name_and_value(Ref ref) const {
        const std::string& name = work_.model.name(ref);
        const std::string value = work_.value_text(ref);
        if (value == "no value") {
            return name + " has no value";
        }
        return value == "not known" || value == "does not apply"
                   ? name + " " + (value == "not known" ? "is " : "") + value
                   : name + ": " + value;
    }

    // A named condition is told by its reading, with the facts that decide it, and what it comes
    // down to: a threshold inside it stands there and nowhere else.
    std::vector<Reason> named(const LoweredTree& tree, Truth truth, unsigned depth) {
        const Test& test = tree.tree->test;
        const Condition& condition = work_.model.conditions[test.subject.index];
        Reason reason;
        reason.truth = truth_word(truth);
        std::string facts_text;
        const ReasonCache::Behind& behind = behind_of(test.subject.index, depth);
        for (const std::string& fact : behind.facts) {
            const Ref ref = work_.model.shared_names.find(fact)->second;
            facts_text += (facts_text.empty() ? "" : "; ") + name_and_value(ref);
        }
        reason.facts = behind.facts;
        reason.since = behind.since;
        reason.says = (test.negated ? "not: " : "") + condition.reads;
        if (!facts_text.empty()) {
            reason.says += " (" + facts_text + ")";
        }
        return {reason};
    }

    // What decides a named condition. Each is worked out once: conditions that name each other in
    // layers are reached in more ways than could be walked.
    const ReasonCache::Behind& behind_of(std::uint32_t condition, unsigned depth) {
        const auto [found, fresh] = cache_.conditions.try_emplace({condition, depth});
        if (fresh && depth < deepest) {
            std::set<std::string> facts;
            std::vector<Reason> since;
            for (const Reason& inner : explain(work_.program.conditions[condition], depth + 1)) {
                facts.insert(inner.facts.begin(), inner.facts.end());
                if (inner.since.empty()) {
                    since.push_back(inner);
                } else {
                    append(since, inner.since);
                }
            }
            put_in_order(since);
            found->second.facts.assign(facts.begin(), facts.end());
            found->second.since = std::move(since);
        }
        return found->second;
    }

    // The facts that a fact or quantity is built from, those that choose among its pieces included.
    void collect_facts(Ref ref, std::set<std::string>& facts) const {
        if (ref.kind == RefKind::fact) {
            facts.insert(work_.model.facts[ref.index].name);
        } else if (ref.kind == RefKind::quantity) {
            const SharedFacts& built_from = work_.program.facts_behind[ref.index];
            facts.insert(built_from->begin(), built_from->end());
        }
    }

    const Work& work_;
    ReasonCache& cache_;
};

}  // namespace

std::vector<Reason> reasons_for(const Work& work, const LoweredTree& tree, ReasonCache& cache) {
    std::vector<Reason> reasons = Explainer(work, cache).explain(tree, 0);
    put_in_order(reasons);
    return reasons;
}

}  // namespace toprail
