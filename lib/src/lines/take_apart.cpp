// Entry point: Reader::take_apart, where a line is laid out like none before.
#include "findings/collector.hpp"
#include "lines/json.hpp"
#include "lines/one_line.hpp"

#include <algorithm>
#include <utility>

namespace toprail::lines {
namespace {

using simdjson::ondemand::json_type;

/// Why a line is bad.
struct Unusable {
    std::string says;
};

std::string_view trimmed(std::string_view token) {
    return token.substr(0, token.find_last_not_of(" \t\r\n") + 1);
}

std::string_view unquoted(std::string_view token) {
    return token.size() >= 2 && token.front() == '"' ? token.substr(1, token.size() - 2) : token;
}

// A value that is no list and no map, with its token in the line.
struct Scalar {
    std::string_view token;
    std::string_view text;  // its escapes resolved; valid until the line has been read
    bool plain = true;      // the token says by itself what the text is
    bool null = false;
};

Scalar scalar_of(simdjson::ondemand::value value, std::string_view what) {
    Scalar scalar;
    const json_type type = value.type();
    switch (type) {
    case json_type::string:
        scalar.token = trimmed(value.raw_json_token());
        scalar.text = value.get_string();
        scalar.plain = scalar.text == unquoted(scalar.token);
        return scalar;
    case json_type::number:
        scalar.token = trimmed(value.raw_json_token());
        scalar.text = scalar.token;
        static_cast<void>(double(value.get_double()));
        return scalar;
    case json_type::boolean:
        scalar.token = trimmed(value.raw_json_token());
        scalar.text = bool(value.get_bool()) ? "yes" : "no";
        return scalar;
    case json_type::null:
        scalar.token = trimmed(value.raw_json_token());
        scalar.text = "not known";
        scalar.null = value.is_null();
        return scalar;
    default:
        throw Unusable{std::string(what) + " is a list or a map; it takes a text, a number, true, "
                                           "false or null"};
    }
}

class LineParts {
  public:
    struct Given {
        std::string fact;
        Scalar value;
    };

    void read(simdjson::ondemand::document& line) {
        for (auto field : line.get_object()) {
            const std::string key(std::string_view(field.unescaped_key()));
            once(key);
            if (key == "case" || key == "says") {
                const Scalar text = scalar_of(field.value(), "\"" + key + "\"");
                if (text.token.empty() || text.token.front() != '"') {
                    throw Unusable{"\"" + key + "\" takes a text"};
                }
                mark(text, key == "case" ? is_name : is_skipped);
                name = key == "case" ? unquoted(text.token) : name;
            } else if (key == "facts") {
                read_facts(field.value());
            } else {
                throw Unusable{"a line has no key \"" + key + "\"; it takes case, says and facts"};
            }
        }
        const char* more = nullptr;
        if (line.current_location().get(more) == simdjson::SUCCESS) {
            throw Unusable{"something follows the case; a line holds one"};
        }
        if (std::find(keys_.begin(), keys_.end(), "facts") == keys_.end()) {
            throw Unusable{"the line gives no \"facts\""};
        }
    }

    std::string_view name;
    std::deque<Given> facts;
    /// Positions in `facts` are told by their order; others are is_name and is_skipped.
    std::vector<Mark> marks;
    bool plain = true;  // a layout to be learnt

  private:
    void once(const std::string& key) {
        if (std::find(keys_.begin(), keys_.end(), key) != keys_.end()) {
            throw Unusable{"the line gives \"" + key + "\" twice"};
        }
        keys_.push_back(key);
    }

    void mark(const Scalar& scalar, std::size_t what) {
        plain = plain && scalar.plain;
        marks.push_back({scalar.token, what});
    }

    void read_facts(simdjson::ondemand::value value) {
        for (auto field : value.get_object()) {
            facts.push_back({std::string(std::string_view(field.unescaped_key())), {}});
            Given& given = facts.back();
            simdjson::ondemand::value inner = field.value();
            if (inner.type() == json_type::object) {
                read_sourced(inner, given);
            } else {
                given.value = scalar_of(inner, "\"" + given.fact + "\"");
                mark(given.value, facts.size() - 1);
            }
        }
    }

