// Entry point: Writer.
#include "lines/writer.hpp"

#include "telling/json_writer.hpp"

#include <algorithm>
#include <charconv>
#include <cstring>

namespace toprail::lines {
namespace {

// Most texts are short: so many bytes are copied at once, and the spare ones written over.
constexpr std::size_t spare = 32;

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

}  // namespace

Writer::Writer(const BulkPlan& plan, LinesFormat format)
    : format_(format),
      duties_(plan.duties()),
      words_(plan.duties().size()),
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

void Writer::append(Written& out, const Batch& batch, std::size_t count,
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

void Writer::append_case(Written& out, const Batch& batch, std::size_t at,
                         const std::uint8_t* outcomes, std::size_t stride) const {
    const std::string_view name = batch.names[at];
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
            // It stands in its line, with room behind it.
            pen.put(name.data(), name.size());
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

void Writer::append_trouble(Written& out, const Batch& batch, std::size_t at,
                            const std::string& says) const {
    if (format_ == LinesFormat::columns) {
        Pen pen(out, most_ + duties_.size() + 2 * says.size());
        pen.put_number(batch.numbers[at]);
        pen.put_text(std::string(duties_.size() + 2, ','));
        pen.put_cell(says);
        pen.put("\n");
        return;
    }
    std::string text;
    JsonWriter json(text);
    json.open_object();
    json.key("line").number(static_cast<long long>(batch.numbers[at]));
    json.field("error", says).close_object();
    text += '\n';
    Pen(out, text.size()).put_text(text);
}

}  // namespace toprail::lines
