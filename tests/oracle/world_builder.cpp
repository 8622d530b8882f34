// Entry points: WorldBuilder::build and WorldBuilder::overlay.

#include "oracle/world_builder.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace oracle {

namespace {

constexpr std::string_view asked = "reads: r, ask: q, why: w";

std::string section(std::string_view name, const std::string& body) {
    return body.empty() ? std::string() : fmt::format("{}:\n{}", name, body);
}

}  // namespace

void WorldBuilder::add_fact(const Tape& tape) {
    static const Texts types{"yes-no", "choice", "length", "count", "yes-no", "date",
                             "length", "choice", "ratio",  "force", "time"};
    static const Texts all_values{"red", "green", "blue", "white"};
    Draw draw(tape);
    Named fact{fmt::format("fact-{}", facts_.size() + 1), draw.from(types), {}};
    std::string more;
    if (draw.one_in(3)) {
        more += ", may-not-apply: yes";
    }
    if (draw.one_in(5)) {
        more += ", plan: yes";
    }
    if (fact.type == "choice") {
        const auto count = static_cast<std::ptrdiff_t>(2 + draw.pick(3));
        fact.values.assign(all_values.begin(), all_values.begin() + count);
        more += fmt::format(", values: [{}]", fmt::join(fact.values, ", "));
    } else if (fact.type == "count") {
        more += fmt::format(", from: {}, to: {}", draw.pick(2), 3 + draw.pick(2));
    } else if (fact.type != "yes-no" && fact.type != "date") {
        static const std::map<std::string, std::array<std::string, 3>> ranges{
            {"length", {"ft", "0 ft", "50 ft"}},
            {"force", {"lbf", "0 lbf", "9000 lbf"}},
            {"time", {"min", "0 min", "60 min"}},
            {"ratio", {"", "0", "10"}}};
        const auto& [unit, from, to] = ranges.at(fact.type);
        more += unit.empty() ? "" : ", unit: " + unit;
        more += draw.one_in(4) ? "" : ", from: " + from;
        more += draw.one_in(4) ? "" : ", to: " + to;
    }
    fact_texts_ += fmt::format("  {}: {{type: {}, {}{}}}\n", fact.name, fact.type, asked, more);
    facts_.push_back(fact);
}

void WorldBuilder::add_choices_and_duties() {
    static const Texts all_values{"restraint", "arrest", "net"};
    for (std::size_t i = layout_.pick(3); i > 0; --i) {
        Named choice{fmt::format("choice-{}", i), "choice", all_values};
        choice.values.resize(2 + layout_.pick(2));
        choice_texts_ += fmt::format("  {}: {{values: [{}], {}}}\n", choice.name,
                                     fmt::join(choice.values, ", "), asked);
        choices_.push_back(choice);
        facts_.push_back(choice);
    }
    duties_ = 1 + layout_.pick(2);
}

void WorldBuilder::add_duties() {
    for (std::size_t i = 1; i <= duties_; ++i) {
        const std::string met_by =
            layout_.one_in(3) ? "" : ", met-by: '" + sentence(layout_, names(nullptr)) + "'";
        duty_texts_ += fmt::format("  duty-{}: {{asks: q, reads: r{}}}\n", i, met_by);
    }
}

std::vector<Named> WorldBuilder::names(const Pack* pack) const {
    std::vector<Named> all = facts_;
    all.insert(all.end(), shared_.begin(), shared_.end());
    if (pack != nullptr) {
        all.insert(all.end(), pack->names.begin(), pack->names.end());
    }
    return all;
}

void WorldBuilder::add_packs() {
    static const Texts ids{"a.one", "b.two", "c.three"};
    const auto dates = of_type(facts_, "date");
    const std::size_t count = 1 + layout_.pick(3);
    for (std::size_t i = 0; i < count; ++i) {
        Pack pack;
        pack.authority = ids[i];
        pack.letter = ids[i].substr(0, 1);
        if (!dates.empty() && layout_.one_in(3)) {
            pack.picked_by = layout_.from(dates).name;
        }
        if (i > 0 && layout_.one_in(5)) {
            pack.adopts = {ids[i - 1]};
            // Both that came before, unless the one brings the other along.
            const bool apart = i == 2 && packs_.back().adopts.empty();
            if (apart && layout_.one_in(2)) {
                pack.adopts.push_back(ids[0]);
            }
        }
        packs_.push_back(pack);
        if (layout_.one_in(3)) {
            packs_.back().last_day = "2009-12-31";
            packs_.back().until = layout_.one_in(2) ? "2009-12-31" : "";
            pack.from = "2010-01-01";
            packs_.push_back(pack);
        } else if (layout_.one_in(6)) {
            packs_.back().until = packs_.back().last_day = "2015-03-01";
        }
    }
    if (layout_.one_in(4)) {
        add_governing_pack();
    }
}

void WorldBuilder::add_governing_pack() {
    Pack governing;
    governing.authority = "g.governs";
    governing.letter = "g";
    packs_.push_back(governing);
}