    // {"value": ..., "from": ...}
    void read_sourced(simdjson::ondemand::value& value, Given& given) {
        bool has_value = false;
        bool has_source = false;
        for (auto field : value.get_object()) {
            const std::string key(std::string_view(field.unescaped_key()));
            bool& has = key == "value" ? has_value : has_source;
            if ((key != "value" && key != "from") || has) {
                throw Unusable{"\"" + given.fact + "\" takes value and from, each once"};
            }
            has = true;
            const Scalar scalar = scalar_of(field.value(), "\"" + given.fact + "\"");
            if (key == "value") {
                given.value = scalar;
            }
            mark(scalar, key == "value" ? facts.size() - 1 : is_skipped);
        }
        if (!has_value) {
            throw Unusable{"\"" + given.fact + "\" is given without a value"};
        }
    }

    std::vector<std::string> keys_;
};

}  // namespace

// More than simdjson needs, so that few lines at the end of a block have to be read by themselves.
std::size_t Reader::padding() {
    return std::max<std::size_t>(simdjson::SIMDJSON_PADDING, 8192);
}

std::string Reader::take_apart(std::string_view line, std::size_t capacity, Batch& batch) {
    const std::size_t at = batch.count;
    // What a layout that did not fit has written already.
    for (std::size_t f = 0; f < batch.bytes.size(); ++f) {
        if (!batch.bytes[f].empty()) {
            batch.bytes[f][at] = bulk_not_known;
        } else if (!batch.texts[f].empty()) {
            batch.texts[f][at] = "not known";
        }
    }
    batch.names[at] = {};
    try {
        LineParts parts;
        simdjson::ondemand::document document =
            json_->parser.iterate(line.data(), line.size(), capacity);
        parts.read(document);
        batch.names[at] = parts.name;
        ++turn_;
        std::vector<std::size_t> facts;
        for (const LineParts::Given& given : parts.facts) {
            const auto found = plan_.data().handles.find(given.fact);
            if (found == plan_.data().handles.end()) {
                return unknown_fact(given.fact);
            }
            if (std::exchange(seen_[found->second], turn_) == turn_) {
                return "the line gives " + given.fact + " twice";
            }
            facts.push_back(found->second);
            std::string says = put_text(found->second, given.value.text, batch);
            if (!says.empty()) {
                return says;
            }
            if (given.value.plain) {
                keep(found->second, given.value.token.data(), given.value.token.size(),
                     *texts_[found->second].read(given.value.text).byte);
            }
        }
        if (parts.plain) {
            for (Mark& mark : parts.marks) {
                mark.what = mark.what < facts.size() ? facts[mark.what] : mark.what;
            }
            learn(line, parts.marks);
        }
    } catch (const Unusable& trouble) {
        return trouble.says;
    } catch (const simdjson::simdjson_error& trouble) {
        return not_a_case(line, trouble.what());
    }
    return {};
}

std::string Reader::put_text(std::size_t fact, std::string_view text, Batch& batch) {
    const Texts::Read& read = texts_[fact].read(text);
    if (!read.byte) {
        return read.says;
    }
    if (!batch.bytes[fact].empty()) {
        batch.bytes[fact][batch.count] = *read.byte;
    } else if (!batch.texts[fact].empty()) {
        batch.texts[fact][batch.count] = batch.own.emplace_back(text);
    }
    return {};
}

std::string Reader::unknown_fact(const std::string& name) const {
    std::vector<std::string> known;
    for (const BulkFact& fact : plan_.facts()) {
        known.push_back(fact.name);
    }
    const std::string near = nearest(name, known);
    return "no fact is called \"" + name + "\"" +
           (near.empty() ? "" : "; did you mean " + near + "?");
}

}  // namespace toprail::lines
