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
                    const Outcomes& outcomes, std::span<const BadLine> bad) const {
    auto trouble = bad.begin();
    for (std::size_t i = 0; i < count; ++i) {
        if (batch.bad[i] != 0) {
            append_trouble(out, *trouble);
            ++trouble;
        } else {
            append_case(out, batch, i, outcomes);
        }
    }
}

void Writer::append_case(std::string& out, const Batch& batch, std::size_t at,
                         const Outcomes& outcomes) const {
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
        out += words_[d][outcomes.bytes[d * outcomes.stride + at]];
    }
    if (columns) {
        out += ",\n";
        return;
    }
    out += '}';
    if (outcomes.possible != nullptr) {
        append_possible(out, at, outcomes);
    }
    if (outcomes.cautions != nullptr) {
        out += ",\"cautions\":";
        JsonWriter(out).texts((*outcomes.cautions)[at]);
    }
    out += "}\n";
}

void Writer::append_possible(std::string& out, std::size_t at, const Outcomes& outcomes) const {
    std::string possible;
    std::string act_as_if;
    for (std::size_t d = 0; d < duties_.size(); ++d) {
        const std::size_t place = d * outcomes.stride + at;
        if (outcomes.bytes[place] != static_cast<std::uint8_t>(Outcome::undetermined)) {
            continue;
        }
        // Where nobody looked for what can be reached, it may be the strictest of all.
        std::vector<std::string> reachable;
        for (const Outcome each : {Outcome::required, Outcome::required_with_exception,
                                   Outcome::not_required, Outcome::not_addressed}) {
            const unsigned mask = outcomes.possible[place];
            if (mask == 0 || (mask >> static_cast<unsigned>(each) & 1U) != 0) {
                reachable.emplace_back(word(each));
            }
        }
        const std::string key = (possible.empty() ? "\"" : ",\"") + duties_[d] + "\":";
        possible += key;
        JsonWriter(possible).texts(reachable);
        act_as_if += key + "\"" + reachable.front() + "\"";
    }
    if (!possible.empty()) {
        out += ",\"possible\":{" + possible + "},\"act-as-if\":{" + act_as_if + "}";
    }
}

void Writer::append_trouble(std::string& out, const BadLine& bad) const {
    if (format_ == LinesFormat::columns) {
        append_number(out, bad.line);
        out += ',';
        if (!bad.name.empty()) {
            // As in JSON, like the names of other lines.
            std::string quoted;
            JsonWriter(quoted).text(bad.name);
            append_cell(out, std::string_view(quoted).substr(1, quoted.size() - 2));
        }
        out.append(duties_.size() + 1, ',');
        append_cell(out, bad.says);
        out += '\n';
        return;
    }
    JsonWriter json(out);
    json.open_object();
    json.key("line").number(static_cast<long long>(bad.line));
    json.field_if("case", bad.name).field("error", bad.says).close_object();
    out += '\n';
}

}  // namespace toprail::lines
