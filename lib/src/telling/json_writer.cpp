// Entry point: JsonWriter.
#include "telling/json_writer.hpp"

#include <cstdio>

namespace toprail {

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
    for (const char c : value) {
        const auto byte = static_cast<unsigned char>(c);
        if (c == '"' || c == '\\') {
            out_ += '\\';
            out_ += c;
        } else if (byte < 0x20 || byte == 0x7F) {
            char buffer[8];
            std::snprintf(buffer, sizeof buffer, "\\u%04x", static_cast<unsigned>(byte));
            out_ += buffer;
        } else {
            out_ += c;
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
