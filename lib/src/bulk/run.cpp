// Entry points: Input, Worker.
#include "bulk/run.hpp"

#include "bulk/search.hpp"
#include "shelf/shelf_data.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstring>
#include <stdexcept>

namespace toprail::bulk {
namespace {

// Texts and cases kept for when they come again; past this many they are forgotten.
constexpr std::size_t most_kept = 50'000;

// What one of the column's unit is, in base units of the fact.
Number scale_of(const Fact& fact, const std::string& name) {
    if (fact.type != FactType::count && fact.type != FactType::measured) {
        throw std::invalid_argument(fact.name + " takes no numbers; give texts or their codes");
    }
    const Unit* const unit = name.empty() ? nullptr : find_unit(name);
    const std::string its_own = fact.unit.empty() ? "no unit" : "a unit such as " + fact.unit;
    if (name.empty() && !fact.dimension.plain()) {
        throw std::invalid_argument("the numbers of " + fact.name + " have no unit; give " +
                                    its_own);
    }
    if (!name.empty() && (unit == nullptr || unit->dimension != fact.dimension)) {
        throw std::invalid_argument(fact.name + " is not given in \"" + name + "\"; it takes " +
                                    its_own);
    }
    return unit != nullptr ? unit->scale : Number(1);
}

}  // namespace

NumberReader reader_of(const BulkPlan::Data& plan, std::size_t fact_index,
                       const std::string& unit) {
    const Fact& fact = plan.shelf.data().model.facts[fact_index];
    NumberReader reader;
    reader.scale = scale_of(fact, unit);
    reader.starts = plan.classes[fact_index].starts(reader.scale);
    // Beyond the sensible range the case has no answer, as it has for a text.
    const auto bound = [&](const std::optional<Figure>& figure, std::int64_t otherwise, bool up) {
        if (!figure) {
            return otherwise;
        }
        const Number at = figure->base / reader.scale;
        const Number whole = up && !at.whole() ? at.floor() + 1 : at.floor();
        return whole.integer().value_or(otherwise);
    };
    reader.least = bound(fact.from, NumberColumn::does_not_apply + 1, true);
    reader.most = bound(fact.to, std::numeric_limits<std::int64_t>::max(), false);
    return reader;
}

std::uint8_t class_byte(const BulkPlan::Data& plan, std::size_t fact, const BoundFact& value) {
    if (value.state != FactState::given) {
        return value.state == FactState::not_known ? byte_not_known : byte_does_not_apply;
    }
    // A fact with too many classes has none that a byte could name.
    return plan.facts[fact].classes < 2 ? std::uint8_t{0} : plan.classes[fact].class_of(value);
}

Input::Input(const BulkPlan::Data& plan, const std::vector<BulkColumn>& given)
    : columns(given),
      numbers(given.size()),
      reals(given.size()) {
    for (std::size_t f = 0; f < given.size(); ++f) {
        if (const auto* whole = std::get_if<NumberColumn>(&given[f])) {
            numbers[f] = reader_of(plan, f, whole->unit);
        } else if (const auto* real = std::get_if<RealColumn>(&given[f])) {
            const Fact& fact = plan.shelf.data().model.facts[f];
            reals[f] = real_reader(fact, plan.classes[f], scale_of(fact, real->unit));
        }
        if (!std::holds_alternative<std::monostate>(given[f]) &&
            !std::holds_alternative<ClassColumn>(given[f])) {
            to_read.push_back(f);
            values_matter = values_matter || plan.facts[f].needs_values;
        }
    }
}

Worker::Worker(const BulkPlan::Data& plan, const Input& input, const Kernel& kernel,
               const BulkRun& run, Output output)
    : plan_(plan),
      input_(input),
      kernel_(kernel),
      run_(run),
      output_(output),
      read_(plan.facts.size()),
      unknown_(chunk_cases, byte_not_known),
      unusable_(chunk_cases, 0),
      tail_in_(plan.columns.size() * kernel.block_cases, byte_not_known),
      tail_out_(plan.duties.size() * kernel.block_cases),
      tail_statuses_(plan.statuses.size() * 2 * kernel.plane_bytes),
      // Room to begin at a multiple of 64 bytes.
      scratch_(plan.slots * 2 * kernel.plane_bytes / 8 + 8),
      in_(plan.columns.size()),
      out_(plan.duties.size()),
      bound_(plan.facts.size()),
      texts_(plan.facts.size()) {
    for (const std::size_t fact : input.to_read) {
        read_[fact].resize(chunk_cases);
    }
}

void Worker::decide(std::size_t begin, std::size_t count) {
    any_unusable_ = false;
    for (const std::size_t fact : input_.to_read) {
        read_column(fact, begin, count);
    }
    run_kernel(begin, count);
    if (any_unusable_) {
        for (std::size_t i = 0; i < count; ++i) {
            for (std::size_t d = 0; unusable_[i] != 0 && d < plan_.duties.size(); ++d) {
                *output_.at(d, begin + i) = byte_no_answer;
            }
            unusable_[i] = 0;
        }
    }
    if (run_.search) {
        search_open(begin, count);
    }
    if (!plan_.duties.empty()) {
        const std::uint8_t* const first = output_.at(0, begin);
        report_.no_answer +=
            static_cast<std::size_t>(std::count(first, first + count, byte_no_answer));
    }
}

void Worker::mark_unusable(std::size_t at) {
    any_unusable_ = true;
    unusable_[at] = 1;
}

void Worker::read_column(std::size_t fact, std::size_t begin, std::size_t count) {
    const BulkColumn& column = input_.columns[fact];
    if (std::holds_alternative<NumberColumn>(column)) {
        read_numbers(fact, begin, count);
    } else if (std::holds_alternative<RealColumn>(column)) {
        read_reals(fact, begin, count);
    } else if (std::holds_alternative<CodedColumn>(column)) {
        read_codes(fact, begin, count);
    } else {
        read_texts(fact, begin, count);
    }
}

void Worker::read_numbers(std::size_t fact, std::size_t begin, std::size_t count) {
    const auto& column = std::get<NumberColumn>(input_.columns[fact]);
    const NumberReader& reader = input_.numbers[fact];
    const bool may_not_apply = plan_.shelf.data().model.facts[fact].may_not_apply;
    const bool classes = plan_.facts[fact].classes > 1;
    for (std::size_t i = 0; i < count; ++i) {
        const std::int64_t value = column.values[begin + i];
        unsigned number = 0;
        for (std::size_t s = 0; classes && s < reader.starts.size(); ++s) {
            number += value >= reader.starts[s] ? 1U : 0U;
        }
        std::uint8_t byte = static_cast<std::uint8_t>(number);
        if (value == NumberColumn::not_known) {
            byte = byte_not_known;
        } else if (value == NumberColumn::does_not_apply) {
            byte = byte_does_not_apply;
        }
        const bool usable =
            value == NumberColumn::not_known ||
            (value == NumberColumn::does_not_apply ? may_not_apply
                                                   : value >= reader.least && value <= reader.most);
        if (!usable) {
            mark_unusable(i);
        }
        read_[fact][i] = byte;
    }
}

void Worker::read_reals(std::size_t fact, std::size_t begin, std::size_t count) {
    const auto& column = std::get<RealColumn>(input_.columns[fact]);
    const RealReader& reader = input_.reals[fact];
    const bool classes = plan_.facts[fact].classes > 1;
    for (std::size_t i = 0; i < count; ++i) {
        const double value = column.values[begin + i];
        unsigned number = 0;
        for (std::size_t s = 0; classes && s < reader.starts.size(); ++s) {
            number += value >= reader.starts[s] ? 1U : 0U;
        }
        const bool known = !std::isnan(value);
        if (known && !reader.usable(value)) {
            mark_unusable(i);
        }
        read_[fact][i] = known ? static_cast<std::uint8_t>(number) : byte_not_known;
    }
}

void Worker::read_codes(std::size_t fact, std::size_t begin, std::size_t count) {
    const auto& column = std::get<CodedColumn>(input_.columns[fact]);
    // By code: what the kernel reads, and whether the case can be decided.
    std::array<std::uint8_t, 256> bytes{};
    std::array<bool, 256> usable{};
    bytes.fill(byte_not_known);
    std::fill(usable.begin() + 128, usable.end(), true);
    for (std::size_t code = 0; code < std::min<std::size_t>(column.texts.size(), 128); ++code) {
        const Text& read = text(fact, column.texts[code]);
        bytes[code] = read.byte;
        usable[code] = read.value.has_value();
    }
    for (std::size_t i = 0; i < count; ++i) {
        const auto code = static_cast<std::uint8_t>(column.codes[begin + i]);
        if (!usable[code]) {
            mark_unusable(i);
        }
        read_[fact][i] = bytes[code];
    }
}

const Worker::Text& Worker::text(std::size_t fact, std::string_view text) {
    auto& known = texts_[fact];
    const auto found = known.find(text);
    if (found != known.end()) {
        return found->second;
    }
    if (known.size() >= most_kept) {
        known.clear();
    }
    Findings findings;
    Text read;
    read.value = bind_fact(plan_.shelf.data().model, FactId(fact), text, findings);
    if (read.value) {
        read.byte = class_byte(plan_, fact, *read.value);
    }
    return known.emplace(std::string(text), std::move(read)).first->second;
}

void Worker::read_texts(std::size_t fact, std::size_t begin, std::size_t count) {
    const auto& column = std::get<TextColumn>(input_.columns[fact]);
    for (std::size_t i = 0; i < count; ++i) {
        const Text& read = text(fact, column[begin + i]);
        if (!read.value) {
            mark_unusable(i);
        }
        read_[fact][i] = read.byte;
    }
}

const std::uint8_t* Worker::class_bytes(std::size_t fact, std::size_t begin) const {
    if (const auto* bytes = std::get_if<ClassColumn>(&input_.columns[fact])) {
        return bytes->data() + begin;
    }
    return read_[fact].empty() ? unknown_.data() : read_[fact].data();
}

void Worker::run_kernel(std::size_t begin, std::size_t count) {
    const TapeView tape = plan_.tape();
    void* scratch = scratch_.data();
    std::size_t room = scratch_.size() * sizeof(scratch_.front());
    scratch = std::align(64, room - 64, scratch, room);
    const std::size_t blocks = count / kernel_.block_cases;
    const std::size_t whole = blocks * kernel_.block_cases;
    const std::size_t rest = count - whole;
    for (std::size_t c = 0; c < in_.size(); ++c) {
        in_[c] = class_bytes(plan_.columns[c].value, begin);
        if (rest != 0) {
            std::memcpy(tail_in_.data() + c * kernel_.block_cases, in_[c] + whole, rest);
        }
    }
    for (std::size_t d = 0; d < out_.size(); ++d) {
        out_[d] = output_.at(d, begin);
    }
    if (blocks != 0) {
        kernel_.run(tape, in_.data(), out_.data(), status_bytes(begin), blocks, scratch);
    }
    if (rest != 0) {
        run_tail(begin + whole, rest, scratch);
    }
}

std::uint8_t* Worker::status_bytes(std::size_t begin) {
    const std::size_t group = plan_.statuses.size() * 2 * group_plane_bytes;
    return output_.statuses == nullptr ? nullptr : output_.statuses + begin / group_cases * group;
}

void Worker::run_tail(std::size_t begin, std::size_t rest, void* scratch) {
    for (std::size_t c = 0; c < in_.size(); ++c) {
        in_[c] = tail_in_.data() + c * kernel_.block_cases;
    }
    for (std::size_t d = 0; d < out_.size(); ++d) {
        out_[d] = tail_out_.data() + d * kernel_.block_cases;
    }
    kernel_.run(plan_.tape(), in_.data(), out_.data(),
                output_.statuses == nullptr ? nullptr : tail_statuses_.data(), 1, scratch);
    for (std::size_t d = 0; d < out_.size(); ++d) {
        std::memcpy(output_.at(d, begin), out_[d], rest);
    }
    if (output_.statuses != nullptr) {
        const std::size_t groups = (rest + group_cases - 1) / group_cases;
        std::memcpy(status_bytes(begin), tail_statuses_.data(),
                    groups * plan_.statuses.size() * 2 * group_plane_bytes);
    }
}

void Worker::search_open(std::size_t begin, std::size_t count) {
    std::vector<std::uint8_t> left_open(count, 0);
    for (std::size_t d = 0; d < plan_.duties.size(); ++d) {
        const std::uint8_t* const outcomes = output_.at(d, begin);
        for (std::size_t i = 0; i < count; ++i) {
            left_open[i] =
                static_cast<std::uint8_t>(left_open[i] | (outcomes[i] == byte_open ? 1 : 0));
        }
    }
    for (std::size_t i = 0; i < count; ++i) {
        if (left_open[i] != 0) {
            search(begin + i, i);
        }
    }
}

void Worker::search(std::size_t index, std::size_t at) {
    ++report_.searched;
    std::string classes;
    bool all_given = true;
    bool values = false;
    for (std::size_t f = 0; f < plan_.facts.size(); ++f) {
        if (plan_.facts[f].used) {
            const std::uint8_t byte = class_bytes(f, index - at)[at];
            classes += static_cast<char>(byte);
            all_given = all_given && byte != byte_not_known;
            values = values || (plan_.facts[f].needs_values && byte < byte_does_not_apply);
        }
    }
    report_.beyond_plan += all_given ? 1 : 0;
    const bool again = !(values && input_.values_matter);
    if (again) {
        const auto found = known_.find(classes);
        if (found != known_.end()) {
            write(index, found->second);
            return;
        }
    }
    bool complete = true;
    for (std::size_t f = 0; f < plan_.facts.size(); ++f) {
        complete = bind(f, index, bound_[f]) && complete;
    }
    search_case(plan_, bound_, run_.budget, found_.outcomes,
                output_.possible == nullptr ? nullptr : &found_.possible);
    if (!complete && std::count(found_.outcomes.begin(), found_.outcomes.end(), byte_open) != 0) {
        ++report_.without_values;
    }
    if (again) {
        if (known_.size() >= most_kept) {
            known_.clear();
        }
        known_.emplace(std::move(classes), found_);
    }
    write(index, found_);
}

bool Worker::bind(std::size_t fact, std::size_t index, BoundFact& bound) {
    bound = BoundFact{};
    const BulkColumn& column = input_.columns[fact];
    if (!plan_.facts[fact].used || std::holds_alternative<std::monostate>(column)) {
        return true;
    }
    if (const auto* reals = std::get_if<RealColumn>(&column)) {
        const double value = reals->values[index];
        if (!std::isnan(value)) {
            bound.state = FactState::given;
            bound.number = shortest_decimal(value) * input_.reals[fact].scale;
        }
        return true;
    }
    if (const auto* coded = std::get_if<CodedColumn>(&column)) {
        const std::int8_t code = coded->codes[index];
        if (code >= 0) {
            const std::string_view told = coded->texts[static_cast<std::uint8_t>(code)];
            if (const auto& value = text(fact, told).value) {
                bound = *value;
            }
        }
        return true;
    }
    if (const auto* texts = std::get_if<TextColumn>(&column)) {
        if (const auto& value = text(fact, (*texts)[index]).value) {
            bound = *value;
        }
        return true;
    }
    if (const auto* numbers = std::get_if<NumberColumn>(&column)) {
        const std::int64_t value = numbers->values[index];
        if (value == NumberColumn::does_not_apply) {
            bound.state = FactState::does_not_apply;
        } else if (value != NumberColumn::not_known) {
            bound.state = FactState::given;
            bound.number = Number(value) * input_.numbers[fact].scale;
        }
        return true;
    }
    const std::uint8_t byte = std::get<ClassColumn>(column)[index];
    if (byte == byte_does_not_apply) {
        bound.state = FactState::does_not_apply;
    } else if (byte < plan_.classes[fact].size()) {
        // Of a class alone, a formula over several facts knows nothing: the fact counts as not
        // known, which may leave more open than there is but never says what is not so.
        if (plan_.facts[fact].needs_values) {
            return false;
        }
        bound = plan_.classes[fact].sample(byte);
    }
    return true;
}

void Worker::write(std::size_t index, const Found& found) {
    for (std::size_t d = 0; d < found.outcomes.size(); ++d) {
        // What the quick pass has settled stays: it is never wrong.
        std::uint8_t* const byte = output_.at(d, index);
        if (*byte == byte_open) {
            *byte = found.outcomes[d];
            if (output_.possible != nullptr) {
                output_.possible[d * output_.cases + index] = found.possible[d];
            }
        }
    }
}

void Worker::add_to(BulkReport& report) const {
    report.searched += report_.searched;
    report.beyond_plan += report_.beyond_plan;
    report.without_values += report_.without_values;
    report.no_answer += report_.no_answer;
}

}  // namespace toprail::bulk
