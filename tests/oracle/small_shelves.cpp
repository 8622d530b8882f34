// Entry point: for_small_shelves.

#include "oracle/small_shelves.hpp"

#include <fmt/format.h>

namespace oracle {

namespace {

const std::vector<SmallFact>& all_facts() {
    static const std::vector<SmallFact> facts{
        {"gate",
         "type: yes-no",
         "gate",
         "gate is no",
         {"yes", "no", "not known", "does not apply", "ajar"}},
        {"rail",
         "type: choice, values: [whole, cut]",
         "rail is whole",
         "rail is not whole",
         {"whole", "cut", "not known", "does not apply", "bent"}},
        {"height",
         "type: length, unit: ft, from: 0 ft, to: 50 ft",
         "height is at least 6 ft",
         "height is less than 6 ft",
         {"5 ft", "72 in", "7 ft", "not known", "does not apply", "tall"}}};
    return facts;
}

enum class Effect { required, not_required, exception, bars, limit };

struct Shape {
    bool second_authority = false;
    Effect effect = Effect::required;
    std::string condition;  // empty: always
    /// The provision before it that it relaxes (an exception) or displaces; -1: none.
    int target = -1;
};

/// Ids are unique over both packs, so that a reference needs no second look.
std::string id(std::size_t index) {
    return fmt::format("p-{}", index + 1);
}

std::string authority(const Shape& shape) {
    return shape.second_authority ? "b.two" : "a.one";
}

std::string effect_text(const std::vector<Shape>& shapes, const Shape& shape) {
    switch (shape.effect) {
    case Effect::required:
        return "duty: tie-off, calls-for: required";
    case Effect::not_required:
        return "duty: tie-off, calls-for: not required";
    case Effect::exception: {
        const auto target = static_cast<std::size_t>(shape.target);
        return fmt::format("relaxes: [{}/{}], terms: t, terms-met-by: tied",
                           authority(shapes[target]), id(target));
    }
    case Effect::bars:
        return "choice: means, bars: [arrest]";
    case Effect::limit:
        return "limit: reach, at-most: 6 ft";
    }
    return {};
}

std::string provision_text(const std::vector<Shape>& shapes, std::size_t index) {
    const Shape& shape = shapes[index];
    std::string text = fmt::format("  - {{id: {}, cite: c, source: read, gist: g, {}", id(index),
                                   effect_text(shapes, shape));
    if (!shape.condition.empty()) {
        text += ", where: " + shape.condition;
    }
    if (shape.target >= 0 && shape.effect != Effect::exception) {
        const auto target = static_cast<std::size_t>(shape.target);
        text += fmt::format(", displaces: [{}/{}]", authority(shapes[target]), id(target));
    }
    return text + "}\n";
}

SmallShelf shelf_of(const std::vector<SmallFact>& facts, const std::vector<Shape>& shapes) {
    std::string vocabulary =
        "vocabulary: words\ntitle: Words\nstandings:\n"
        "  regulation: {rank: 1, may: [require, relax, limit, explain]}\n"
        "facts:\n"
        "  reach: {type: length, unit: ft, from: 0 ft, reads: r, ask: q, why: w}\n"
        "  tied: {type: yes-no, plan: yes, reads: r, ask: q, why: w}\n";
    for (const SmallFact& fact : facts) {
        vocabulary += fmt::format("  {}: {{{}, may-not-apply: yes, reads: r, ask: q, why: w}}\n",
                                  fact.name, fact.definition);
    }
    vocabulary += "choices:\n"
                  "  means: {values: [restraint, arrest], reads: r, ask: q, why: w}\n"
                  "duties:\n  tie-off: {asks: q, reads: r, met-by: tied}\n";
    SmallShelf shelf{facts, {{"words.yaml", vocabulary}}};
    for (const bool second : {false, true}) {
        std::string provisions;
        for (std::size_t i = 0; i < shapes.size(); ++i) {
            provisions += shapes[i].second_authority == second ? provision_text(shapes, i) : "";
        }
        if (!provisions.empty()) {
            const std::string name = second ? "b.two" : "a.one";
            shelf.texts.push_back(
                {name + ".yaml",
                 fmt::format("rulepack: {}\ntitle: T\nformat: 1\nstanding: regulation\n"
                             "vocabulary: [words]\nedition: {{from: 2000-01-01, "
                             "verified-through: 2030-01-01, picked-by: work-date}}\n"
                             "what-was-read: [x]\nwhat-is-open: [y]\nprovisions:\n{}",
                             name, provisions)});
        }
    }
    return shelf;
}

class Walk {
  public:
    Walk(const SmallBounds& bounds, const std::function<void(const SmallShelf&)>& look)
        : bounds_(bounds),
          look_(look) {}

    void over(const std::vector<SmallFact>& facts) {
        facts_ = facts;
        conditions_.clear();
        for (const SmallFact& fact : facts) {
            conditions_.push_back(fact.sentence);
            conditions_.push_back(fact.other_sentence);
        }
        if (bounds_.combined_conditions) {
            conditions_.emplace_back();
        }
        if (bounds_.combined_conditions && facts.size() == 2) {
            conditions_.push_back(
                fmt::format("{{all-of: [{}, {}]}}", facts[0].sentence, facts[1].sentence));
            conditions_.push_back(
                fmt::format("{{none-of: [{}, {}]}}", facts[0].sentence, facts[1].other_sentence));
        }
        extend();
    }

  private:
    void extend() {
        if (shapes_.size() == bounds_.provisions) {
            look_(shelf_of(facts_, shapes_));
            return;
        }
        for (const bool second : {false, true}) {
            if (second && shapes_.empty()) {
                continue;  // the authorities differ by name alone
            }
            for (const std::string& condition : conditions_) {
                extend({second, Effect::required, condition, -1});
            }
        }
    }

    void extend(Shape shape) {
        std::vector<Effect> effects{Effect::required, Effect::not_required};
        if (bounds_.choices_and_limits) {
            effects.push_back(Effect::bars);
            effects.push_back(Effect::limit);
        }
        for (const Effect effect : effects) {
            shape.effect = effect;
            for (int target = -1; target < static_cast<int>(shapes_.size()); ++target) {
                shape.target = target;
                push(shape);
            }
        }
        shape.effect = Effect::exception;
        for (std::size_t target = 0; target < shapes_.size(); ++target) {
            if (shapes_[target].effect == Effect::required) {
                shape.target = static_cast<int>(target);
                push(shape);
            }
        }
    }

    void push(const Shape& shape) {
        shapes_.push_back(shape);
        extend();
        shapes_.pop_back();
    }

    const SmallBounds& bounds_;
    const std::function<void(const SmallShelf&)>& look_;
    std::vector<SmallFact> facts_;
    std::vector<std::string> conditions_;
    std::vector<Shape> shapes_;
};

}  // namespace

void for_small_shelves(const SmallBounds& bounds,
                       const std::function<void(const SmallShelf&)>& look) {
    Walk walk(bounds, look);
    const auto& facts = all_facts();
    for (std::size_t i = 0; i < facts.size(); ++i) {
        if (bounds.facts == 1) {
            walk.over({facts[i]});
        }
        for (std::size_t j = i + 1; bounds.facts == 2 && j < facts.size(); ++j) {
            walk.over({facts[i], facts[j]});
        }
    }
}

}  // namespace oracle
