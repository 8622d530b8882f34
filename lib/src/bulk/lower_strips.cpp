// Entry point: lower_strips.
#include "bulk/lower_strips.hpp"

#include "bulk/reach.hpp"
#include "bulk/strip_builder.hpp"

#include <algorithm>
#include <map>
#include <optional>
#include <string>
#include <tuple>
#include <utility>

namespace toprail::bulk {
namespace {

// In instructions, roughly, of the portable kernel; only which is the greater counts.
constexpr std::size_t cost_of_strip = 30;
constexpr std::size_t cost_of_strip_fact = 8;
constexpr std::size_t cost_of_level = 15;
constexpr std::size_t cost_of_group = 12;
constexpr std::size_t cost_of_operand = 2;

// Into how many a formula that is too wide is parted at most: each is worked out in every case.
constexpr std::size_t most_pieces = 64;

std::size_t cost_of(const Strip& strip) {
    return cost_of_strip + strip.facts * cost_of_strip_fact + strip.levels * cost_of_level;
}

class Lowering {
  public:
    Lowering(const Circuit& circuit, const std::vector<OutcomeRoots>& roots,
             const std::vector<StatusRoots>& rows, const std::vector<std::size_t>& classes,
             std::size_t most_bytes)
        : roots_(roots),
          rows_(rows),
          classes_(classes),
          most_rows_(most_bytes / sizeof(StripWords)),
          formulas_(formulas_of(circuit.gates(), literals(), 0)),
          builder_(formulas_.all, classes) {
        for (const Formula& formula : formulas_.all) {
            measure(formula);
        }
        program_.rows.resize(rows_at_ends);
        program_.reach_rows.resize(rows_at_ends);
    }

    Strips run(const OneCase& by_bytes) {
        if (!place_outcomes()) {
            return {};
        }
        Strips outcomes = program_;
        if (!place_statuses() || status_cost() >= cost(by_bytes)) {
            program_ = std::move(outcomes);
        }
        program_.rows.resize(program_.rows.size() + rows_at_ends);
        program_.reach_rows.resize(program_.reach_rows.size() + rows_at_ends);
        return std::move(program_);
    }

  private:
    [[nodiscard]] std::vector<Literal> literals() const {
        std::vector<Literal> all;
        for (const OutcomeRoots& r : roots_) {
            all.insert(all.end(), {r.required, r.excepted, r.not_required, r.no_answer});
        }
        for (const StatusRoots& r : rows_) {
            all.insert(all.end(), {r.stands, r.displaced});
        }
        return all;
    }

    void measure(const Formula& formula) {
        widths_.push_back(width_of(formula, widths_));
        reach_.push_back(reach_of(formula, reach_));
    }

    FormulaId add(Formula formula) {
        measure(formula);
        formulas_.all.push_back(std::move(formula));
        return static_cast<FormulaId>(formulas_.all.size() - 1);
    }

    // Whether there is an answer is looked at first, and stands first.
    bool place_outcomes() {
        std::size_t root = 0;
        for (const OutcomeRoots& duty : roots_) {
            const std::array<Literal, 4> literals{duty.required, duty.excepted, duty.not_required,
                                                  duty.no_answer};
            std::array<StripRange, 4> ranges;
            for (const std::size_t i : std::array<std::size_t, 4>{3, 0, 1, 2}) {
                if (literals[i] != never && !place_range(formulas_.roots[root + i], ranges[i])) {
                    return false;
                }
            }
            finish_strip();
            program_.outcomes.push_back(ranges);
            root += literals.size();
        }
        return true;
    }

    void finish_strip() {
        if (!builder_.empty()) {
            builder_.finish(program_);
        }
    }

    // Of what any is asked for, each no wider than a word. Empty where there is no way.
    std::vector<FormulaId> alternatives(FormulaId root) {
        const Formula formula = formulas_.all[root];
        std::vector<FormulaId> narrow;
        const bool several = formula.any && !formula.parts.empty();
        for (const FormulaId part : several ? formula.parts : std::vector<FormulaId>{root}) {
            if (!part_up(part, narrow)) {
                return {};
            }
        }
        std::stable_sort(narrow.begin(), narrow.end(),
                         [this](FormulaId a, FormulaId b) { return likeness(a) < likeness(b); });
        // Its own tests come first, being the quickest to look at.
        if (several && !formula.tests.empty()) {
            narrow.insert(narrow.begin(), add({true, formula.tests, {}}));
        }
        return narrow;
    }

