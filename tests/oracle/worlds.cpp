// Entry points: worlds, texts_of, cases_of.

#include "oracle/worlds.hpp"

#include "oracle/breaks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <ostream>

namespace oracle {

namespace {

/// Reads a tape from its start.
class Draw {
  public:
    explicit Draw(const Tape& tape) : tape_(tape) {}
    /// 0 .. sides - 1; 0 past the end.
    std::size_t pick(std::size_t sides) { return at_ < tape_.size() ? tape_[at_++] % sides : 0; }
    bool one_in(std::size_t sides) { return pick(sides) == sides - 1; }
    template <typename List>
    const auto& from(const List& list) {
        return list[pick(list.size())];
    }

  private:
    const Tape& tape_;
    std::size_t at_ = 0;
};

using Texts = std::vector<std::string>;

// Few figures, so that they meet; each in several units, so that their exactness counts.
const Texts lengths{"6 ft", "4 ft", "10 ft", "72 in", "1.8288 m", "48 in", "3.048 m", "0 ft"};
const Texts forces{"900 lbf", "1,800 lbf", "8 kN"};
const Texts times{"5 min", "300 s", "6 min"};
const Texts ratios{"2", "0.5", "3"};
const Texts counts{"2", "1", "3"};
const Texts days{"2010-01-01", "2005-06-30", "2015-03-01", "2010-01-02"};

struct Named {
    std::string name;
    std::string type;
    Texts values;
    bool linear = true;  // a formula without roots and quotients
};

const Texts& figures_of(const std::string& type) {
    return type == "length"  ? lengths
           : type == "force" ? forces
           : type == "time"  ? times
           : type == "ratio" ? ratios
                             : counts;
}

class Builder {
  public:
    explicit Builder(const World& world) : world_(world), layout_(world.layout) {}
    std::vector<toprail::SourceText> build();

  private:
    struct Pack {
        std::string authority;
        std::string letter;
        std::string from = "2000-01-01";
        std::string until;
        std::string last_day = "2200-01-01";
        std::string adopts;
        std::string picked_by = "work-date";
        std::string conditions;
        std::string quantities;
        Texts provisions;
        Texts required;  // ids of the provisions that require
        Texts ids;
        std::vector<Named> names;
    };

    void add_fact(const Tape& tape);
    void add_choices_and_duties();
    void add_packs();
    void add_governing_pack();
    void add_quantity(std::size_t index, const Tape& tape);
    void add_condition(std::size_t index, const Tape& tape);
    void add_provision(Pack& pack, const Tape& tape);
    std::string effect(Pack& pack, const std::string& id, Draw& draw);
    std::string displaced(const Pack& pack, Draw& draw);
    std::string formula(Draw& draw, const std::vector<Named>& names, bool& linear);
    std::string linear(Draw& draw, const std::vector<Named>& names, int depth);
    std::string sentence(Draw& draw, const std::vector<Named>& names);
    std::string condition(Draw& draw, const std::vector<Named>& names, int depth);
    /// Names that a text in that pack may use; those of the vocabulary alone when null.
    std::vector<Named> names(const Pack* pack) const;
    std::vector<Named> of_type(const std::vector<Named>& names, const std::string& type) const;

