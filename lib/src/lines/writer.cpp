// Entry point: Writer.
#include "lines/writer.hpp"

#include "telling/json_writer.hpp"

#include <charconv>

namespace toprail::lines {
namespace {

void append_number(std::string& out, std::uint64_t number) {
    char digits[20];
    const auto end = std::to_chars(digits, digits + sizeof digits, number).ptr;
    out.append(digits, end);
}

// A cell of columns: in quotes, with quotes in it doubled.
void append_cell(std::string& out, std::string_view text) {
    out += '"';
    for (const char c : text) {
        out += c;
        if (c == '"') {
            out += c;
        }
    }
    out += '"';
}

std::string word_of(std::size_t outcome) {
    return outcome == bulk_no_answer ? "no answer"
                                     : std::string(word(static_cast<Outcome>(outcome)));
}

}  // namespace

Writer::Writer(const BulkPlan& plan, LinesFormat format)
    : format_(format),
      duties_(plan.duties()),
      words_(plan.duties().size()) {
    for (std::size_t d = 0; d < duties_.size(); ++d) {
        for (std::size_t outcome = 0; outcome < words_[d].size(); ++outcome) {
            words_[d][outcome] = format == LinesFormat::columns
                                     ? "," + word_of(outcome)
                                     : std::string(d == 0 ? "\"" : ",\"") + duties_[d] + "\":\"" +
                                           word_of(outcome) + "\"";
        }
    }
}

std::string Writer::heading() const {
    if (format_ != LinesFormat::columns) {
        return {};
    }
    std::string out = "line,case";
    for (const std::string& duty : duties_) {
        out += "," + duty;
    }
    return out + ",error\n";
}

void Writer::append(std::string& out, const Batch& batch, std::size_t count,
                    const std::uint8_t* outcomes, std::size_t stride) const {
    auto trouble = batch.troubles.begin();
    for (std::size_t i = 0; i < count; ++i) {
        if (batch.bad[i] != 0) {
            append_trouble(out, batch, i, trouble->second);
            ++trouble;
        } else {
            append_case(out, batch, i, outcomes + i, stride);
        }
    }
}

void Writer::append_case(std::string& out, const Batch& batch, std::size_t at,
                         const std::uint8_t* outcomes, std::size_t stride) const {
    const bool columns = format_ == LinesFormat::columns;
    out += columns ? "" : "{\"line\":";
    append_number(out, batch.numbers[at]);
    const std::string_view name = batch.names[at];
    if (columns) {
        out += ',';
        if (!name.empty()) {
            append_cell(out, name);
        }
    } else {
        if (name.data() != nullptr) {
            out += ",\"case\":\"";
            out += name;
            out += '"';
        }
        out += ",\"outcomes\":{";
    }
    for (std::size_t d = 0; d < words_.size(); ++d) {
        out += words_[d][outcomes[d * stride]];
    }
    out += columns ? ",\n" : "}}\n";
}

void Writer::append_trouble(std::string& out, const Batch& batch, std::size_t at,
                            const std::string& says) const {
    if (format_ == LinesFormat::columns) {
        append_number(out, batch.numbers[at]);
        out.append(duties_.size() + 2, ',');
        append_cell(out, says);
        out += '\n';
        return;
    }
    JsonWriter json(out);
    json.open_object();
    json.key("line").number(static_cast<long long>(batch.numbers[at]));
    json.field("error", says).close_object();
    out += '\n';
}

}  // namespace toprail::lines
