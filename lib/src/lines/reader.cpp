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

// Looking for line ends is quick, and would wait for memory all the time; this does not wait.
void bring_nearer(const char* from, const char* to, std::size_t ahead, const char* room_end) {
    constexpr std::ptrdiff_t cache_line = 64;
    if (static_cast<std::size_t>(room_end - to) > ahead) {
        for (; from < to; from += std::min<std::ptrdiff_t>(cache_line, to - from)) {
            __builtin_prefetch(from + ahead);
        }
    }
}

// What a plain token says. Texts are kept of names, and of figures and days that formulas need:
// true and false are no values of those.
std::string_view text_of(std::string_view token) {
    switch (token.front()) {
    case '"':
        return token.substr(1, token.size() - 2);
    case 'n':
        return "not known";
    default:
        return token;
    }
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

ReadAbreast abreast_with([[maybe_unused]] std::string_view vectors) {
#if defined(__x86_64__)
    // Whatever has AVX-512 has AVX2 too.
    if (vectors != "portable" && __builtin_cpu_supports("bmi") != 0 &&
        __builtin_cpu_supports("bmi2") != 0) {
        return &read_abreast_avx2;
    }
#endif
    return &read_abreast_portable;
}

Reader::Reader(const BulkPlan& plan, std::size_t line_bytes, ReadAbreast way)
    : plan_(plan),
      line_bytes_(line_bytes),
      read_abreast_(way),
      tokens_(plan.facts().size()),
      seen_(plan.facts().size(), 0),
      columns_(plan.facts().size()),
      nowhere_(batch_lines),
      json_(std::make_unique<Json>()) {
    for (std::size_t f = 0; f < plan.facts().size(); ++f) {
        texts_.emplace_back(plan.data(), f);
        places_.push_back(tokens_[f].places());
        told_.push_back(plan.facts()[f].used && plan.facts()[f].needs_values);
    }
}

Reader::~Reader() = default;

void Reader::read(std::span<const Piece> lines, const char* room_end, std::size_t ahead,
                  std::uint64_t first_number, Batch& batch) {
    for (std::size_t f = 0; f < columns_.size(); ++f) {
        columns_[f] = batch.bytes[f].empty() ? nowhere_.data() : batch.bytes[f].data();
    }
    for (std::size_t i = 0; i < lines.size();) {
        const bool enough = lines.size() - i >= lanes;
        if (enough && ahead != 0) {
            bring_nearer(lines[i].begin, lines[i + lanes - 1].end, ahead, room_end);
        }
        if (enough && abreast(&lines[i], room_end, first_number + i, batch)) {
            i += lanes;
            continue;
        }
        for (const std::size_t end = enough ? i + lanes : lines.size(); i < end; ++i) {
            one({lines[i].begin, lines[i].end}, room_end, first_number + i, batch);
        }
    }
}

bool Reader::abreast(const Piece* lines, const char* room_end, std::uint64_t number, Batch& batch) {
    if (likely_ >= shapes_.size()) {
        return false;
    }
    const Shape& shape = shapes_[likely_];
    if (static_cast<std::size_t>(room_end - lines[lanes - 1].end) < shape.reach) {
        return false;
    }
    for (std::size_t l = 0; l < lanes; ++l) {
        if (static_cast<std::size_t>(lines[l].end - lines[l].begin) > line_bytes_) {
            return false;
        }
    }
    const Sheet sheet{shape.steps.data(), places_.data(), columns_.data(), pieces_.data()};
    if (!read_abreast_(sheet, lines, batch.count)) {
        for (const Slot& slot : shape.slots) {
            if (slot.what != is_name && slot.what != is_skipped) {
                std::memset(columns_[slot.what] + batch.count, bulk_not_known, lanes);
            }
        }
        return false;
    }
    put_pieces(shape, batch);
    for (std::size_t l = 0; l < lanes; ++l) {
        batch.numbers[batch.count + l] = number + l;
    }
    batch.count += lanes;
    return true;
}

void Reader::put_pieces(const Shape& shape, Batch& batch) {
    const Piece* piece = pieces_.data();
    for (const std::size_t what : shape.pieces) {
        std::string_view* const to =
            (what == is_name ? batch.names.data() : batch.texts[what].data()) + batch.count;
        for (std::size_t l = 0; l < lanes; ++l, ++piece) {
            to[l] = text_of({piece->begin, piece->end});
        }
    }
}

void Reader::one(std::string_view line, const char* room_end, std::uint64_t number, Batch& batch) {
    std::string says;
    if (line.size() > line_bytes_) {
        says = "the line is longer than " + std::to_string(line_bytes_) + " bytes";
    } else {
        if (likely_ < shapes_.size() && by_shape(shapes_[likely_], line, batch)) {
            batch.numbers[batch.count++] = number;
            return;
        }
        if (blank(line)) {
            return;
        }
        for (std::size_t s = 0; s < shapes_.size(); ++s) {
            if (s != likely_ && by_shape(shapes_[s], line, batch)) {
                likely_ = s;
                batch.numbers[batch.count++] = number;
                return;
            }
        }
        says = take_apart(line, static_cast<std::size_t>(room_end - line.data()), batch);
    }
    if (!says.empty()) {
        batch.bad[batch.count] = 1;
        batch.troubles.emplace_back(batch.count, std::move(says));
    }
    batch.numbers[batch.count++] = number;
}

void Reader::keep(std::size_t fact, const char* token, std::size_t size, std::uint8_t byte) {
    tokens_[fact].keep(token, size, byte);
    places_[fact] = tokens_[fact].places();
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
            keep(what, token, size, *byte);
        }
    }
    if (!byte) {
        return false;
    }
    if (!batch.bytes[what].empty()) {
        batch.bytes[what][batch.count] = *byte;
    } else if (!batch.texts[what].empty()) {
        batch.texts[what][batch.count] = text_of({token, size});
    }
    return true;
}

void Reader::learn(std::string_view line, const std::vector<Mark>& marks) {
    Shape shape(line, marks, told_);
    pieces_.resize(std::max(pieces_.size(), shape.pieces.size() * lanes));
    if (shapes_.size() < most_shapes) {
        likely_ = shapes_.size();
        shapes_.push_back(std::move(shape));
    } else {
        likely_ = (likely_ + 1) % most_shapes;
        shapes_[likely_] = std::move(shape);
    }
}

}  // namespace toprail::lines
