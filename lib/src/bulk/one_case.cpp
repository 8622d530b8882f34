// Entry point: lower_one_case.
#include "bulk/one_case.hpp"

#include <algorithm>
#include <array>
#include <cstring>
#include <map>
#include <utility>

namespace toprail::bulk {
namespace {

constexpr std::size_t most_operands = 8;

class Lowering {
  public:
    Lowering(const Circuit& circuit, const std::vector<OutcomeRoots>& roots,
             const std::vector<StatusRoots>& rows)
        : gates_(circuit.gates()),
          facts_(gates_),
          roots_(roots),
          rows_(rows) {}

    OneCase run() {
        count_uses();
        for (Literal literal = 0; literal < 2 * gates_.size(); ++literal) {
            if (uses_[literal] != 0 && facts_.fact_of(literal) == SingleFacts::several) {
                gather(literal);
            }
        }
        find_roots();
        place_facts();
        place_gates();
        write_roots();
        return std::move(program_);
    }

  private:
    /// A value that is worked out: a constant, a test on one fact, or a gate over several.
    struct Part {
        enum class Kind : std::uint8_t { constant, test, gate };
        Kind kind = Kind::constant;
        std::uint32_t index = 0;  // value; into tests_; into made_
        friend bool operator==(const Part&, const Part&) = default;
        friend auto operator<=>(const Part&, const Part&) = default;
    };

    struct Test {
        std::uint32_t fact = 0;
        Row row{};
        std::uint32_t slot = 0;
    };

    struct Made {
        bool any = false;
        std::uint32_t level = 0;
        std::uint32_t slot = 0;
        std::vector<Part> parts;
    };

    template <class Each>
    void each_root(Each each) const {
        for (const OutcomeRoots& r : roots_) {
            for (const Literal literal : {r.required, r.excepted, r.not_required, r.no_answer}) {
                each(literal);
            }
        }
        for (const StatusRoots& r : rows_) {
            each(r.stands);
            each(r.displaced);
        }
    }

    void count_uses() {
        uses_.assign(2 * gates_.size(), 0);
        each_root([&](Literal literal) { uses_[literal] += 2; });  // keeps a value of its own
        for (Literal literal = static_cast<Literal>(2 * gates_.size()); literal-- > 0;) {
            if (uses_[literal] != 0 && facts_.fact_of(literal) == SingleFacts::several) {
                for (const Literal operand : gates_[literal / 2].operands) {
                    ++uses_[operand_under(operand, literal)];
                }
            }
        }
    }

    void gather(Literal literal) {
        const bool any = literal % 2 != 0;
        std::vector<Part> gates;
        std::map<std::uint32_t, Row> tests;  // several on one fact are one
        const auto add_test = [&](std::uint32_t fact, const Row& row) {
            const auto [found, fresh] = tests.try_emplace(fact, row);
            if (!fresh) {
                merge(found->second, row, any);
            }
        };
        for (const Literal operand : gates_[literal / 2].operands) {
            const Literal below = operand_under(operand, literal);
            if (facts_.fact_of(below) == SingleFacts::several) {
                const Part part = part_of_.at(below);
                const Made* const made =
                    part.kind == Part::Kind::gate ? &made_[part.index] : nullptr;
                if (made == nullptr || uses_[below] != 1 || made->any != any) {
                    gates.push_back(part);
                    continue;
                }
                for (const Part& inner : made->parts) {
                    if (inner.kind == Part::Kind::test) {
                        add_test(tests_[inner.index].fact, tests_[inner.index].row);
                    } else {
                        gates.push_back(inner);
                    }
                }
            } else if (facts_.fact_of(below) == SingleFacts::none) {
                gates.push_back({Part::Kind::constant, constant_value(below)});
            } else {
                add_test(facts_.fact_of(below), facts_.row_of(below));
            }
        }
        for (const auto& [fact, row] : tests) {
            gates.push_back(test(fact, row));
        }
        std::sort(gates.begin(), gates.end());
        gates.erase(std::unique(gates.begin(), gates.end()), gates.end());
        part_of_.emplace(literal, make(any, std::move(gates)));
    }

