// Entry points: Batch, Reader::read.
#include "lines/reader.hpp"

#include "lines/json.hpp"

#include <algorithm>
#include <cstring>

namespace toprail::lines {
namespace {

// Layouts that are kept, for files that several programs wrote into.
constexpr std::size_t most_shapes = 8;

bool blank(std::string_view line) {
    return line.find_first_not_of(" \t\r") == std::string_view::npos;
}

// Most texts between values are short: words of them are compared, the last overlapping.
bool same(const char* a, const std::string& b) {
    const std::size_t size = b.size();
    if (size < 8) {
        return std::memcmp(a, b.data(), size) == 0;
    }
    const auto word = [](const char* at) {
        std::uint64_t value = 0;
        std::memcpy(&value, at, sizeof value);
        return value;
    };
    std::uint64_t differs = word(a + size - 8) ^ word(b.data() + size - 8);
    for (std::size_t i = 0; i + 8 < size; i += 8) {
        differs |= word(a + i) ^ word(b.data() + i);
    }
    return differs == 0;
}

}  // namespace

Batch::Batch(const BulkPlan& plan)
    : bytes(plan.facts().size()),
      texts(plan.facts().size()),
      numbers(batch_lines),
      names(batch_lines),
      bad(batch_lines) {
    for (std::size_t f = 0; f < plan.facts().size(); ++f) {
        if (plan.facts()[f].used && plan.facts()[f].needs_values) {
            texts[f].resize(batch_lines);
        } else if (plan.facts()[f].used) {
            bytes[f].resize(batch_lines);
        }
    }
    count = batch_lines;
    clear();
}

void Batch::clear() {
    for (auto& column : bytes) {
        std::fill(column.begin(), column.begin() + (column.empty() ? 0 : std::ptrdiff_t(count)),
                  bulk_not_known);
    }
    for (auto& column : texts) {
        std::fill(column.begin(), column.begin() + (column.empty() ? 0 : std::ptrdiff_t(count)),
                  std::string_view("not known"));
    }
    std::fill(bad.begin(), bad.begin() + std::ptrdiff_t(count), std::uint8_t{0});
    std::fill(names.begin(), names.begin() + std::ptrdiff_t(count), std::string_view{});
    troubles.clear();
    own.clear();
    count = 0;
}

std::vector<BulkColumn> Batch::columns() const {
    std::vector<BulkColumn> all(bytes.size());
    for (std::size_t f = 0; f < bytes.size(); ++f) {
        if (!bytes[f].empty()) {
            all[f] = ClassColumn(bytes[f]);
        } else if (!texts[f].empty()) {
            all[f] = TextColumn(texts[f]);
        }
    }
    return all;
}

Reader::Reader(const BulkPlan& plan, std::size_t line_bytes)
    : plan_(plan),
      line_bytes_(line_bytes),
      tokens_(plan.facts().size()),
      seen_(plan.facts().size(), 0),
      json_(std::make_unique<Json>()) {
    for (std::size_t f = 0; f < plan.facts().size(); ++f) {
        texts_.emplace_back(plan.data(), f);
    }
}

Reader::~Reader() = default;

bool Reader::read(std::string_view line, std::size_t capacity, std::uint64_t number, Batch& batch) {
    if (!line.empty() && line.back() == '\r') {
        line.remove_suffix(1);
    }
    std::string says;
    if (line.size() > line_bytes_) {
        says = "the line is longer than " + std::to_string(line_bytes_) + " bytes";
    } else {
        if (likely_ < shapes_.size() && by_shape(shapes_[likely_], line, batch)) {
            batch.numbers[batch.count++] = number;
            return true;
        }
        if (blank(line)) {
            return false;
        }
        for (std::size_t s = 0; s < shapes_.size(); ++s) {
            if (s != likely_ && by_shape(shapes_[s], line, batch)) {
                likely_ = s;
                batch.numbers[batch.count++] = number;
                return true;
            }
        }
        says = take_apart(line, capacity, batch);
    }
    if (!says.empty()) {
        batch.bad[batch.count] = 1;
        batch.troubles.emplace_back(batch.count, std::move(says));
    }
    batch.numbers[batch.count++] = number;
    return true;
}

bool Reader::by_shape(const Shape& shape, std::string_view line, Batch& batch) {
    const char* at = line.data();
    const char* const end = at + line.size();
    for (const Slot& slot : shape.slots) {
        if (static_cast<std::size_t>(end - at) < slot.before.size() || !same(at, slot.before)) {
            return false;
        }
        at += slot.before.size();
        const char* const after = end_of_token(at, end);
        if (after == nullptr ||
            !put_token(slot.what, at, static_cast<std::size_t>(after - at), batch)) {
            return false;
        }
        at = after;
    }
    return static_cast<std::size_t>(end - at) == shape.after.size() && same(at, shape.after);
}

// What was not seen before and is no string is left to simdjson: it may be no number either.
bool Reader::put_token(std::size_t what, const char* token, std::size_t size, Batch& batch) {
    const bool string = size >= 2 && *token == '"';
    if (what == is_skipped) {
        return string;
    }
    if (what == is_name) {
        batch.names[batch.count] = {token + 1, size - 2};
        return string;
    }
    std::optional<std::uint8_t> byte = tokens_[what].look(token, size);
    if (!byte && string) {
        byte = texts_[what].read({token + 1, size - 2}).byte;
        if (byte) {
            tokens_[what].keep({token, size}, *byte);
        }
    }
    if (!byte) {
        return false;
    }
    if (!batch.bytes[what].empty()) {
        batch.bytes[what][batch.count] = *byte;
    } else if (!batch.texts[what].empty()) {
        batch.texts[what][batch.count] =
            string ? std::string_view(token + 1, size - 2) : std::string_view(token, size);
    }
    return true;
}

void Reader::learn(std::string_view line, const std::vector<Mark>& marks) {
    Shape shape(line, marks);
    if (shapes_.size() < most_shapes) {
        likely_ = shapes_.size();
        shapes_.push_back(std::move(shape));
    } else {
        likely_ = (likely_ + 1) % most_shapes;
        shapes_[likely_] = std::move(shape);
    }
}

}  // namespace toprail::lines