    // "a and (b or c)" is "a and b" or "a and c".
    bool part_up(FormulaId id, std::vector<FormulaId>& to) {
        std::vector<FormulaId> left{id};
        for (std::size_t pieces = 1; !left.empty();) {
            const FormulaId next = left.back();
            left.pop_back();
            if (widths_[next] <= bits_of_word) {
                to.push_back(next);
                continue;
            }
            Formula rest = formulas_.all[next];
            const auto widest = std::max_element(
                rest.parts.begin(), rest.parts.end(),
                [this](FormulaId a, FormulaId b) { return widths_[a] < widths_[b]; });
            Formula first = formulas_.all[*widest];
            if (first.parts.empty() || ++pieces > most_pieces) {
                return false;
            }
            rest.parts.erase(widest);
            const auto half =
                first.parts.begin() + static_cast<std::ptrdiff_t>(first.parts.size() / 2);
            Formula second{true, {}, {half, first.parts.end()}};
            first.parts.erase(half, first.parts.end());
            left.push_back(both(rest, std::move(first)));
            left.push_back(both(std::move(rest), std::move(second)));
        }
        return true;
    }

    FormulaId both(Formula all, Formula any) {
        if (any.parts.size() == 1 && any.tests.empty()) {
            const Formula& only = formulas_.all[any.parts.front()];
            for (const auto& [fact, row] : only.tests) {
                add_test(all, fact, row);
            }
            all.parts.insert(all.parts.end(), only.parts.begin(), only.parts.end());
        } else if (any.parts.empty() && any.tests.size() == 1) {
            add_test(all, any.tests.begin()->first, any.tests.begin()->second);
        } else {
            all.parts.push_back(add(std::move(any)));
        }
        std::sort(all.parts.begin(), all.parts.end());
        all.parts.erase(std::unique(all.parts.begin(), all.parts.end()), all.parts.end());
        return add(std::move(all));
    }

    // Those that the same classes of a fact rule out stand together: a strip of them can be passed
    // over. The fact is that of which the smallest share of classes is left.
    [[nodiscard]] std::tuple<std::uint32_t, std::string, std::size_t> likeness(FormulaId id) const {
        std::tuple<std::uint32_t, std::string, std::size_t> found{0, "", widths_[id]};
        std::size_t least = 1;  // of so many classes
        std::size_t all = 1;
        for (const auto& [fact, classes] : reach_[id]) {
            std::size_t left = 0;
            for (std::size_t c = 0; c < classes_[fact]; ++c) {
                left += classes[c] ? 1U : 0U;
            }
            if (left * all < least * classes_[fact]) {
                least = left;
                all = classes_[fact];
                found = {fact + 1, classes.to_string(), widths_[id]};
            }
        }
        return found;
    }

    bool place_range(FormulaId root, StripRange& range) {
        const std::vector<FormulaId> parts = alternatives(root);
        if (parts.empty()) {
            return false;
        }
        std::vector<std::size_t> widths;
        for (const FormulaId part : parts) {
            widths.push_back(widths_[part]);
        }
        const bool has_room = builder_.has_room(widths);
        const bool begins_with_tests = parts.size() > 1 && formulas_.all[parts.front()].any;
        if (!has_room && !(begins_with_tests && builder_.has_room({1}))) {
            finish_strip();
        }
        range.first_strip = static_cast<std::uint32_t>(program_.strips.size());
        range.first_result = static_cast<std::uint32_t>(program_.results.size());
        std::vector<Reach> reach;  // per strip
        for (const FormulaId part : parts) {
            if (program_.rows.size() > most_rows_) {
                return false;
            }
            std::optional<StripBit> at = builder_.put(part, widths_[part]);
            if (!at) {
                builder_.finish(program_);
                at = builder_.put(part, widths_[part]);
            }
            const std::size_t strip = program_.strips.size() - range.first_strip;
            if (reach.size() <= strip) {
                reach.push_back(reach_[part]);
                program_.results.emplace_back();
            } else {
                widen(reach.back(), reach_[part]);
            }
            for (const std::uint32_t word : {at->word, at->word + 1}) {
                program_.results.back().word[word] |= std::uint64_t{1} << at->bit;
            }
            if (!has_room && begins_with_tests && part == parts.front()) {
                builder_.finish(program_);
            }
        }
        range.strips = static_cast<std::uint32_t>(reach.size());
        place_reach(range, reach);
        return true;
    }

