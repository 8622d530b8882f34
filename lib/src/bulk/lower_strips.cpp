// Entry point: lower_strips.
#include "bulk/lower_strips.hpp"

#include "bulk/reach.hpp"
#include "bulk/strip_builder.hpp"

#include <algorithm>
#include <optional>
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
        for (const std::size_t count : classes) {
            program_.last_row.push_back(static_cast<std::uint8_t>(count + rows_beside_classes - 1));
        }
    }

    Strips run(const OneCase& by_bytes) {
        if (!place_outcomes()) {
            return {};
        }
        Strips outcomes = program_;
        if (rows_.empty() || (place_statuses() && status_cost() < cost(by_bytes))) {
            return std::move(program_);
        }
        return outcomes;
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

    bool place_outcomes() {
        auto root = formulas_.roots.begin();
        for (const OutcomeRoots& duty : roots_) {
            std::array<StripRange, 4>& ranges = program_.outcomes.emplace_back();
            auto range = ranges.begin();
            for (const Literal literal :
                 {duty.required, duty.excepted, duty.not_required, duty.no_answer}) {
                if (literal != never) {
                    const std::optional<StripRange> placed = place_range(*root);
                    if (!placed) {
                        return false;
                    }
                    *range = *placed;
                }
                ++range;
                ++root;
            }
        }
        return true;
    }

    // What any of is asked for. Its own tests come first, being the quickest to look at.
    std::vector<FormulaId> alternatives(FormulaId root) {
        const Formula formula = formulas_.all[root];
        if (!formula.any || formula.parts.empty()) {
            return {root};
        }
        std::vector<FormulaId> parts = formula.parts;
        std::stable_sort(parts.begin(), parts.end(),
                         [this](FormulaId a, FormulaId b) { return likeness(a) < likeness(b); });
        if (!formula.tests.empty()) {
            parts.insert(parts.begin(), add({true, formula.tests, {}}));
        }
        return parts;
    }

    // Those that the same classes of a fact rule out stand together: a strip of them can be passed
    // over. The fact is that of which fewest classes are left.
    [[nodiscard]] std::tuple<std::uint32_t, std::string, std::size_t> likeness(FormulaId id) const {
        std::tuple<std::uint32_t, std::string, std::size_t> found{0, "", widths_[id]};
        double least = 1;
        for (const auto& [fact, classes] : reach_[id]) {
            std::size_t left = 0;
            for (std::size_t c = 0; c < classes_[fact]; ++c) {
                left += classes[c] ? 1U : 0U;
            }
            const double share = static_cast<double>(left) / static_cast<double>(classes_[fact]);
            if (share < least) {
                least = share;
                found = {fact + 1, classes.to_string(), widths_[id]};
            }
        }
        return found;
    }

    std::optional<StripRange> place_range(FormulaId root) {
        const std::vector<FormulaId> parts = alternatives(root);
        StripRange range;
        range.first_strip = static_cast<std::uint32_t>(program_.strips.size());
        std::vector<std::optional<Reach>> reach;  // per strip
        const auto finish = [&] {
            if (!builder_.empty()) {
                builder_.finish(program_);
                reach.emplace_back();
            }
        };
        reach.emplace_back();
        for (const FormulaId part : parts) {
            if (widths_[part] > bits_of_word || program_.rows.size() > most_rows_) {
                return std::nullopt;
            }
            if (!builder_.put(part, widths_[part])) {
                finish();
                builder_.put(part, widths_[part]);
            }
            if (reach.back()) {
                widen(*reach.back(), reach_[part]);
            } else {
                reach.back() = reach_[part];
            }
        }
        finish();
        reach.pop_back();
        range.strips = static_cast<std::uint32_t>(program_.strips.size()) - range.first_strip;
        place_reach(range, reach);
        return range;
    }

    void place_reach(StripRange& range, const std::vector<std::optional<Reach>>& reach) {
        constexpr std::uint32_t bits = 64;
        range.strips_of_bit = (range.strips + bits - 1) / bits;
        range.first_reach = static_cast<std::uint32_t>(program_.reaches.size());
        const std::uint32_t used = (range.strips + range.strips_of_bit - 1) / range.strips_of_bit;
        range.every = ~std::uint64_t{0} >> (bits - used);
        std::map<std::uint32_t, std::vector<std::uint64_t>> rows;
        for (std::uint32_t s = 0; range.strips > 1 && s < range.strips; ++s) {
            for (const auto& [fact, classes] : *reach[s]) {
                rows[fact].resize(classes_[fact] + rows_beside_classes);
            }
        }
        for (auto& [fact, row] : rows) {
            for (std::size_t r = 0; r < row.size(); ++r) {
                const auto class_byte = static_cast<std::uint8_t>(r - rows_beside_classes);
                for (std::uint32_t s = 0; s < range.strips; ++s) {
                    const auto found = reach[s]->find(fact);
                    const bool may_be =
                        found == reach[s]->end() || found->second[class_byte % rows_of_facts];
                    row[r] |= std::uint64_t{may_be} << (s / range.strips_of_bit);
                }
            }
            program_.reaches.push_back(
                {fact, static_cast<std::uint32_t>(program_.reach_rows.size())});
            program_.reach_rows.insert(program_.reach_rows.end(), row.begin(), row.end());
        }
        range.reaches = static_cast<std::uint32_t>(program_.reaches.size()) - range.first_reach;
    }

    bool place_statuses() {
        // Wide ones have strips of their own, which come first.
        std::map<FormulaId, StripRange> wide;
        const auto first = formulas_.roots.begin() + static_cast<std::ptrdiff_t>(4 * roots_.size());
        for (auto root = first; root != formulas_.roots.end(); ++root) {
            if (widths_[*root] > bits_of_word && wide.count(*root) == 0) {
                const std::optional<StripRange> placed = place_range(*root);
                if (!placed) {
                    return false;
                }
                wide.emplace(*root, *placed);
            }
        }
        program_.first_status_strip = static_cast<std::uint32_t>(program_.strips.size());
        std::map<FormulaId, StripBit> placed;
        std::uint32_t strip = 0;
        for (auto root = first; root != formulas_.roots.end(); ++root) {
            if (wide.count(*root) != 0 || placed.count(*root) != 0) {
                continue;
            }
            std::optional<StripBit> at = builder_.put(*root, widths_[*root]);
            if (!at) {
                builder_.finish(program_);
                ++strip;
                at = builder_.put(*root, widths_[*root]);
            }
            at->word += strip * static_cast<std::uint32_t>(words_of_strip);
            placed.emplace(*root, *at);
            if (program_.rows.size() > most_rows_) {
                return false;
            }
        }
        if (!builder_.empty()) {
            builder_.finish(program_);
            ++strip;
        }
        const StripBit zero{strip * static_cast<std::uint32_t>(words_of_strip), 0};
        auto root = first;
        for (std::uint32_t row = 0; row < rows_.size(); ++row) {
            if (const auto found = wide.find(*root); found != wide.end()) {
                program_.wide.push_back({row, found->second});
            }
            program_.stands.push_back(wide.count(*root) != 0 ? zero : placed.at(*root));
            ++root;
            if (rows_[row].displaced != never) {
                if (wide.count(*root) != 0) {
                    return false;
                }
                program_.displaced.push_back({row, placed.at(*root)});
            }
            ++root;
        }
        return true;
    }

    [[nodiscard]] std::size_t status_cost() const {
        std::size_t cost = 0;
        for (std::size_t s = program_.first_status_strip; s < program_.strips.size(); ++s) {
            cost += cost_of(program_.strips[s]);
        }
        for (const OfRow<StripRange>& each : program_.wide) {
            for (std::uint32_t s = 0; s < each.at.strips; ++s) {
                cost += cost_of(program_.strips[each.at.first_strip + s]);
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
