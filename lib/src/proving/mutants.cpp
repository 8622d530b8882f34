// Entry points: mutants_of, apply, put_back.
#include "proving/mutants.hpp"

#include <algorithm>

namespace toprail {
namespace {

std::optional<Verb> other_boundary(Verb verb) {
    switch (verb) {
    case Verb::more_than:
        return Verb::at_least;
    case Verb::at_least:
        return Verb::more_than;
    case Verb::less_than:
        return Verb::at_most;
    case Verb::at_most:
        return Verb::less_than;
    case Verb::before:
        return Verb::on_or_before;
    case Verb::on_or_before:
        return Verb::before;
    case Verb::after:
        return Verb::on_or_after;
    case Verb::on_or_after:
        return Verb::after;
    default:
        return std::nullopt;
    }
}

// One step is one in the last place that the author wrote: 10 ft and 11 ft, 18.5 ft and 18.6 ft.
Figure moved(const Figure& figure, int steps) {
    const std::size_t unit_at = figure.text.rfind(' ');
    const Unit* unit =
        unit_at == std::string::npos ? nullptr : find_unit(figure.text.substr(unit_at + 1));
    const std::string number = figure.text.substr(0, unit == nullptr ? std::string::npos : unit_at);
    Number step = unit == nullptr ? Number(1) : unit->scale;
    const std::size_t point = number.rfind('.');
    for (std::size_t i = point; point != std::string::npos && i + 1 < number.size(); ++i) {
        step /= 10;
    }
    Figure result = figure;
    result.base += step * steps;
    const std::string by = unit == nullptr ? "" : " " + std::string(unit->name);
    bool exact = true;
    result.text =
        decimal(unit == nullptr ? result.base : Number(result.base / unit->scale), 6, exact) + by;
    return result;
}

Date next(Date day, int by) {
    return Date::from_days(day.days() + by);
}

class Maker {
  public:
    Maker(const Model& model, PackId pack) : model_(model), pack_(pack) {}

    std::vector<Mutant> run() {
        for (const Provision& provision : model_.provisions) {
            if (provision.pack == pack_ && provision.written_in == pack_) {
                of_provision(provision);
            }
        }
        for (const auto& [name, id] : model_[pack_].conditions) {
            SentencePlace place;
            place.home = SentencePlace::Home::condition;
            place.index = id.value;
            of_tree(model_.conditions[id.value].tree, place);
        }
        for (const auto& [name, id] : model_[pack_].quantities) {
            SentencePlace place;
            place.home = SentencePlace::Home::piece;
            place.index = id.value;
            const std::vector<Piece>& pieces = model_.quantities[id.value].pieces;
            for (; place.piece < pieces.size(); ++place.piece) {
                if (pieces[place.piece].where) {
                    of_tree(*pieces[place.piece].where, place);
                }
            }
        }
        return std::move(mutants_);
    }

  private:
    Mutant& add(Mutant::Kind kind, const Span& span, const SentencePlace& place,
                std::string change) {
        Mutant mutant;
        mutant.kind = kind;
        mutant.span = span;
        mutant.place = place;
        mutant.change = std::move(change);
        mutants_.push_back(std::move(mutant));
        return mutants_.back();
    }

    void of_provision(const Provision& provision) {
        SentencePlace place;
        place.provision = provision.id;
        if (provision.where) {
            of_tree(*provision.where, place);
        }
        const Effect& effect = provision.effect;
        const bool decides =
            effect.kind != EffectKind::remark && effect.kind != EffectKind::governs;
        if (!decides) {
            return;  // a worked case names its authority, so who governs plays no part in it
        }
        const std::string& id = provision.id;
        add(Mutant::Kind::dropped, provision.span, place, id + " taken out");
        if (!provision.displaced.empty()) {
            add(Mutant::Kind::displaces_not, provision.span, place, id + " displaces nothing");
        }
        for (std::size_t i = 0; effect.values.size() > 1 && i < effect.values.size(); ++i) {
            const std::vector<std::string>& all = model_[effect.choice].values;
            const auto found = std::find(all.begin(), all.end(), effect.values[i].text);
            add(Mutant::Kind::value, effect.values[i].span, place,
                effect.values[i].text + " taken from the list of " + id)
                .value = static_cast<std::size_t>(found - all.begin());
        }
        if (effect.bound_figure) {
            for (const int steps : {-1, 1}) {
                Figure figure = moved(*effect.bound_figure, steps);
                const std::string change =
                    id + ": " + effect.bound_figure->text + " -> " + figure.text;
                add(Mutant::Kind::bound, effect.bound.span, place, change).figure =
                    std::move(figure);
            }
        }
        of_days(provision, place);
    }

    void of_days(const Provision& provision, const SentencePlace& place) {
        const Days& days = provision.in_force;
        if (days.from) {
            Days later = days;
            later.from = next(*days.from, 1);
            add(Mutant::Kind::days, provision.span, place,
                provision.id + " in force from " + later.from->text())
                .days = later;
        }
        if (days.until) {
            Days earlier = days;
            earlier.until = next(*days.until, -1);
            add(Mutant::Kind::days, provision.span, place,
                provision.id + " in force until " + earlier.until->text())
                .days = earlier;
        }
    }

