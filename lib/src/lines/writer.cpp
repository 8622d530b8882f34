// Entry point: Writer.
#include "lines/writer.hpp"

#include "findings/text.hpp"
#include "telling/json_writer.hpp"

#include <algorithm>
#include <charconv>
#include <cstring>

namespace toprail::lines {
namespace {

// Most texts are short: so many bytes are copied at once, and the spare ones written over.
constexpr std::size_t spare = 32;

constexpr std::string_view line_end = "}\n";

// A name as it stands in its line, with characters that a screen would not show escaped. They lie
// past ASCII, or at its end: most names have none and stay as they are.
std::string_view shown_name(std::string_view in_line, std::string& room) {
    if (std::all_of(in_line.begin(), in_line.end(),
                    [](char c) { return static_cast<unsigned char>(c) < 0x7F; })) {
        return in_line;
    }
    room.clear();
    for (std::size_t at = 0; at < in_line.size();) {
        const std::size_t start = at;
        const char32_t c = next_code_point(in_line, at);
        const std::string_view raw = in_line.substr(start, at - start);
        if (hides_text(c)) {
            std::string escaped;
            JsonWriter(escaped).text(raw);
            room += escaped.substr(1, escaped.size() - 2);
        } else {
            room += raw;
        }
    }
    return room;
}

/// Writes on at the end of a text. Beyond what is put in, there is room for `spare` bytes more.
class Pen {
  public:
    Pen(Written& out, std::size_t most) : out_(out) {
        if (out.room.size() < out.size + most + spare) {
            out.room.resize(2 * (out.size + most + spare));
        }
        at_ = out.room.data() + out.size;
    }
    ~Pen() { out_.size = static_cast<std::size_t>(at_ - out_.room.data()); }
    Pen(const Pen&) = delete;
    Pen& operator=(const Pen&) = delete;

    /// From there on `spare` bytes can be read, whatever the size.
    void put(const char* from, std::size_t size) {
        std::memcpy(at_, from, spare);
        if (size > spare) {
            std::memcpy(at_ + spare, from + spare, size - spare);
        }
        at_ += size;
    }
    template <std::size_t size>
    void put(const char (&literal)[size]) {
        std::memcpy(at_, literal, size - 1);
        at_ += size - 1;
    }
    void put_text(std::string_view text) { at_ += text.copy(at_, text.size()); }
    void put_number(std::uint64_t number) { at_ = std::to_chars(at_, at_ + 20, number).ptr; }

    /// A cell of columns: in quotes, with quotes in it doubled.
    void put_cell(std::string_view text) {
        *at_++ = '"';
        for (const char c : text) {
            *at_++ = c;
            if (c == '"') {
                *at_++ = c;
            }
        }
        *at_++ = '"';
    }

