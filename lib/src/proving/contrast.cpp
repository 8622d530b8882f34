// Entry point: Contrast::hold.
#include "proving/contrast.hpp"

#include <algorithm>

namespace toprail {
namespace {

// The nodes that the answer is made of, for the regions to be split by.
std::vector<NodeId> nodes_behind(const Law& law, const Subject& subject) {
    std::vector<NodeId> nodes;
    const Program& program = law.program();
    for (std::size_t i = 0; i < program.provisions.size(); ++i) {
        const Effect& effect = law.model().provisions[i].effect;
        const bool governs = subject.kind == Subject::Kind::governs;
        const bool bears =
            governs ? effect.kind == EffectKind::governs
                    : effect.kind != EffectKind::governs && (effect.target.text == subject.name ||
                                                             effect.kind == EffectKind::exception);
        if (bears) {
            nodes.push_back(program.provisions[i].live);
        }
    }
    return nodes;
}

// Equal terms are one term to the solver: nothing that was not edited costs a question.
bool same_terms(const AnswerTerms& a, const AnswerTerms& b) {
    return std::equal(a.states.begin(), a.states.end(), b.states.begin(), b.states.end(),
                      [](const State& x, const State& y) { return x.holds.id() == y.holds.id(); });
}

bool has(const std::vector<std::string>& texts, const std::string& text) {
    return std::find(texts.begin(), texts.end(), text) != texts.end();
}

// What worked cases expect of the answer.
std::vector<std::pair<std::string, std::string>> expectation(const Decision& decision,
                                                             const Subject& subject) {
    const std::string text = told(decision, subject);
    switch (subject.kind) {
    case Subject::Kind::duty:
    case Subject::Kind::limit:
        return {{subject.name, text}};
    case Subject::Kind::value: {
        const ChoiceDecision* choice = decision.choice(subject.name);
        std::string list;
        for (const std::string& value :
             choice == nullptr ? std::vector<std::string>{} : choice->admissible) {
            list += (list.empty() ? "" : ", ") + value;
        }
        if (choice == nullptr) {
            return {};
        }
        return {{subject.name, list.empty() ? "none" : "[" + list + "]"}};
    }
    case Subject::Kind::governs:
        break;
    }
    return {};
}

}  // namespace

std::string_view word(Asks asks) {
    switch (asks) {
    case Asks::less:
        return "asks less";
    case Asks::more:
        return "asks more";
    case Asks::either:
        break;
    }
    return "asks less in some cases, more in others";
}

z3::expr both_hold(Bureau& bureau, const Law& a, const Law& b) {
    return bureau.supposition(a) && bureau.supposition(b);
}

void Contrast::hold(const Side& before, const Side& after, const Subject& subject,
                    const std::string& authority, const std::vector<Date>& days) {
    z3::context& context = bureau_.context();
    const AnswerTerms a = answer_terms(context, *before.law, subject);
    const AnswerTerms b = answer_terms(context, *after.law, subject);
    if (same_terms(a, b)) {
        return;
    }
    // Two figures may be the same bound, and one quantity two bounds: figures are told apart by
    // value.
    z3::expr apart = context.bool_val(true);
    z3::expr looser = apart;
    if (a.bound) {
        const z3::expr wider =
            subject.at_most ? b.bound->value > a.bound->value : b.bound->value < a.bound->value;
        looser = a.bound->any && (!b.bound->any || wider);
        apart = looser_only_ ? looser
                             : a.bound->any != b.bound->any ||
                                   (a.bound->any && a.bound->value != b.bound->value);
    }
    if (bureau_.asker().ask(apart) == Reply::impossible) {
        return;
    }
    for (const State& x : a.states) {
        for (const State& y : b.states) {
            const bool counts = a.bound        ? true
                                : looser_only_ ? x.strictness > y.strictness
                                               : x.strictness != y.strictness;
            if (counts) {
                const z3::expr differs = all_of(context, {x.holds, y.holds, apart});
                const bool less = a.bound || x.strictness > y.strictness;
                hold_pair(before, after, subject, authority, days,
                          {x, y, differs, looser && context.bool_val(less)});
            }
        }
    }
}

Asks Contrast::way_of(const Pair& pair, const Box& box) {
    const z3::expr here = box.holds && pair.differs;
    const bool less = bureau_.asker().ask(here && pair.less) != Reply::impossible;
    const bool more = bureau_.asker().ask(here && !pair.less) != Reply::impossible;
    return less && more ? Asks::either : less ? Asks::less : Asks::more;
}

bool Contrast::shared(const std::vector<Entered>& entered, const z3::expr& differs,
                      const std::string& authority) {
    std::vector<z3::expr> known;
    for (const Entered& each : entered) {
        known.push_back(each.holds);
    }
    Asker& asker = bureau_.asker();
    if (asker.ask(differs && !any_of(bureau_.context(), known)) != Reply::impossible) {
        return false;
    }
    for (const Entered& each : entered) {
        if (asker.ask(differs && each.holds) == Reply::possible) {
            std::vector<std::string>& also = comparison_.regions[each.region].also;
            if (!has(also, authority)) {
                also.push_back(authority);
            }
        }
    }
    return true;
}

void Contrast::hold_pair(const Side& before, const Side& after, const Subject& subject,
                         const std::string& authority, const std::vector<Date>& days,
                         const Pair& pair) {
    const Reply reply = bureau_.asker().ask(pair.differs);
    if (reply == Reply::impossible) {
        return;
    }
    if (reply == Reply::unsettled) {
        all_settled_ = false;
        Proof proof;
        proof.question = "difference";
        proof.authority = authority;
        proof.about = {subject.text()};
        proof.says = subject.text() + ", " + pair.before.texts.front() + " -> " +
                     pair.after.texts.front() + ": not settled within the time given";
        comparison_.rest.push_back(std::move(proof));
        return;
    }
    std::vector<Entered>& entered =
        entered_[subject.text() + "#" + pair.before.texts.front() + "#" + pair.after.texts.front()];
    if (!entered.empty() && shared(entered, pair.differs, authority)) {
        return;
    }
    Regions regions(bureau_.asker(), {before.law, after.law},
                    {nodes_behind(*before.law, subject), nodes_behind(*after.law, subject)});
    Cover cover = regions.cover(pair.differs, bureau_.options().regions);
    if (cover.outside) {
        cover = {{regions.hull(pair.differs)}, true, std::nullopt};
    }
    for (const Box& box : cover.boxes) {
        enter(before, after, subject, authority, days, pair, box, regions.words(box), entered);
    }
    all_settled_ = all_settled_ && cover.complete;
}

Simplified Contrast::example_of(const Side& before, const Side& after, const Subject& subject,
                                const Pair& pair, const FilledCase& found,
                                const std::vector<Date>& days) {
    const auto shows = [&](const Situation& situation, bool thorough) {
        const auto a = before.bench->decide(situation, thorough);
        const auto b = after.bench->decide(situation, thorough);
        if (!a || !b) {
            return Seen::no;
        }
        const std::string x = told(*a, subject);
        const std::string y = told(*b, subject);
        if (x.empty() || y.empty()) {
            return Seen::open;
        }
        const bool values_differ = x != y || bound_told(*a, subject) != bound_told(*b, subject);
        return has(pair.before.texts, x) && has(pair.after.texts, y) && values_differ ? Seen::yes
                                                                                      : Seen::no;
    };
    return simplify(found, days, shows);
}

void Contrast::enter(const Side& before, const Side& after, const Subject& subject,
                     const std::string& authority, const std::vector<Date>& days, const Pair& pair,
                     const Box& box, std::vector<std::string> where,
                     std::vector<Entered>& entered) {
    const Simplified simplified = example_of(before, after, subject, pair, box.sample, days);
    Labels labels;
    labels.name =
        subject.text() + ": " + pair.before.texts.front() + ", then " + pair.after.texts.front();
    std::replace(labels.name.begin(), labels.name.end(), ':', ' ');
    const bool governs = subject.kind == Subject::Kind::governs;
    const std::string& owner = governs ? std::string{} : authority;
    if (simplified.seen == Seen::yes) {
        const auto decision = after.bench->decide(simplified.situation, true);
        labels.answers = expectation(*decision, subject);
        labels.stands = grounds(*decision, subject);
    }
    if (simplified.seen != Seen::yes) {
        enter_rest(subject, authority, pair, simplified, labels);
        return;
    }
    Region region;
    region.authority = authority;
    region.subject = subject.text();
    region.before = pair.before.texts.front();
    region.after = pair.after.texts.front();
    region.after += region.after == region.before ? ", which comes to another figure" : "";
    region.asks = way_of(pair, box);
    region.where = std::move(where);
    region.whole = box.whole;
    region.example = tell_example(simplified.situation, owner, labels);
    entered.push_back({comparison_.regions.size(), box.holds});
    comparison_.regions.push_back(std::move(region));
}

void Contrast::enter_rest(const Subject& subject, const std::string& authority, const Pair& pair,
                          const Simplified& simplified, const Labels& labels) {
    Proof proof;
    proof.question = "difference";
    proof.authority = authority;
    proof.about = {subject.text()};
    proof.says = subject.text() + ", " + pair.before.texts.front() + " -> " +
                 pair.after.texts.front() + ", in further cases";
    enter_example(proof, simplified, subject.kind == Subject::Kind::governs ? "" : authority,
                  labels);
    comparison_.rest.push_back(std::move(proof));
}

}  // namespace toprail