    void of_tree(const ConditionTree& tree, SentencePlace place) {
        each_leaf(tree, [&](const ConditionTree& leaf) {
            of_sentence(leaf, place);
            ++place.leaf;
        });
    }

    void of_sentence(const ConditionTree& leaf, const SentencePlace& place) {
        const std::string& said = leaf.sentence.whole.text;
        const auto change_to = [&](Test test, const std::string& change) {
            add(Mutant::Kind::sentence, leaf.span, place, "\"" + said + "\" " + change).test =
                std::move(test);
        };
        const Test& test = leaf.test;
        if (test.kind == Test::Kind::truth) {
            Test other = test;
            other.negated = !test.negated;
            change_to(std::move(other), "turned round");
        } else if (test.kind == Test::Kind::one_of) {
            of_values(leaf, change_to);
        } else if (const auto verb = other_boundary(test.verb)) {
            Test other = test;
            other.verb = *verb;
            change_to(std::move(other), std::string(words_of(*verb)));
        }
        if (test.kind == Test::Kind::compare && test.figure) {
            for (const int steps : {-1, 1}) {
                Test other = test;
                other.figure = moved(*test.figure, steps);
                const std::string text = "with " + other.figure->text;
                change_to(std::move(other), text);
            }
        }
        if (test.kind == Test::Kind::day) {
            Test other = test;
            other.day = next(*test.day, 1);
            const std::string text = "with " + other.day->text();
            change_to(std::move(other), text);
        }
    }

    template <class ChangeTo>
    void of_values(const ConditionTree& leaf, const ChangeTo& change_to) {
        const Fact& fact = model_.facts[leaf.test.subject.index];
        const std::size_t count = fact.type == FactType::yes_no ? 2 : fact.values.size();
        const std::vector<Word>& written = leaf.sentence.objects;
        if (written.size() < 2) {
            Test other = leaf.test;
            other.values.clear();
            for (std::uint32_t v = 0; v < count; ++v) {
                const auto& old = leaf.test.values;
                if (std::find(old.begin(), old.end(), v) == old.end()) {
                    other.values.push_back(v);
                }
            }
            change_to(std::move(other), "turned round");
            return;
        }
        for (const Word& word : written) {
            const auto found = std::find(fact.values.begin(), fact.values.end(), word.text);
            if (found == fact.values.end()) {
                continue;
            }
            const auto v = static_cast<std::uint32_t>(found - fact.values.begin());
            Test other = leaf.test;
            // A list after "is not one of" is kept as its complement, so the value joins or leaves.
            if (std::erase(other.values, v) == 0) {
                other.values.push_back(v);
                std::sort(other.values.begin(), other.values.end());
            }
            change_to(std::move(other), "without " + word.text);
        }
    }

    const Model& model_;
    PackId pack_;
    std::vector<Mutant> mutants_;
};

void replace_leaf(ConditionTree& tree, const Mutant& mutant) {
    std::size_t at = 0;
    each_leaf(tree, [&](ConditionTree& leaf) {
        if (at++ == mutant.place.leaf) {
            leaf.test = mutant.test;
        }
    });
}

void change(Provision& provision, const Mutant& mutant) {
    switch (mutant.kind) {
    case Mutant::Kind::sentence:
        replace_leaf(*provision.where, mutant);
        break;
    case Mutant::Kind::dropped:
        provision.effect.kind = EffectKind::none;
        provision.effect.relaxed.clear();
        provision.displaced.clear();
        break;
    case Mutant::Kind::displaces_not:
        provision.displaced.clear();
        break;
    case Mutant::Kind::value:
        provision.effect.removes[mutant.value] = !provision.effect.removes[mutant.value];
        break;
    case Mutant::Kind::bound:
        provision.effect.bound_figure = mutant.figure;
        break;
    case Mutant::Kind::days:
        provision.in_force = mutant.days;
        break;
    }
}

}  // namespace

std::vector<Mutant> mutants_of(const Model& model, PackId pack) {
    return Maker(model, pack).run();
}

Undo apply(const Mutant& mutant, PackId written_in, Model& model) {
    Undo undo;
    const std::size_t index = mutant.place.index;
    switch (mutant.place.home) {
    case SentencePlace::Home::condition:
        undo.conditions.emplace_back(index, model.conditions[index]);
        replace_leaf(model.conditions[index].tree, mutant);
        return undo;
    case SentencePlace::Home::piece:
        undo.quantities.emplace_back(index, model.quantities[index]);
        replace_leaf(*model.quantities[index].pieces[mutant.place.piece].where, mutant);
        return undo;
    case SentencePlace::Home::provision:
        break;
    }
    for (std::size_t i = 0; i < model.provisions.size(); ++i) {
        Provision& provision = model.provisions[i];
        if (provision.written_in == written_in && provision.id == mutant.place.provision) {
            undo.provisions.emplace_back(i, provision);
            change(provision, mutant);
        }
    }
    return undo;
}

void put_back(Undo&& undo, Model& model) {
    for (auto& [index, provision] : undo.provisions) {
        model.provisions[index] = std::move(provision);
    }
    for (auto& [index, condition] : undo.conditions) {
        model.conditions[index] = std::move(condition);
    }
    for (auto& [index, quantity] : undo.quantities) {
        model.quantities[index] = std::move(quantity);
    }
}

}  // namespace toprail
