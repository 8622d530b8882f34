// The provisions of a world: their effects, displacement and dates.

#include "oracle/world_builder.hpp"

#include <fmt/format.h>

namespace oracle {

std::string WorldBuilder::choice(Draw& draw, const std::string& verb) {
    const Named& choice = draw.from(choices_);
    const std::string& value = draw.from(choice.values);
    const std::string& other = draw.from(choice.values);
    return fmt::format("choice: {}, {}: [{}]", choice.name, verb,
                       value == other ? value : value + ", " + other);
}

std::string WorldBuilder::limit(Draw& draw, const std::vector<Named>& known) {
    const auto measured = of_type(known, "length");
    if (measured.empty()) {
        return {};
    }
    return fmt::format("limit: {}, {}: {}", draw.from(measured).name,
                       draw.one_in(3) ? "at-least" : "at-most", draw.from(world_lengths));
}

std::string WorldBuilder::exception(const Pack& pack, Draw& draw) {
    std::string relaxed = draw.from(pack.required);
    if (draw.one_in(3) && pack.required.back() != relaxed) {
        relaxed += ", " + pack.required.back();
    }
    std::string terms = "t";
    if (!draw.one_in(3)) {
        terms += ", terms-met-by: " + condition(draw, names(&pack), 1);
    }
    return fmt::format("relaxes: [{}], terms: {}", relaxed, terms);
}

std::string WorldBuilder::effect(Pack& pack, const std::string& id, Draw& draw) {
    static const Texts admits{"bars", "admits"};
    if (pack.letter == "g") {
        const std::size_t others = packs_.size() - 1;
        return "governs: " + packs_[draw.pick(others)].authority;
    }
    const std::size_t way = draw.pick(16);
    if (way >= 12 && !choices_.empty()) {
        return choice(draw, draw.from(admits));
    }
    if (way >= 10) {
        std::string bound = limit(draw, names(&pack));
        if (!bound.empty()) {
            return bound;
        }
    }
    if (way >= 8 && !pack.required.empty()) {
        return exception(pack, draw);
    }
    const bool required = way % 2 == 0;
    if (required) {
        pack.required.push_back(id);
    }
    return fmt::format("duty: duty-{}, calls-for: {}", 1 + draw.pick(duties_),
                       required ? "required" : "not required");
}

std::string WorldBuilder::displaced(const Pack& pack, Draw& draw) {
    // Only what was written before, so that nothing displaces in a circle.
    if (pack.ids.empty() || draw.pick(3) != 2) {
        return {};
    }
    std::string target = draw.from(pack.ids);
    if (draw.one_in(4)) {
        for (const Pack& other : packs_) {
            if (other.letter < pack.letter && other.letter != "g" && pack.letter != "g" &&
                !other.ids.empty()) {
                target = other.authority + "/" + draw.from(other.ids);
            }
        }
    }
    return fmt::format(", displaces: [{}]", target);
}

void WorldBuilder::add_provision(Pack& pack, const Tape& tape) {
    Draw draw(tape);
    const std::string id = fmt::format("{}-{}", pack.letter, pack.ids.size() + 1);
    std::string text = fmt::format("  - {{id: {}, cite: c, source: read, gist: g", id);
    text += ", " + effect(pack, id, draw);
    text += ", where: " + condition(draw, names(&pack), 2);
    text += displaced(pack, draw);
    if (draw.one_in(6)) {
        const auto dates = of_type(facts_, "date");
        const std::string picked_by =
            dates.empty() || draw.one_in(3) ? "work-date" : draw.from(dates).name;
        const bool until = draw.one_in(2);
        const std::string day = draw.from(world_days);
        // A provision that is never in force inside its edition is an error of its own.
        if (picked_by != pack.picked_by || (pack.from <= day && day <= pack.last_day)) {
            text += fmt::format(", in-force: {{{}: {}, picked-by: {}}}", until ? "until" : "from",
                                day, picked_by);
        }
    }
    pack.ids.push_back(id);
    pack.provisions.push_back(text + "}\n");
}

}  // namespace oracle
