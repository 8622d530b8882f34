// Entry point: JsonWriter.
#include "telling/json_writer.hpp"

#include "findings/text.hpp"

#include <cstdio>

namespace toprail {

namespace {

void append_unit(std::string& out, unsigned unit) {
    char buffer[8];
    std::snprintf(buffer, sizeof buffer, "\\u%04x", unit);
    out += buffer;
}

// As RFC 8259 escapes a character; those beyond the first plane as two surrogates.
void append_escaped(std::string& out, char32_t c) {
    constexpr char32_t second_plane = 0x10000;
    if (c < second_plane) {
        append_unit(out, static_cast<unsigned>(c));
        return;
    }
    const auto rest = static_cast<unsigned>(c - second_plane);
    append_unit(out, 0xD800U + (rest >> 10U));
    append_unit(out, 0xDC00U + (rest & 0x3FFU));
}

}  // namespace

void JsonWriter::separate() {
    if (comma_) {
        out_ += ',';
    }
    comma_ = true;
}

JsonWriter& JsonWriter::open(char bracket) {
    separate();
    out_ += bracket;
    comma_ = false;
    return *this;
}

JsonWriter& JsonWriter::close(char bracket) {
    out_ += bracket;
    comma_ = true;
    return *this;
}

void JsonWriter::quote(std::string_view value) {
    out_ += '"';
    // What a screen would not show is escaped: people read JSON too. A host may hand in bytes that
    // are not UTF-8, which JSON cannot hold.
    constexpr char32_t replacement = 0xFFFD;
    for (std::size_t at = 0; at < value.size();) {
        const std::size_t start = at;
        const auto c = next_valid_code_point(value, at);
        if (!c) {
            append_escaped(out_, replacement);
        } else if (*c == '"' || *c == '\\') {
            out_ += '\\';
            out_ += static_cast<char>(*c);
        } else if (*c < 0x20 || hides_text(*c)) {
            append_escaped(out_, *c);
        } else {
            out_ += value.substr(start, at - start);
        }
    }
    out_ += '"';
}

JsonWriter& JsonWriter::key(std::string_view name) {
    separate();
    quote(name);
    out_ += ':';
    comma_ = false;
    return *this;
}

JsonWriter& JsonWriter::text(std::string_view value) {
    separate();
    quote(value);
    return *this;
}

JsonWriter& JsonWriter::boolean(bool value) {
    separate();
    out_ += value ? "true" : "false";
    return *this;
}

JsonWriter& JsonWriter::number(long long value) {
    separate();
    out_ += std::to_string(value);
    return *this;
}

JsonWriter& JsonWriter::texts(const std::vector<std::string>& values) {
    open_array();
    for (const std::string& value : values) {
        text(value);
    }
    return close_array();
}

JsonWriter& JsonWriter::field_if(std::string_view name, std::string_view value) {
    return value.empty() ? *this : key(name).text(value);
}

}  // namespace toprail
