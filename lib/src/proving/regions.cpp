// Entry points: Regions::cover, Regions::hull.
#include "proving/regions.hpp"

#include "deciding/knowledge.hpp"

#include <algorithm>
#include <limits>

namespace toprail {
namespace {

// The thresholds and days that the nodes of one law tell apart.
void scan(const Law& law, const std::vector<NodeId>& outputs,
          std::map<std::string, std::vector<Number>>& turns,
          std::map<std::string, std::vector<std::int32_t>>& cuts) {
    const Program& program = law.program();
    FirstPass nothing_known;
    nothing_known.nodes.assign(program.nodes.size(), Truth::open);
    nothing_known.expressions.resize(program.expressions.size());
    const OpenCone cone = open_cone(program, nothing_known, outputs);
    const auto thresholds = scan_thresholds(program, law.model(), nothing_known, cone);
    for (std::size_t i = 0; i < thresholds.size(); ++i) {
        std::vector<Number>& all = turns[law.model().facts[i].name];
        all.insert(all.end(), thresholds[i].begin(), thresholds[i].end());
    }
    for (std::size_t i = 0; i < program.nodes.size(); ++i) {
        if (!cone.nodes[i] || program.nodes[i].kind != NodeKind::atom) {
            continue;
        }
        const Atom& atom = program.atoms[program.nodes[i].first];
        if (atom.kind != AtomKind::day && atom.kind != AtomKind::work_day) {
            continue;
        }
        auto& days = cuts[atom.kind == AtomKind::day ? law.model()[atom.fact].name : std::string{}];
        // An open end is the least or greatest number there is; a day after it would overflow.
        if (atom.first_day > std::numeric_limits<std::int32_t>::min()) {
            days.push_back(atom.first_day);
        }
        if (atom.last_day < std::numeric_limits<std::int32_t>::max()) {
            days.push_back(atom.last_day + 1);
        }
    }
}

const Filled* find(const FilledCase& filled, const std::string& name) {
    for (const Filled& fact : filled.facts) {
        if (fact.fact->name == name) {
            return &fact;
        }
    }
    return nullptr;
}

}  // namespace

Regions::Regions(Asker& asker, const std::vector<const Law*>& laws,
                 const std::vector<std::vector<NodeId>>& outputs)
    : asker_(asker) {
    for (std::size_t i = 0; i < laws.size(); ++i) {
        scan(*laws[i], outputs[i], turns_, cuts_);
    }
}

void Regions::add_axis(const FactTerms* terms) {
    Axis axis;
    axis.terms = terms;
    axis.classes.fact = FactId(words_.facts.size());
    words_.facts.emplace_back();
    Fact& fact = words_.facts.back();
    if (terms == nullptr) {
        fact.name = "work-date";
        fact.type = FactType::date;
    } else {
        fact = terms->fact;
    }
    const auto not_absent = [&](const z3::expr& test) {
        return fact.may_not_apply ? !terms->absent && test : test;
    };
    switch (fact.type) {
    case FactType::yes_no:
    case FactType::choice:
        for (std::size_t v = 0; v < terms->values.size(); ++v) {
            FactClass one;
            one.values.push_back(static_cast<std::uint32_t>(v));
            axis.classes.classes.push_back(std::move(one));
            axis.holds.push_back(not_absent(terms->values[v].second));
        }
        if (fact.may_not_apply) {
            FactClass absent;
            absent.absent = true;
            axis.classes.classes.push_back(std::move(absent));
        }
        break;
    case FactType::date:
        split_days(axis);
        break;
    case FactType::count:
    case FactType::measured:
        split_numbers(axis);
        break;
    }
    if (fact.may_not_apply) {
        axis.holds.push_back(terms->absent);
    }
    axes_.push_back(std::move(axis));
}

void Regions::split_days(Axis& axis) {
    const Fact& fact = words_[axis.classes.fact];
    axis.classes.classes = day_classes(fact, cuts_[axis.terms == nullptr ? "" : fact.name]);
    const z3::expr& day =
        axis.terms == nullptr ? asker_.variables().work_date() : *axis.terms->number;
    for (const FactClass& days : axis.classes.classes) {
        if (!days.absent) {
            const z3::expr within = day >= days.first_day && day <= days.last_day;
            axis.holds.push_back(fact.may_not_apply ? !axis.terms->absent && within : within);
        }
    }
}

void Regions::split_numbers(Axis& axis) {
    const Fact& fact = words_[axis.classes.fact];
    std::vector<Number>& turns = axis.classes.turns;
    turns = turns_[fact.name];
    axis.classes.classes = number_classes(fact, turns);
    for (const std::optional<Figure>& end : {fact.from, fact.to}) {
        if (end) {
            turns.push_back(end->base);
        }
    }
    std::sort(turns.begin(), turns.end());
    z3::context& context = asker_.context();
    const z3::expr number = fact.type == FactType::count
                                ? z3::expr(context, Z3_mk_int2real(context, *axis.terms->number))
                                : *axis.terms->number;
    for (const FactClass& each : axis.classes.classes) {
        if (each.absent) {
            continue;
        }
        const auto above = std::lower_bound(turns.begin(), turns.end(), each.sample);
        std::vector<z3::expr> within;
        if (fact.may_not_apply) {
            within.push_back(!axis.terms->absent);
        }
        if (above != turns.end() && *above == each.sample) {
            within.push_back(number == real(context, each.sample));
        } else {
            if (above != turns.end()) {
                within.push_back(number < real(context, *above));
            }
            if (above != turns.begin()) {
                within.push_back(number > real(context, *std::prev(above)));
            }
        }
        axis.holds.push_back(all_of(context, within));
    }
}

std::size_t Regions::class_of(const Axis& axis, const FilledCase& filled) const {
    const std::vector<FactClass>& classes = axis.classes.classes;
    if (axis.terms == nullptr) {
        const std::int32_t day = filled.on ? filled.on->days() : classes.front().first_day;
        const auto found = std::find_if(classes.begin(), classes.end(),
                                        [day](const FactClass& c) { return day <= c.last_day; });
        return static_cast<std::size_t>(found - classes.begin());
    }
    const Filled& fact = *find(filled, axis.terms->fact.name);
    for (std::size_t i = 0; i < classes.size(); ++i) {
        if (classes[i].absent != (fact.state == FactState::does_not_apply)) {
            continue;
        }
        if (classes[i].absent) {
            return i;
        }
        if (axis.terms->fact.type == FactType::date) {
            const std::int32_t day = Date::parse(fact.text)->days();
            if (day >= classes[i].first_day && day <= classes[i].last_day) {
                return i;
            }
        } else if (!axis.terms->number) {
            if (axis.terms->values[classes[i].values.front()].first == fact.text) {
                return i;
            }
        } else {
            // Both lie in one class when no turning value lies between them or on one of them
            // alone.
            const auto& turns = axis.classes.turns;
            const auto place = [&turns](const Number& n) {
                return std::make_pair(std::lower_bound(turns.begin(), turns.end(), n),
                                      std::upper_bound(turns.begin(), turns.end(), n));
            };
            if (place(fact.number) == place(classes[i].sample)) {
                return i;
            }
        }
    }
    return 0;
}

z3::expr Regions::term_of(const std::vector<std::vector<bool>>& chosen) const {
    std::vector<z3::expr> terms;
    for (std::size_t a = 0; a < axes_.size(); ++a) {
        if (std::find(chosen[a].begin(), chosen[a].end(), false) == chosen[a].end()) {
            continue;
        }
        std::vector<z3::expr> any;
        for (std::size_t c = 0; c < chosen[a].size(); ++c) {
            if (chosen[a][c]) {
                any.push_back(axes_[a].holds[c]);
            }
        }
        terms.push_back(any_of(asker_.context(), any));
    }
    return all_of(asker_.context(), terms);
}

bool Regions::inside(const std::vector<std::vector<bool>>& chosen, const z3::expr& term) {
    return asker_.ask(term_of(chosen) && !term) == Reply::impossible;
}

bool Regions::reaches(std::vector<std::vector<bool>> chosen, std::size_t axis, std::size_t value,
                      const z3::expr& term) {
    chosen[axis].assign(chosen[axis].size(), false);
    chosen[axis][value] = true;
    return asker_.ask(term_of(chosen) && term) == Reply::possible;
}

void Regions::widen(std::vector<std::vector<bool>>& chosen, const z3::expr& term) {
    std::vector<std::size_t> narrow;
    for (std::size_t a = 0; a < axes_.size(); ++a) {
        const std::vector<bool> before = chosen[a];
        chosen[a].assign(before.size(), true);
        if (!inside(chosen, term)) {
            chosen[a] = before;
            narrow.push_back(a);
        }
    }
    for (const std::size_t a : narrow) {
        // Days on which nothing can happen, as before the first edition, would only add words.
        const bool dated = words_[axes_[a].classes.fact].type == FactType::date;
        for (std::size_t c = 0; c < chosen[a].size(); ++c) {
            if (!chosen[a][c] && (!dated || reaches(chosen, a, c, term))) {
                chosen[a][c] = true;
                chosen[a][c] = inside(chosen, term);
            }
        }
    }
}

void Regions::set_axes(const z3::expr& term) {
    axes_.clear();
    words_.facts.clear();
    const std::vector<std::size_t> groups = asker_.variables().groups_in(term);
    for (const FactTerms* fact : asker_.variables().facts_of(groups)) {
        add_axis(fact);
    }
    add_axis(nullptr);
}

Box Regions::hull(const z3::expr& term) {
    set_axes(term);
    Box box{{}, term, false, {}};
    for (const Axis& axis : axes_) {
        box.chosen.emplace_back(axis.holds.size(), false);
    }
    const auto take_in = [&](const FilledCase& found) {
        for (std::size_t a = 0; a < axes_.size(); ++a) {
            box.chosen[a][class_of(axes_[a], found)] = true;
        }
    };
    asker_.ask(term, box.sample);
    take_in(box.sample);
    for (std::size_t a = 0; a < axes_.size(); ++a) {
        for (std::size_t c = 0; c < axes_[a].holds.size(); ++c) {
            if (box.chosen[a][c]) {
                continue;
            }
            FilledCase found;
            const Reply reply =
                asker_.ask(all_of(asker_.context(), {axes_[a].holds[c], term}), found);
            if (reply == Reply::possible) {
                take_in(found);
            }
            // What is not settled may lie in it.
            box.chosen[a][c] = reply != Reply::impossible;
        }
    }
    box.holds = term_of(box.chosen);
    box.whole = inside(box.chosen, term);
    return box;
}

Cover Regions::cover(const z3::expr& term, std::size_t most) {
    set_axes(term);
    Cover cover;
    z3::expr left = term;
    while (true) {
        FilledCase sample;
        const Reply reply = asker_.ask(left, sample);
        if (reply != Reply::possible) {
            cover.complete = reply == Reply::impossible;
            return cover;
        }
        if (cover.boxes.size() == most) {
            cover.outside = std::move(sample);
            return cover;
        }
        std::vector<std::vector<bool>> chosen;
        for (const Axis& axis : axes_) {
            chosen.emplace_back(axis.holds.size(), false);
            chosen.back()[class_of(axis, sample)] = true;
        }
        const bool whole = inside(chosen, term);
        if (whole) {
            widen(chosen, term);
        }
        const z3::expr holds = term_of(chosen);
        left = left && !holds;
        cover.boxes.push_back({std::move(chosen), holds, whole, std::move(sample)});
    }
}

std::vector<std::string> Regions::words(const Box& box) const {
    std::vector<std::string> words;
    for (std::size_t a = 0; a < axes_.size(); ++a) {
        const std::vector<bool>& chosen = box.chosen[a];
        if (std::find(chosen.begin(), chosen.end(), false) != chosen.end()) {
            words.push_back(describe_classes(words_, axes_[a].classes, chosen));
        }
    }
    return words;
}

}  // namespace toprail