    Part test(std::uint32_t fact, const Row& row) {
        const auto [found, fresh] =
            known_tests_.try_emplace({fact, row}, static_cast<std::uint32_t>(tests_.size()));
        if (fresh) {
            tests_.push_back({fact, row, 0});
        }
        return {Part::Kind::test, found->second};
    }

    Part make(bool any, std::vector<Part> parts) {
        if (parts.size() == 1) {
            return parts.front();
        }
        while (parts.size() > most_operands) {
            // Those that are ready first go together.
            std::stable_sort(parts.begin(), parts.end(), [this](const Part& a, const Part& b) {
                return level_of(a) < level_of(b);
            });
            const auto end = parts.begin() + most_operands;
            const Part few = make(any, {parts.begin(), end});
            parts.erase(parts.begin(), end);
            parts.push_back(few);
        }
        std::uint32_t level = 0;
        for (const Part& each : parts) {
            level = std::max(level, level_of(each));
        }
        made_.push_back({any, level + 1, 0, std::move(parts)});
        return {Part::Kind::gate, static_cast<std::uint32_t>(made_.size() - 1)};
    }

    [[nodiscard]] std::uint32_t level_of(const Part& part) const {
        return part.kind == Part::Kind::gate ? made_[part.index].level : 0;
    }

    Part part(Literal literal) {
        const std::uint32_t fact = facts_.fact_of(literal);
        if (fact == SingleFacts::several) {
            return part_of_.at(literal);
        }
        return fact == SingleFacts::none ? Part{Part::Kind::constant, constant_value(literal)}
                                         : test(fact, facts_.row_of(literal));
    }

    void find_roots() {
        each_root([&](Literal literal) { root_parts_.push_back(part(literal)); });
    }

    // Gates that were taken into another are not wanted any more.
    [[nodiscard]] std::vector<bool> wanted() const {
        std::vector<bool> wanted(made_.size(), false);
        const auto want = [&wanted](const Part& part) {
            if (part.kind == Part::Kind::gate) {
                wanted[part.index] = true;
            }
        };
        std::for_each(root_parts_.begin(), root_parts_.end(), want);
        for (std::size_t m = made_.size(); m-- > 0;) {
            if (wanted[m]) {
                std::for_each(made_[m].parts.begin(), made_[m].parts.end(), want);
            }
        }
        return wanted;
    }

    void place_facts() {
        wanted_ = wanted();
        std::vector<bool> tested(tests_.size(), false);
        const auto want = [&tested](const Part& part) {
            if (part.kind == Part::Kind::test) {
                tested[part.index] = true;
            }
        };
        std::for_each(root_parts_.begin(), root_parts_.end(), want);
        for (std::size_t m = 0; m < made_.size(); ++m) {
            if (wanted_[m]) {
                std::for_each(made_[m].parts.begin(), made_[m].parts.end(), want);
            }
        }
        std::map<std::uint32_t, std::vector<std::uint32_t>> by_fact;
        for (std::uint32_t t = 0; t < tests_.size(); ++t) {
            if (tested[t]) {
                by_fact[tests_[t].fact].push_back(t);
            }
        }
        for (const auto& [fact, tests] : by_fact) {
            const std::size_t words = (tests.size() + 7) / 8;
            program_.facts.push_back(
                {fact, next_, static_cast<std::uint32_t>(words), program_.rows.size()});
            std::vector<std::uint8_t> bytes(words * 8 * rows_of_facts, 0);
            for (std::size_t i = 0; i < tests.size(); ++i) {
                tests_[tests[i]].slot = next_++;
                for (std::size_t c = 0; c < rows_of_facts; ++c) {
                    bytes[c * words * 8 + i] = tests_[tests[i]].row[c];
                }
            }
            program_.rows.resize(program_.rows.size() + words * rows_of_facts);
            std::memcpy(program_.rows.data() + program_.facts.back().first, bytes.data(),
                        bytes.size());
        }
    }