  private:
    Written& out_;
    char* at_ = nullptr;
};

std::string word_of(std::size_t outcome) {
    return outcome == bulk_no_answer ? "no answer"
                                     : std::string(word(static_cast<Outcome>(outcome)));
}

// Those of the set, by their bits; the strictest first.
std::vector<std::string> words_of(std::size_t reachable) {
    std::vector<std::string> words;
    for (const Outcome each : {Outcome::required, Outcome::required_with_exception,
                               Outcome::not_required, Outcome::not_addressed}) {
        if ((reachable >> static_cast<unsigned>(each) & 1U) != 0) {
            words.emplace_back(word(each));
        }
    }
    return words;
}

}  // namespace

Writer::Writer(const BulkPlan& plan, LinesFormat format)
    : format_(format),
      duties_(plan.duties()),
      words_(plan.duties().size()),
      open_(plan.duties().size()),
      // A number, and what stands round it and the name.
      most_(64) {
    for (std::size_t d = 0; d < duties_.size(); ++d) {
        std::size_t most = 0;
        for (std::size_t outcome = 0; outcome < words_[d].size(); ++outcome) {
            Word& word = words_[d][outcome];
            word.text = format == LinesFormat::columns
                            ? "," + word_of(outcome)
                            : std::string(d == 0 ? "\"" : ",\"") + duties_[d] + "\":\"" +
                                  word_of(outcome) + "\"";
            word.size = word.text.size();
            word.text.append(spare, ' ');
            most = std::max(most, word.size);
        }
        most_ += most;
        for (std::size_t set = 0; set < open_[d].size(); ++set) {
            // Where nobody looked for what can be reached, it may be the strictest of all.
            const std::vector<std::string> words = words_of(set == 0 ? open_[d].size() - 1 : set);
            const std::string key = ",\"" + duties_[d] + "\":";
            Open& open = open_[d][set];
            open.possible = key;
            JsonWriter(open.possible).texts(words);
            open.act_as_if = key + "\"" + words.front() + "\"";
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

void Writer::append(Written& out, const Batch& batch, std::size_t count, const Outcomes& outcomes,
                    std::span<const BadLine> bad) const {
    const bool more = outcomes.possible != nullptr || outcomes.cautions != nullptr;
    auto trouble = bad.begin();
    for (std::size_t i = 0; i < count; ++i) {
        if (batch.bad[i] != 0) {
            append_trouble(out, *trouble);
            ++trouble;
            continue;
        }
        append_case(out, batch, i, outcomes.bytes + i, outcomes.stride);
        if (more) {
            append_more(out, i, outcomes);
        }
    }
}

void Writer::append_case(Written& out, const Batch& batch, std::size_t at,
                         const std::uint8_t* outcomes, std::size_t stride) const {
    std::string room;
    const std::string_view in_line = batch.names[at];
    const std::string_view name = shown_name(in_line, room);
    Pen pen(out, most_ + 2 * name.size());
    if (format_ == LinesFormat::columns) {
        pen.put_number(batch.numbers[at]);
        pen.put(",");
        if (!name.empty()) {
            pen.put_cell(name);
        }
    } else {
        pen.put("{\"line\":");
        pen.put_number(batch.numbers[at]);
        if (name.data() != nullptr) {
            pen.put(",\"case\":\"");
            if (name.data() == in_line.data()) {
                // It stands in its line, with room behind it.
                pen.put(name.data(), name.size());
            } else {
                pen.put_text(name);
            }
            pen.put("\"");
        }
        pen.put(",\"outcomes\":{");
    }
    for (std::size_t d = 0; d < words_.size(); ++d) {
        const Word& word = words_[d][outcomes[d * stride]];
        pen.put(word.text.data(), word.size);
    }
    if (format_ == LinesFormat::columns) {
        pen.put(",\n");
    } else {
        pen.put("}}\n");
    }
}

// Into the line that was written last, where there is more to tell.
void Writer::append_more(Written& out, std::size_t at, const Outcomes& outcomes) const {
    std::string text = outcomes.possible == nullptr ? "" : possible_of(at, outcomes);
    if (outcomes.cautions != nullptr) {
        text += ",\"cautions\":";
        JsonWriter(text).texts((*outcomes.cautions)[at]);
    }
    if (!text.empty()) {
        text += line_end;
        out.size -= line_end.size();
        Pen(out, text.size()).put_text(text);
    }
}

std::string Writer::possible_of(std::size_t at, const Outcomes& outcomes) const {
    std::string possible;
    std::string act_as_if;
    for (std::size_t d = 0; d < open_.size(); ++d) {
        const std::size_t place = d * outcomes.stride + at;
        if (outcomes.bytes[place] == static_cast<std::uint8_t>(Outcome::undetermined)) {
            const Open& open = open_[d][outcomes.possible[place]];
            possible += open.possible;
            act_as_if += open.act_as_if;
        }
    }
    if (possible.empty()) {
        return {};
    }
    // Without the commas before the first ones.
    return ",\"possible\":{" + possible.substr(1) + "},\"act-as-if\":{" + act_as_if.substr(1) + "}";
}

void Writer::append_trouble(Written& out, const BadLine& bad) const {
    if (format_ == LinesFormat::columns) {
        // As in JSON, like the names of other lines.
        std::string name;
        if (!bad.name.empty()) {
            JsonWriter(name).text(bad.name);
            name = name.substr(1, name.size() - 2);
        }
        Pen pen(out, most_ + duties_.size() + 2 * (name.size() + bad.says.size()));
        pen.put_number(bad.line);
        pen.put(",");
        if (!name.empty()) {
            pen.put_cell(name);
        }
        pen.put_text(std::string(duties_.size() + 1, ','));
        pen.put_cell(bad.says);
        pen.put("\n");
        return;
    }
    std::string text;
    JsonWriter json(text);
    json.open_object();
    json.key("line").number(static_cast<long long>(bad.line));
    json.field_if("case", bad.name).field("error", bad.says).close_object();
    text += '\n';
    Pen(out, text.size()).put_text(text);
}

}  // namespace toprail::lines
