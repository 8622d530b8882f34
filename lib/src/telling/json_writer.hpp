// Appends JSON to a string. Deciding must not allocate per value, so this writes text rather than
// building a document; it checks nothing but closes what it opens.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace toprail {

class JsonWriter {
  public:
    explicit JsonWriter(std::string& out) : out_(out) {}

    JsonWriter& open_object() { return open('{'); }
    JsonWriter& close_object() { return close('}'); }
    JsonWriter& open_array() { return open('['); }
    JsonWriter& close_array() { return close(']'); }
    JsonWriter& key(std::string_view name);
    JsonWriter& text(std::string_view value);
    JsonWriter& boolean(bool value);
    JsonWriter& number(long long value);
    JsonWriter& texts(const std::vector<std::string>& values);
    /// key and text; nothing at all when the text is empty.
    JsonWriter& field_if(std::string_view name, std::string_view value);
    JsonWriter& field(std::string_view name, std::string_view value) {
        return key(name).text(value);
    }
    JsonWriter& field(std::string_view name, const std::vector<std::string>& values) {
        return key(name).texts(values);
    }

  private:
    JsonWriter& open(char bracket);
    JsonWriter& close(char bracket);
    void separate();
    void quote(std::string_view value);

    std::string& out_;
    bool comma_ = false;
};

}  // namespace toprail