    [[nodiscard]] std::uint32_t slot(const Part& part) const {
        switch (part.kind) {
        case Part::Kind::constant:
            return part.index;
        case Part::Kind::test:
            return tests_[part.index].slot;
        case Part::Kind::gate:
            break;
        }
        return made_[part.index].slot;
    }

    // Repeating an operand changes nothing.
    static std::uint8_t padded(std::size_t count) {
        return static_cast<std::uint8_t>(count == 7 ? 8 : count);
    }

    using Group = std::pair<bool, std::uint8_t>;  // any, size
    using Ready = std::map<Group, std::vector<std::uint32_t>>;

    // Begins a group with whatever kind and size has most gates whose operands are known. A group
    // costs more than a gate.
    void place_gates() {
        std::vector<std::size_t> waits(made_.size(), 0);
        std::vector<std::vector<std::uint32_t>> users(made_.size());
        Ready ready;
        const auto add_ready = [&](std::uint32_t m) {
            ready[{made_[m].any, padded(made_[m].parts.size())}].push_back(m);
        };
        for (std::uint32_t m = 0; m < made_.size(); ++m) {
            for (const Part& part : wanted_[m] ? made_[m].parts : std::vector<Part>{}) {
                if (part.kind == Part::Kind::gate) {
                    ++waits[m];
                    users[part.index].push_back(m);
                }
            }
            if (wanted_[m] && waits[m] == 0) {
                add_ready(m);
            }
        }
        while (!ready.empty()) {
            const auto most =
                std::max_element(ready.begin(), ready.end(), [](const auto& a, const auto& b) {
                    return a.second.size() < b.second.size();
                });
            const Group group = most->first;
            const std::vector<std::uint32_t> members = std::move(most->second);
            ready.erase(most);
            place_group(group, members);
            for (const std::uint32_t m : members) {
                for (const std::uint32_t user : users[m]) {
                    if (--waits[user] == 0) {
                        add_ready(user);
                    }
                }
            }
        }
        program_.values = next_ + 8;
    }

    void place_group(const Group& kind, const std::vector<std::uint32_t>& members) {
        GateGroup group;
        group.any = kind.first;
        group.arity = kind.second;
        group.count = static_cast<std::uint32_t>(members.size());
        group.target = next_;
        group.first = static_cast<std::uint32_t>(program_.operands.size());
        for (const std::uint32_t m : members) {
            made_[m].slot = next_++;
            const std::vector<Part>& parts = made_[m].parts;
            for (std::size_t i = 0; i < group.arity; ++i) {
                program_.operands.push_back(slot(parts[std::min(i, parts.size() - 1)]));
            }
        }
        program_.groups.push_back(group);
    }

    void write_roots() {
        auto root = root_parts_.begin();
        const auto next = [&] { return slot(*root++); };
        for (std::size_t i = 0; i < roots_.size(); ++i) {
            OutcomeValues values;
            values.required = next();
            values.excepted = next();
            values.not_required = next();
            values.no_answer = next();
            program_.outcomes.push_back(values);
        }
        for (std::uint32_t row = 0; row < rows_.size(); ++row) {
            program_.stands.push_back(next());
            if (const std::uint32_t at = next(); at != value_false) {
                program_.displaced.push_back({row, at});
            }
        }
    }

    const std::vector<Gate>& gates_;
    SingleFacts facts_;
    const std::vector<OutcomeRoots>& roots_;
    const std::vector<StatusRoots>& rows_;
    std::vector<std::uint32_t> uses_;  // per literal
    std::map<Literal, Part> part_of_;
    std::vector<Test> tests_;
    std::map<std::pair<std::uint32_t, Row>, std::uint32_t> known_tests_;
    std::vector<Made> made_;
    std::vector<Part> root_parts_;
    std::vector<bool> wanted_;  // per made gate
    std::uint32_t next_ = 4;    // values 0 to 3 stand at places of their own number
    OneCase program_;
};

}  // namespace

OneCase lower_one_case(const Circuit& circuit, const std::vector<OutcomeRoots>& roots,
                       const std::vector<StatusRoots>& rows) {
    return Lowering(circuit, roots, rows).run();
}

}  // namespace toprail::bulk