    const World& world_;
    Draw layout_;
    std::vector<Named> facts_;
    std::vector<Named> shared_;
    std::string fact_texts_;
    std::string choice_texts_;
    std::string shared_conditions_;
    std::string shared_quantities_;
    std::vector<Named> choices_;
    std::size_t duties_ = 1;
    std::vector<Pack> packs_;
};

constexpr std::string_view asked = "reads: r, ask: q, why: w";

void Builder::add_fact(const Tape& tape) {
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

void Builder::add_choices_and_duties() {
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

std::vector<Named> Builder::of_type(const std::vector<Named>& names,
                                    const std::string& type) const {
    std::vector<Named> some;
    std::copy_if(names.begin(), names.end(), std::back_inserter(some),
                 [&](const Named& named) { return named.type == type; });
    return some;
}

std::vector<Named> Builder::names(const Pack* pack) const {
    std::vector<Named> all = facts_;
    all.insert(all.end(), shared_.begin(), shared_.end());
    if (pack != nullptr) {
        all.insert(all.end(), pack->names.begin(), pack->names.end());
    }
    return all;
}

void Builder::add_packs() {
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
            pack.adopts = ids[i - 1];
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

void Builder::add_governing_pack() {
    Pack governing;
    governing.authority = "g.governs";
    governing.letter = "g";
    packs_.push_back(governing);
}

/// A formula of kind length that rises and falls in straight lines.
std::string Builder::linear(Draw& draw, const std::vector<Named>& names, int depth) {
    const auto measured = of_type(names, "length");
    const auto counted = of_type(names, "count");
    std::vector<Named> usable;
    std::copy_if(measured.begin(), measured.end(), std::back_inserter(usable),
                 [](const Named& named) { return named.linear; });
    const std::size_t way = draw.pick(depth == 0 ? 3 : 9);
    if (way == 1 || usable.empty()) {
        return draw.from(lengths);
    }
    if (way == 2 && !counted.empty()) {
        return fmt::format("{} * {}", draw.from(counted).name, draw.from(lengths));
    }
    if (way <= 2) {
        return draw.from(usable).name;
    }
    const std::string left = linear(draw, names, depth - 1);
    const std::string right = linear(draw, names, depth - 1);
    switch (way) {
    case 3:
        return fmt::format("({} + {})", left, right);
    case 4:
        return fmt::format("({} - {})", left, right);
    case 5:
        return fmt::format("min({}, {})", left, right);
    case 6:
        return fmt::format("max({}, {})", left, right);
    case 7:
        return fmt::format("{} * {}", left, draw.from(ratios));
    default:
        return fmt::format("{} / {}", left, draw.from(ratios));
    }
}

std::string Builder::formula(Draw& draw, const std::vector<Named>& names, bool& straight) {
    const auto measured = of_type(facts_, "length");
    const auto counted = of_type(facts_, "count");
    const std::size_t way = draw.pick(10);
    if (way >= 6 && !measured.empty()) {
        straight = false;
        const std::string length = draw.from(measured).name;
        switch (way) {
        case 6:
            return fmt::format("sqrt({} * {})", length, draw.from(lengths));
        case 7:
            return fmt::format("sqrt({0} * {0})", length);
        case 8:
            return fmt::format("{} * {} / {}", draw.from(lengths), draw.from(lengths), length);
        default:
            return counted.empty()
                       ? length
                       : fmt::format("{} / {}", draw.from(lengths), draw.from(counted).name);
        }
    }
    return linear(draw, names, 2);
}

void Builder::add_quantity(std::size_t index, const Tape& tape) {
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

std::string Builder::sentence(Draw& draw, const std::vector<Named>& known) {
    static const Texts orders{"is more than", "is at least", "is at most", "is less than",
                              "is exactly"};
    static const Texts dates{"is on or after", "is before", "is on or before", "is after", "is on"};
    const Named named = draw.from(known);
    if (named.type == "condition" || named.type == "yes-no") {
        const std::size_t way = draw.pick(named.type == "yes-no" ? 5 : 2);
        static const Texts forms{"{}", "not {}", "{} is no", "{} is not yes", "{} is yes"};
        return fmt::format(fmt::runtime(forms[way]), named.name);
    }
    if (named.type == "choice") {
        const bool one = !draw.one_in(3);
        const std::string verb = draw.one_in(3) ? "is not" : "is";
        const std::string& value = draw.from(named.values);
        const std::string& other = draw.from(named.values);
        return one || value == other
                   ? fmt::format("{} {} {}", named.name, verb, value)
                   : fmt::format("{} {} one of [{}, {}]", named.name, verb, value, other);
    }
    if (named.type == "date") {
        return fmt::format("{} {} {}", named.name, draw.from(dates), draw.from(days));
    }
    const std::string order = draw.from(orders);
    if (named.linear && draw.one_in(5)) {
        for (const Named& other : of_type(known, named.type)) {
            if (other.linear && other.name != named.name) {
                return fmt::format("{} {} {}", named.name, order, other.name);
            }
        }
    }
    return fmt::format("{} {} {}", named.name, order, draw.from(figures_of(named.type)));
}

std::string Builder::condition(Draw& draw, const std::vector<Named>& known, int depth) {
    static const Texts lists{"all-of", "any-of", "none-of"};
    if (depth == 0 || draw.pick(3) == 0) {
        return fmt::format("'{}'", sentence(draw, known));
    }
    const std::string list = draw.from(lists);
    Texts parts;
    for (std::size_t i = 1 + draw.pick(3); i > 0; --i) {
        parts.push_back(condition(draw, known, depth - 1));
    }
    return fmt::format("{{{}: [{}]}}", list, fmt::join(parts, ", "));
}

void Builder::add_condition(std::size_t index, const Tape& tape) {
    Draw draw(tape);
    Pack* pack = draw.one_in(2) ? &packs_[index % packs_.size()] : nullptr;
    const Named named{fmt::format("when-{}", index + 1), "condition", {}};
    const std::string body = condition(draw, names(pack), 2);
    auto& texts = pack == nullptr ? shared_conditions_ : pack->conditions;
    texts += body.front() == '{' ? fmt::format("  {}: {{reads: r, {}\n", named.name, body.substr(1))
                                 : fmt::format("  {}: {{reads: r, is: {}}}\n", named.name, body);
    (pack == nullptr ? shared_ : pack->names).push_back(named);
}

std::string Builder::effect(Pack& pack, const std::string& id, Draw& draw) {
    static const Texts admits{"bars", "admits"};
    if (pack.letter == "g") {
        const std::size_t others = packs_.size() - 1;
        return "governs: " + packs_[draw.pick(others)].authority;
    }
    const std::size_t way = draw.pick(16);
    if (way >= 12 && !choices_.empty()) {
        const Named& choice = draw.from(choices_);
        const std::string& value = draw.from(choice.values);
        const std::string& other = draw.from(choice.values);
        return fmt::format("choice: {}, {}: [{}]", choice.name, draw.from(admits),
                           value == other ? value : value + ", " + other);
    }
    if (way >= 10) {
        for (const Named& named : names(&pack)) {
            if (named.type == "length") {
                return fmt::format("limit: {}, {}: {}", named.name,
                                   draw.one_in(3) ? "at-least" : "at-most", draw.from(lengths));
            }
        }
    }
    if (way >= 8 && !pack.required.empty()) {
        std::string relaxed = draw.from(pack.required);
        if (draw.one_in(3) && draw.from(pack.required) != relaxed) {
            relaxed += ", " + pack.required.back();
        }
        if (relaxed == pack.required.back() + ", " + pack.required.back()) {
            relaxed = pack.required.back();
        }
        return fmt::format("relaxes: [{}], terms: t", relaxed);
    }
    const bool required = way % 2 == 0;
    if (required) {
        pack.required.push_back(id);
    }
    return fmt::format("duty: duty-{}, calls-for: {}", 1 + draw.pick(duties_),
                       required ? "required" : "not required");
}

std::string Builder::displaced(const Pack& pack, Draw& draw) {
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

void Builder::add_provision(Pack& pack, const Tape& tape) {
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
        const std::string day = draw.from(days);
        // A provision that is never in force inside its edition is an error of its own.
        if (picked_by != pack.picked_by || (pack.from <= day && day <= pack.last_day)) {
            text += fmt::format(", in-force: {{{}: {}, picked-by: {}}}", until ? "until" : "from",
                                day, picked_by);
        }
    }
    pack.ids.push_back(id);
    pack.provisions.push_back(text + "}\n");
}

std::vector<toprail::SourceText> Builder::build() {
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
    for (std::size_t i = 0; i < std::max(world_.provisions.size(), packs_.size()); ++i) {
        add_provision(packs_[i % packs_.size()],
                      i < world_.provisions.size() ? world_.provisions[i] : Tape{});
    }
    std::string vocabulary = "vocabulary: words\ntitle: Words\nstandings:\n"
                             "  regulation: {rank: 1, may: [require, relax, limit, explain]}\n";
    const auto section = [](std::string_view name, const std::string& body) {
        return body.empty() ? std::string() : fmt::format("{}:\n{}", name, body);
    };
    vocabulary += section("facts", fact_texts_) + section("choices", choice_texts_);
    vocabulary += "duties:\n";
    for (std::size_t i = 1; i <= duties_; ++i) {
        vocabulary += fmt::format("  duty-{}: {{asks: q, reads: r}}\n", i);
    }
    vocabulary += section("conditions", shared_conditions_);
    vocabulary += section("quantities", shared_quantities_);
    std::vector<toprail::SourceText> texts{{"words.yaml", vocabulary}};
    for (const Pack& pack : packs_) {
        std::string adopts;
        if (!pack.adopts.empty()) {
            adopts =
                fmt::format("adopts: {{rulepack: {}, leaves-out: [{}-1], cite: c, source: read}}\n",
                            pack.adopts, pack.adopts.front());
        }
        texts.push_back(
            {fmt::format("{}-{}.yaml", pack.letter, pack.from),
             fmt::format(
                 "rulepack: {}\ntitle: T\nformat: 1\nstanding: regulation\n"
                 "vocabulary: [words]\nedition: {{from: {}{}, verified-through: 2030-01-01, "
                 "picked-by: {}}}\nwhat-was-read: [x]\nwhat-is-open: [y]\n{}{}{}"
                 "provisions:\n{}",
                 pack.authority, pack.from, pack.until.empty() ? "" : ", until: " + pack.until,
                 pack.picked_by, adopts, section("conditions", pack.conditions),
                 section("quantities", pack.quantities), fmt::join(pack.provisions, ""))});
    }
    return texts;
}

rc::Gen<Tape> tapes(int length) {
    return rc::gen::resize(length,
                           rc::gen::container<Tape>(rc::gen::inRange<std::uint8_t>(0, 240)));
}

rc::Gen<std::vector<Tape>> lists_of_tapes(int count, int length) {
    return rc::gen::resize(count, rc::gen::container<std::vector<Tape>>(tapes(length)));
}

void give(TestCase& test_case, const Fact& fact, std::uint8_t pick) {
    test_case.facts.set(fact.name, some_value(fact, pick));
}

/// Gives values until the fillings are few enough and no comparison rests on two unknown numbers.
void settle_most(TestCase& test_case, const Oracle& oracle, std::uint8_t pick) {
    const auto& facts = oracle.model().facts;
    const auto unknown = [&](const std::string& name) {
        const auto* entry = test_case.facts.find(name);
        return entry == nullptr || entry->state == toprail::FactState::not_known;
    };
    for (const auto& group : facts_that_meet(oracle.model())) {
        bool free = true;
        for (const std::string& name : group) {
            if (unknown(name) && !free) {
                give(test_case, facts.at(name), pick);
            }
            free = free && !unknown(name);
        }
    }
    while (true) {
        std::size_t product = 1;
        std::size_t most = 0;
        const Fact* widest = nullptr;
        for (const auto& [name, fact] : facts) {
            const std::size_t count = oracle.values_of(test_case.facts, test_case.on, name).size();
            product *= count;
            if (unknown(name) && count > most) {
                most = count;
                widest = &fact;
            }
        }
        if (product <= most_fillings || widest == nullptr) {
            return;
        }
        give(test_case, *widest, pick);
    }
}

}  // namespace

rc::Gen<World> worlds(int cases) {
    return rc::gen::build<World>(rc::gen::set(&World::layout, tapes(40)),
                                 rc::gen::set(&World::facts, lists_of_tapes(6, 8)),
                                 rc::gen::set(&World::quantities, lists_of_tapes(3, 24)),
                                 rc::gen::set(&World::conditions, lists_of_tapes(3, 24)),
                                 rc::gen::set(&World::provisions, lists_of_tapes(12, 40)),
                                 rc::gen::set(&World::cases, lists_of_tapes(cases, 40)));
}

std::vector<toprail::SourceText> texts_of(const World& world) {
    return Builder(world).build();
}

std::string some_value(const Fact& fact, std::uint8_t pick) {
    static const Texts plain{"2", "0.5", "3", "1.5", "0.25", "7"};
    static const Texts feet{"5 ft",    "6 ft",  "72 in",     "4 ft",
                            "3.048 m", "12 ft", "2 ft 6 in", "1 mm"};
    static const Texts loads{"1,000 lbf", "8 kN", "900 lbf", "2 kN", "8000 N"};
    static const Texts spans{"5 min", "301 s", "6 min", "2 min"};
    static const Texts whole{"2", "1", "3"};
    static const Texts moments{"2010-01-01", "2009-12-31", "2012-07-01", "2005-06-30",
                               "2015-03-01", "2015-03-02", "2005-07-01"};
    static const Texts yes_no{"no", "yes"};
    const Texts& list = fact.type == Type::yes_no                     ? yes_no
                        : fact.type == Type::choice                   ? fact.values
                        : fact.type == Type::date                     ? moments
                        : fact.type == Type::count                    ? whole
                        : fact.dimension == toprail::length_dimension ? feet
                        : fact.dimension == toprail::force_dimension  ? loads
                        : fact.dimension == toprail::time_dimension   ? spans
                                                                      : plain;
    return list[pick % list.size()];
}

std::vector<TestCase> cases_of(const World& world, const Oracle& oracle) {
    static const Texts deciding{"2012-05-05", "2010-01-01", "2009-12-31", "2015-03-02",
                                "2005-06-30"};
    std::vector<TestCase> cases;
    for (const Tape& tape : world.cases) {
        Draw draw(tape);
        TestCase test_case;
        test_case.on = *Date::parse(draw.from(deciding));
        for (const auto& [authority, editions] : oracle.model().authorities) {
            if (draw.one_in(6)) {
                test_case.authorities.push_back(authority);
            }
        }
        for (const auto& [name, fact] : oracle.model().facts) {
            const std::size_t state = draw.pick(5);
            const auto pick = static_cast<std::uint8_t>(draw.pick(240));
            if (state == 4 && fact.may_not_apply) {
                test_case.facts.set(name, "does not apply");
            } else if (state >= 2) {
                give(test_case, fact, pick);
            }
        }
        settle_most(test_case, oracle, static_cast<std::uint8_t>(draw.pick(240)));
        cases.push_back(std::move(test_case));
    }
    return cases;
}

std::string show(const TestCase& test_case) {
    std::string text = fmt::format("decided on {}", test_case.on.text());
    for (const auto& authority : test_case.authorities) {
        text += ", under " + authority;
    }
    for (const auto& entry : test_case.facts.entries()) {
        text += fmt::format("\n  {}: {}", entry.name,
                            entry.state == toprail::FactState::does_not_apply ? "does not apply"
                                                                              : entry.text);
    }
    return text + "\n";
}

void showValue(const World& world, std::ostream& out) {
    for (const auto& text : texts_of(world)) {
        out << "\n--- " << text.name << "\n" << text.text;
    }
}

}  // namespace oracle
