// Entry point: CaseDecider.
#include "toprail/case_decider.hpp"

#include "bulk/case_decider_data.hpp"
#include "bulk/search.hpp"
#include "shelf/shelf_data.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cstring>
#include <stdexcept>

namespace toprail {
namespace {

using bulk::byte_does_not_apply;
using bulk::byte_no_answer;
using bulk::byte_not_known;

using bulk::byte_open;
static_assert(byte_open == static_cast<std::uint8_t>(Outcome::undetermined));

// Texts kept for when they come again; past this many of a fact they are forgotten.
constexpr std::size_t most_kept = 50'000;

// The outcome for four values of two bits each: required, excepted, not required, no answer.
consteval std::array<std::uint8_t, 256> outcome_table() {
    std::array<std::uint8_t, 256> table{};
    for (unsigned i = 0; i < table.size(); ++i) {
        const unsigned no_answer = i / 64;
        std::uint8_t outcome = static_cast<std::uint8_t>(Outcome::not_addressed);
        for (unsigned rank = 3; rank-- > 0;) {
            const unsigned value = i / (rank == 0 ? 1 : rank == 1 ? 4 : 16) % 4;
            outcome = value == bulk::value_true    ? static_cast<std::uint8_t>(rank)
                      : value == bulk::value_false ? outcome
                                                   : byte_open;
        }
        table[i] = no_answer == bulk::value_true    ? byte_no_answer
                   : no_answer == bulk::value_false ? outcome
                                                    : byte_open;
    }
    return table;
}

constexpr std::array<std::uint8_t, 256> outcomes_of = outcome_table();

std::size_t status_strips(const bulk::Strips& strips) {
    return strips.stands.empty() ? 0 : strips.strips.size() - strips.first_status_strip;
}

std::size_t values_of(const BulkPlan::Data& plan) {
    return std::max(plan.one_case.values, status_strips(plan.strips) * bulk::values_of_strip + 1);
}

// The eight bits of a byte, each as a byte: the lowest comes first in memory.
consteval std::array<std::uint64_t, 256> bits_spread() {
    std::array<std::uint64_t, 256> table{};
    for (std::uint64_t i = 0; i < table.size(); ++i) {
        for (unsigned bit = 0; bit < 8; ++bit) {
            const unsigned place = std::endian::native == std::endian::little ? bit : 7 - bit;
            table[i] |= (i >> bit & 1U) << 8 * place;
        }
    }
    return table;
}

constexpr std::array<std::uint64_t, 256> spread = bits_spread();

}  // namespace

CaseDecider::Data::Data(const BulkPlan& of, std::size_t search_budget)
    : plan(of),
      budget(search_budget),
      classes(of.facts().size(), byte_not_known),
      given_by(of.facts().size()),
      is_unusable(of.facts().size()),
      given(of.facts().size()),
      kernel(&bulk::kernel_named("")),
      strips(of.data().strips.view()),
      kept_classes(of.facts().size(), byte_not_known),
      words(status_strips(of.data().strips) * bulk::words_of_strip),
      values(values_of(of.data()), bulk::value_false),
      outcomes(of.data().duties.size()),
      row_stands(of.data().one_case.stands.size()),
      row_displaced(of.data().one_case.stands.size(), bulk::value_false),
      statuses(of.data().one_case.stands.size()),
      bound(of.facts().size()) {
    bulk::prepare_values(values.data());
    trail.resize(of.data().texts.most);
}

void CaseDecider::Data::give(std::size_t fact, std::uint8_t byte, bool usable) {
    // Written only when it changes, which is seldom: a count that is read back at once waits.
    if (const std::uint8_t is_now = usable ? 0 : 1; is_unusable[fact] != is_now) {
        unusable = unusable - is_unusable[fact] + is_now;
        is_unusable[fact] = is_now;
    }
    classes[fact] = byte;
}

bool CaseDecider::Data::set(std::size_t fact, std::string_view text) {
    auto& known = given[fact].texts;
    auto found = known.find(text);
    if (found == known.end()) {
        if (known.size() >= most_kept) {
            // The fact may stand at one of them until now.
            given[fact].text = nullptr;
            known.clear();
        }
        Findings findings;
        GivenText read;
        read.value = bind_fact(plan.data().shelf.data().model, FactId(fact), text, findings);
        if (read.value) {
            read.byte = bulk::class_byte(plan.data(), fact, *read.value);
        }
        found = known.emplace(std::string(text), std::move(read)).first;
    }
    given[fact].text = &found->second;
    give(fact, found->second.byte, found->second.value.has_value());
    return found->second.value.has_value();
}

bool CaseDecider::Data::set_number(std::size_t fact, std::int64_t value) {
    if (!given[fact].reader) {
        throw std::invalid_argument("set_number without count_in");
    }
    const bulk::NumberReader& reader = *given[fact].reader;
    given[fact].text = nullptr;
    given[fact].number = value;
    if (value == NumberColumn::not_known || value == NumberColumn::does_not_apply) {
        const bool absent = value == NumberColumn::does_not_apply;
        const bool usable = !absent || plan.data().shelf.data().model.facts[fact].may_not_apply;
        give(fact, absent ? byte_does_not_apply : byte_not_known, usable);
        return usable;
    }
    unsigned number = 0;
    for (const std::int64_t start : reader.starts) {
        number += value >= start ? 1U : 0U;
    }
    const bool usable = value >= reader.least && value <= reader.most;
    give(fact, plan.facts()[fact].classes > 1 ? static_cast<std::uint8_t>(number) : std::uint8_t{0},
         usable);
    return usable;
}

void CaseDecider::Data::clear() {
    std::fill(classes.begin(), classes.end(), byte_not_known);
    std::fill(is_unusable.begin(), is_unusable.end(), std::uint8_t{0});
    unusable = 0;
}

std::span<const std::uint8_t> CaseDecider::Data::decide(const std::uint8_t* class_bytes) {
    const BulkPlan::Data& data = plan.data();
    if (!data.strips.outcomes.empty()) {
        for (std::size_t d = 0; d < outcomes.size(); ++d) {
            outcomes[d] = kernel->outcome(strips, data.strips.outcomes[d].data(), class_bytes);
        }
        if (!statuses.empty()) {
            std::copy_n(class_bytes, kept_classes.size(), kept_classes.data());
        }
        return outcomes;
    }
    bulk::run_one_case(data.one_case, class_bytes, values.data());
    for (std::size_t d = 0; d < outcomes.size(); ++d) {
        const bulk::OutcomeValues& at = data.one_case.outcomes[d];
        outcomes[d] = outcomes_of[values[at.required] + 4U * values[at.excepted] +
                                  16U * values[at.not_required] + 64U * values[at.no_answer]];
    }
    return outcomes;
}

std::uint8_t CaseDecider::Data::value_of(std::size_t duty, std::size_t rank) const {
    const BulkPlan::Data& data = plan.data();
    if (!data.strips.outcomes.empty()) {
        return kernel->value(strips, data.strips.outcomes[duty][rank], kept_classes.data());
    }
    const bulk::OutcomeValues& at = data.one_case.outcomes[duty];
    return values[rank == 0 ? at.required : rank == 1 ? at.excepted : at.not_required];
}

// A byte for each bit of the words: as many values as there are by bytes.
void CaseDecider::Data::spread_values() {
    std::uint8_t* to = values.data();
    for (std::size_t w = 0; w < words.size(); w += 2) {
        std::uint64_t known = words[w];
        std::uint64_t may_be = words[w + 1];
        for (unsigned byte = 0; byte < 8; ++byte, to += 8, known >>= 8U, may_be >>= 8U) {
            const std::uint64_t eight = spread[known & 0xffU] | spread[may_be & 0xffU] << 1U;
            std::memcpy(to, &eight, sizeof eight);
        }
    }
}

void CaseDecider::Data::write_rows(const std::vector<std::uint32_t>& stands,
                                   const std::vector<bulk::OfRow<std::uint32_t>>& displaced,
                                   std::size_t rows) {
    // Bytes may be any object's: without pointers of its own the loop reads all again for each.
    const std::uint8_t* const v = values.data();
    const std::uint32_t* const from = stands.data();
    std::uint8_t* const to = row_stands.data();
    for (std::size_t r = 0; r < rows; ++r) {
        to[r] = v[from[r]];
    }
    std::uint8_t* const over = row_displaced.data();
    for (const auto& each : displaced) {
        over[each.row] = v[each.at];
    }
}

std::span<const Status> CaseDecider::Data::tell_statuses(std::size_t rows) {
    const bulk::Strips& by_strips = plan.data().strips;
    const bulk::OneCase& by_bytes = plan.data().one_case;
    if (!by_strips.stands.empty()) {
        kernel->write(strips, by_strips.first_status_strip, status_strips(by_strips),
                      kept_classes.data(), words.data());
        spread_values();
        write_rows(by_strips.stands, by_strips.displaced, rows);
        for (const auto& each : by_strips.wide_stands) {
            if (each.row < rows) {
                row_stands[each.row] = kernel->value(strips, each.at, kept_classes.data());
            }
        }
        for (const auto& each : by_strips.wide_displaced) {
            row_displaced[each.row] = kernel->value(strips, each.at, kept_classes.data());
        }
    } else if (rows != 0) {
        if (!by_strips.outcomes.empty()) {
            bulk::run_one_case(by_bytes, kept_classes.data(), values.data());
        }
        write_rows(by_bytes.stands, by_bytes.displaced, rows);
    }
    const std::uint8_t* const stands = row_stands.data();
    const std::uint8_t* const displaced = row_displaced.data();
    // The two bits of a Status from those of two values, for many rows at once.
    Status* const to = statuses.data();
    for (std::size_t r = 0; r < rows; ++r) {
        const unsigned falls = ~(stands[r] >> 1U) & 1U;
        const unsigned counts = stands[r] & ~(displaced[r] >> 1U) & 1U;
        to[r] = static_cast<Status>(falls | (displaced[r] & 1U) | ((~(falls | counts) & 1U) << 1U));
    }
    return std::span(statuses).first(rows);
}

// A class byte tells a value only where no formula needs more: otherwise it counts as not known.
void CaseDecider::Data::bind(std::size_t fact) {
    const Given& source = given[fact];
    const BulkPlan::Data& data = plan.data();
    const std::uint8_t byte = classes[fact];
    bound[fact] = BoundFact{};
    if (byte == byte_does_not_apply) {
        bound[fact].state = FactState::does_not_apply;
    } else if (byte == byte_not_known) {
        return;
    } else if (given_by[fact] == GivenBy::text && source.text != nullptr) {
        bound[fact] = *source.text->value;
    } else if (given_by[fact] == GivenBy::number) {
        bound[fact].state = FactState::given;
        bound[fact].number = Number(source.number) * source.reader->scale;
    } else if (!data.facts[fact].needs_values && byte < data.classes[fact].size()) {
        bound[fact] = data.classes[fact].sample(byte);
    }
}

std::span<const std::uint8_t> CaseDecider::Data::settle() {
    if (std::count(outcomes.begin(), outcomes.end(), byte_open) == 0) {
        return outcomes;
    }
    for (std::size_t f = 0; f < bound.size(); ++f) {
        bind(f);
    }
    bulk::search_case(plan.data(), bound, budget, searched);
    for (std::size_t d = 0; d < outcomes.size(); ++d) {
        if (outcomes[d] == byte_open) {
            outcomes[d] = searched[d];
        }
    }
    return outcomes;
}

CaseDecider::CaseDecider(const BulkPlan& plan, std::size_t budget)
    : data_(std::make_unique<Data>(plan, budget)) {}
CaseDecider::CaseDecider(CaseDecider&& other) noexcept = default;
CaseDecider& CaseDecider::operator=(CaseDecider&& other) noexcept = default;
CaseDecider::~CaseDecider() = default;

void CaseDecider::clear() {
    data_->clear();
}

bool CaseDecider::set(std::size_t fact, std::string_view text) {
    data_->given_by[fact] = GivenBy::text;
    return data_->set(fact, text);
}

bool CaseDecider::set(std::string_view fact, std::string_view text) {
    const auto found = data_->plan.data().handles.find(fact);
    if (found == data_->plan.data().handles.end()) {
        ++data_->unusable;
        return false;
    }
    return set(found->second, text);
}

void CaseDecider::set_class(std::size_t fact, std::uint8_t byte) {
    data_->given_by[fact] = GivenBy::class_byte;
    data_->give(fact, byte, true);
}

void CaseDecider::count_in(std::size_t fact, const std::string& unit) {
    data_->given[fact].reader = bulk::reader_of(data_->plan.data(), fact, unit);
}

bool CaseDecider::set_number(std::size_t fact, std::int64_t value) {
    data_->given_by[fact] = GivenBy::number;
    return data_->set_number(fact, value);
}

std::span<const std::uint8_t> CaseDecider::decide() {
    data_->decide(data_->classes.data());
    if (data_->unusable != 0) {
        std::fill(data_->outcomes.begin(), data_->outcomes.end(), byte_no_answer);
    }
    return data_->outcomes;
}

std::span<const std::uint8_t> CaseDecider::decide(std::span<const std::uint8_t> class_bytes) {
    if (class_bytes.size() != data_->classes.size()) {
        throw std::invalid_argument("a class byte for every fact of the plan is needed");
    }
    return data_->decide(class_bytes.data());
}

std::span<const std::uint8_t> CaseDecider::settle() {
    decide();
    return data_->settle();
}

std::span<const Status> CaseDecider::statuses() {
    return data_->tell_statuses(data_->plan.data().provisions.size());
}

void CaseDecider::append_json(std::string& out) {
    data_->append_json(out);
}

}  // namespace toprail