void WorldBuilder::add_quantity(std::size_t index, const Tape& tape) {
    Draw draw(tape);
    Pack* pack = draw.one_in(2) ? &packs_[index % packs_.size()] : nullptr;
    Named named{fmt::format("sum-{}", index + 1), "length", {}};
    const auto known = names(pack);
    std::string body;
    if (draw.one_in(4)) {
        const std::string where = condition(draw, facts_, 1);
        const std::string first = formula(draw, known, named.linear);
        const std::string second = formula(draw, known, named.linear);
        body = fmt::format(
            "pieces: [{{where: {}, equals: '{}'}}, {{{}equals: '{}'}}]", where, first,
            draw.one_in(3) ? "where: " + condition(draw, facts_, 0) + ", " : "", second);
    } else {
        body = fmt::format("equals: '{}'", formula(draw, known, named.linear));
    }
    auto& texts = pack == nullptr ? shared_quantities_ : pack->quantities;
    texts += fmt::format("  {}: {{kind: length, unit: ft, reads: r, {}}}\n", named.name, body);
    (pack == nullptr ? shared_ : pack->names).push_back(named);
}

void WorldBuilder::add_condition(std::size_t index, const Tape& tape) {
    Draw draw(tape);
    Pack* pack = draw.one_in(2) ? &packs_[index % packs_.size()] : nullptr;
    const Named named{fmt::format("when-{}", index + 1), "condition", {}};
    const std::string body = condition(draw, names(pack), 2);
    auto& texts = pack == nullptr ? shared_conditions_ : pack->conditions;
    texts += body.front() == '{' ? fmt::format("  {}: {{reads: r, {}\n", named.name, body.substr(1))
                                 : fmt::format("  {}: {{reads: r, is: {}}}\n", named.name, body);
    (pack == nullptr ? shared_ : pack->names).push_back(named);
}

std::string WorldBuilder::vocabulary() const {
    std::string vocabulary = "vocabulary: words\ntitle: Words\nstandings:\n"
                             "  regulation: {rank: 1, may: [require, relax, limit, explain]}\n"
                             "  company: {rank: 2, may: [require, limit, explain]}\n";
    vocabulary += section("facts", fact_texts_) + section("choices", choice_texts_);
    vocabulary += section("duties", duty_texts_);
    vocabulary += section("conditions", shared_conditions_);
    vocabulary += section("quantities", shared_quantities_);
    return vocabulary;
}

std::string WorldBuilder::text_of(const Pack& pack) const {
    Texts adoptions;
    for (const std::string& each : pack.adopts) {
        adoptions.push_back(fmt::format(
            "{{rulepack: {}, leaves-out: [{}-1], cite: c, source: read}}", each, each.front()));
    }
    const std::string adopts =
        adoptions.empty() ? "" : fmt::format("adopts: [{}]\n", fmt::join(adoptions, ", "));
    return fmt::format("rulepack: {}\ntitle: T\nformat: 1\nstanding: {}\n"
                       "vocabulary: [words]\nedition: {{from: {}{}, verified-through: 2030-01-01, "
                       "picked-by: {}}}\nwhat-was-read: [x]\nwhat-is-open: [y]\n{}{}{}"
                       "provisions:\n{}",
                       pack.authority, pack.standing, pack.from,
                       pack.until.empty() ? "" : ", until: " + pack.until, pack.picked_by, adopts,
                       section("conditions", pack.conditions),
                       section("quantities", pack.quantities), fmt::join(pack.provisions, ""));
}

std::vector<toprail::SourceText> WorldBuilder::build() {
    for (const Tape& tape : world_.facts) {
        add_fact(tape);
    }
    add_choices_and_duties();
    if (facts_.empty()) {
        add_fact({});
    }
    add_packs();
    for (std::size_t i = 0; i < world_.quantities.size(); ++i) {
        add_quantity(i, world_.quantities[i]);
    }
    for (std::size_t i = 0; i < world_.conditions.size(); ++i) {
        add_condition(i, world_.conditions[i]);
    }
    add_duties();
    for (std::size_t i = 0; i < std::max(world_.provisions.size(), packs_.size()); ++i) {
        add_provision(packs_[i % packs_.size()],
                      i < world_.provisions.size() ? world_.provisions[i] : Tape{});
    }
    std::vector<toprail::SourceText> texts{{"words.yaml", vocabulary()}};
    for (const Pack& pack : packs_) {
        texts.push_back({fmt::format("{}-{}.yaml", pack.letter, pack.from), text_of(pack)});
    }
    return texts;
}

toprail::SourceText WorldBuilder::overlay(const std::vector<Tape>& tapes) {
    Pack pack;
    pack.authority = overlay_authority;
    pack.letter = "o";
    pack.standing = "company";
    pack.from = "1900-01-01";
    const bool packs_say_who_governs = packs_.back().letter == "g";
    for (std::size_t i = 0; i < std::max<std::size_t>(tapes.size(), 1); ++i) {
        const Tape tape = i < tapes.size() ? tapes[i] : Tape{};
        Draw draw(tape);
        const std::size_t way = draw.pick(4);
        std::string effect;
        if (way == 2) {
            effect = limit(draw, names(nullptr));
        } else if (way == 3 && !choices_.empty()) {
            effect = choice(draw, "bars");
        }
        if (effect.empty()) {
            effect = fmt::format("duty: duty-{}, calls-for: required", 1 + draw.pick(duties_));
        }
        pack.provisions.push_back(
            fmt::format("  - {{id: o-{}, cite: c, source: read, gist: g, {}, where: {}}}\n", i + 1,
                        effect, condition(draw, names(nullptr), 2)));
    }
    if (packs_say_who_governs) {
        pack.provisions.push_back(
            fmt::format("  - {{id: o-governs, cite: c, source: read, gist: g, governs: {}}}\n",
                        overlay_authority));
    }
    return {"overlay.yaml", text_of(pack)};
}

}  // namespace oracle