    void place_reach(StripRange& range, const std::vector<Reach>& reach) {
        constexpr std::uint32_t bits = 64;
        range.strips_of_bit = (range.strips + bits - 1) / bits;
        range.first_reach = static_cast<std::uint32_t>(program_.reaches.size());
        const std::uint32_t used = (range.strips + range.strips_of_bit - 1) / range.strips_of_bit;
        range.every = ~std::uint64_t{0} >> (bits - used);
        std::map<std::uint32_t, std::vector<std::uint64_t>> rows;
        for (std::uint32_t s = 0; range.strips > 1 && s < range.strips; ++s) {
            for (const auto& [fact, classes] : reach[s]) {
                rows[fact].resize(rows_before_classes + classes_[fact]);
            }
        }
        for (auto& [fact, row] : rows) {
            for (std::size_t r = 0; r < row.size(); ++r) {
                const auto class_byte = static_cast<std::uint8_t>(r - rows_before_classes);
                for (std::uint32_t s = 0; s < range.strips; ++s) {
                    const auto found = reach[s].find(fact);
                    const bool may_be =
                        found == reach[s].end() || found->second[class_byte % rows_of_facts];
                    row[r] |= std::uint64_t{may_be} << (s / range.strips_of_bit);
                }
            }
            program_.reaches.push_back(
                {fact,
                 static_cast<std::uint32_t>(program_.reach_rows.size() + rows_before_classes)});
            program_.reach_rows.insert(program_.reach_rows.end(), row.begin(), row.end());
        }
        range.reaches = static_cast<std::uint32_t>(program_.reaches.size()) - range.first_reach;
    }

    bool place_statuses() {
        const auto first = formulas_.roots.begin() + static_cast<std::ptrdiff_t>(4 * roots_.size());
        std::map<FormulaId, StripRange> wide;
        for (auto root = first; root != formulas_.roots.end(); ++root) {
            if (widths_[*root] > bits_of_word && wide.count(*root) == 0 &&
                !place_range(*root, wide[*root])) {
                return false;
            }
        }
        finish_strip();
        program_.first_status_strip = static_cast<std::uint32_t>(program_.strips.size());
        std::map<FormulaId, std::uint32_t> narrow;
        for (auto root = first; root != formulas_.roots.end(); ++root) {
            if (widths_[*root] <= bits_of_word && narrow.count(*root) == 0 &&
                !place_status(*root, narrow[*root])) {
                return false;
            }
        }
        finish_strip();
        const std::uint32_t none = value_at({}, program_.strips.size());
        auto root = first;
        for (std::uint32_t row = 0; row < rows_.size(); ++row) {
            const auto stands = wide.find(*root);
            program_.stands.push_back(stands == wide.end() ? narrow.at(*root) : none);
            if (stands != wide.end()) {
                program_.wide_stands.push_back({row, stands->second});
            }
            ++root;
            if (const auto displaced = wide.find(*root); displaced != wide.end()) {
                program_.wide_displaced.push_back({row, displaced->second});
            } else if (rows_[row].displaced != never) {
                program_.displaced.push_back({row, narrow.at(*root)});
            }
            ++root;
        }
        return true;
    }

    bool place_status(FormulaId root, std::uint32_t& value) {
        std::optional<StripBit> at = builder_.put(root, widths_[root]);
        if (!at) {
            builder_.finish(program_);
            at = builder_.put(root, widths_[root]);
        }
        value = value_at(*at, program_.strips.size());
        return program_.rows.size() <= most_rows_;
    }

    [[nodiscard]] std::uint32_t value_at(const StripBit& at, std::size_t strip) const {
        return static_cast<std::uint32_t>((strip - program_.first_status_strip) * values_of_strip +
                                          at.word / 2 * bits_of_word + at.bit);
    }

    [[nodiscard]] std::size_t status_cost() const {
        std::size_t cost = 0;
        for (std::size_t s = program_.first_status_strip; s < program_.strips.size(); ++s) {
            cost += cost_of(program_.strips[s]);
        }
        for (const auto* const wide : {&program_.wide_stands, &program_.wide_displaced}) {
            for (const OfRow<StripRange>& each : *wide) {
                for (std::uint32_t s = 0; s < each.at.strips; ++s) {
                    cost += cost_of(program_.strips[each.at.first_strip + s]);
                }
            }
        }
        return cost;
    }

    static std::size_t cost(const OneCase& by_bytes) {
        return by_bytes.facts.size() * cost_of_strip_fact + by_bytes.groups.size() * cost_of_group +
               by_bytes.operands.size() * cost_of_operand;
    }

    const std::vector<OutcomeRoots>& roots_;
    const std::vector<StatusRoots>& rows_;
    const std::vector<std::size_t>& classes_;
    std::size_t most_rows_;
    Formulas formulas_;
    std::vector<std::size_t> widths_;  // per formula
    std::vector<Reach> reach_;         // per formula
    StripBuilder builder_;
    Strips program_;
};

}  // namespace

Strips lower_strips(const Circuit& circuit, const std::vector<OutcomeRoots>& roots,
                    const std::vector<StatusRoots>& rows, const std::vector<std::size_t>& classes,
                    const OneCase& by_bytes, std::size_t most_bytes) {
    if (classes.empty()) {
        return {};
    }
    return Lowering(circuit, roots, rows, classes, most_bytes).run(by_bytes);
}

}  // namespace toprail::bulk
