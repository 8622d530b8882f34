// Entry points: StripBuilder, width_of.
#include "bulk/strip_builder.hpp"

#include <algorithm>

namespace toprail::bulk {
namespace {

constexpr std::uint64_t bit_at(unsigned bit) {
    return std::uint64_t{1} << bit;
}

// Both words of a pair take part in the same way.
void set(StripWords& words, std::size_t pair, std::uint64_t bits) {
    words.word[2 * pair] |= bits;
    words.word[2 * pair + 1] |= bits;
}

StripWords all_ones() {
    StripWords words{};
    std::fill(std::begin(words.word), std::end(words.word), ~std::uint64_t{0});
    return words;
}

}  // namespace

std::size_t width_of(const Formula& formula, const std::vector<std::size_t>& of_parts) {
    std::size_t width = formula.tests.empty() ? 0 : 1;
    for (const FormulaId part : formula.parts) {
        width = std::min(width + of_parts[part], bits_of_word + 1);
    }
    return width + (formula.parts.empty() ? 0 : 1);
}

bool StripBuilder::has_room(const std::vector<std::size_t>& widths) const {
    Used used = used_;
    return std::all_of(widths.begin(), widths.end(), [&used](std::size_t width) {
        const auto pair = with_room(used, width);
        if (pair) {
            used[*pair] += static_cast<unsigned>(width);
        }
        return pair.has_value();
    });
}

std::optional<StripBit> StripBuilder::put(FormulaId formula, std::size_t width) {
    const auto pair = with_room(used_, width);
    if (!pair) {
        return std::nullopt;
    }
    return StripBit{static_cast<std::uint32_t>(2 * *pair), place(formula, *pair).bit};
}

std::optional<std::size_t> StripBuilder::with_room(const Used& used, std::size_t width) {
    for (std::size_t pair = 0; pair < pairs_of_strip; ++pair) {
        if (used[pair] + width <= bits_of_word) {
            return pair;
        }
    }
    return std::nullopt;
}

// No deeper than a word has bits.
StripBuilder::Placed StripBuilder::place(FormulaId id, std::size_t pair) {
    const Formula& formula = all_[id];
    if (formula.parts.empty()) {
        place_leaf(formula, pair, used_[pair]);
        return {used_[pair]++, 0};
    }
    const unsigned low = used_[pair];
    std::uint64_t operands = 0;
    std::size_t height = 0;
    for (const FormulaId part : formula.parts) {
        const Placed placed = place(part, pair);
        operands |= bit_at(placed.bit);
        height = std::max(height, placed.height);
    }
    if (!formula.tests.empty()) {
        place_leaf(formula, pair, used_[pair]);
        operands |= bit_at(used_[pair]++);
    }
    const unsigned guard = used_[pair]++;
    levels_.resize(std::max(levels_.size(), height + 1));
    StripLevel& level = levels_[height];
    const std::uint64_t between = bit_at(guard) - bit_at(low);
    set(level.keep, pair, operands);
    set(level.fill, pair, formula.any ? 0 : between & ~operands);
    set(level.add, pair, formula.any ? between : bit_at(low));
    set(level.guard, pair, bit_at(guard));
    return {guard, height + 1};
}

void StripBuilder::place_leaf(const Formula& formula, std::size_t pair, unsigned bit) {
    set(strip_.begin, pair, bit_at(bit));
    if (formula.any) {
        set(strip_.flip, pair, bit_at(bit));
    }
    for (const auto& [fact, row] : formula.tests) {
        std::vector<StripWords>& rows = rows_[fact];
        rows.resize(rows_before_classes + classes_[fact], all_ones());
        for (std::size_t r = 0; r < rows.size(); ++r) {
            const auto class_byte = static_cast<std::uint8_t>(r - rows_before_classes);
            const unsigned value = row[class_byte % rows_of_facts];
            const bool known = value == value_true;
            const bool may_be = value != value_false;
            rows[r].word[2 * pair] &= ~(std::uint64_t{known == formula.any} << bit);
            rows[r].word[2 * pair + 1] &= ~(std::uint64_t{may_be == formula.any} << bit);
        }
    }
}

void StripBuilder::finish(Strips& to) {
    strip_.first_fact = static_cast<std::uint32_t>(to.facts.size());
    strip_.facts = static_cast<std::uint32_t>(rows_.size());
    for (const auto& [fact, rows] : rows_) {
        to.facts.push_back(
            {fact, static_cast<std::uint32_t>(to.rows.size() + rows_before_classes)});
        to.rows.insert(to.rows.end(), rows.begin(), rows.end());
    }
    strip_.first_level = static_cast<std::uint32_t>(to.levels.size());
    strip_.levels = static_cast<std::uint32_t>(levels_.size());
    to.levels.insert(to.levels.end(), levels_.begin(), levels_.end());
    to.strips.push_back(strip_);
    strip_ = {};
    used_ = {};
    rows_.clear();
    levels_.clear();
}

}  // namespace toprail::bulk
