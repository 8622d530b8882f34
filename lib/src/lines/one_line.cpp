// Entry points: not_a_case, name_in, facts_in, unescaped.
#include "lines/one_line.hpp"

#include <simdjson.h>

namespace toprail::lines {
namespace {

namespace dom = simdjson::dom;
using simdjson::ondemand::json_type;

// As Reader takes it: true and false are yes and no, null is not known.
std::string text_of(simdjson::ondemand::value value) {
    switch (json_type(value.type())) {
    case json_type::string:
        return std::string(std::string_view(value.get_string()));
    case json_type::boolean:
        return bool(value.get_bool()) ? "yes" : "no";
    case json_type::number: {
        const std::string_view token = value.raw_json_token();
        return std::string(token.substr(0, token.find_last_not_of(" \t\r\n") + 1));
    }
    default:
        return "not known";
    }
}

void set_fact(const std::string& name, simdjson::ondemand::value value, Facts& facts) {
    if (value.type() != json_type::object) {
        facts.set(name, text_of(value));
        return;
    }
    std::string text;
    std::string from;
    for (auto field : value.get_object()) {
        const bool is_value = std::string_view(field.unescaped_key()) == "value";
        (is_value ? text : from) = text_of(field.value());
    }
    facts.set(name, text, from);
}

}  // namespace

std::string not_a_case(std::string_view line, std::string_view trouble) {
    const std::string wanted =
        R"(; a line holds one case, such as {"case": "lift-2", "facts": {"guardrail": "complete"}})";
    if (line.starts_with(byte_order_mark)) {
        return "a byte order mark stands in the line; it is taken only where the file begins";
    }
    const std::size_t first = line.find_first_not_of(" \t");
    switch (first == std::string_view::npos ? ' ' : line[first]) {
    case '{':
        return "the line is not JSON of this shape: " + std::string(trouble);
    case '[':
        return "the line is a list" + wanted;
    case '"':
        return "the line is a text" + wanted;
    default:
        return "the line does not begin with {" + wanted;
    }
}

std::string name_in(std::string_view line) {
    // As far as the line can be read: what makes it bad may come later.
    std::string name;
    try {
        simdjson::ondemand::parser parser;
        const simdjson::padded_string padded(line);
        simdjson::ondemand::document document = parser.iterate(padded);
        for (auto field : document.get_object()) {
            if (std::string_view(field.unescaped_key()) == "case") {
                name = std::string_view(field.value().get_string());
                break;
            }
        }
    } catch (const simdjson::simdjson_error&) {
        return name;
    }
    return name;
}

Facts facts_in(std::string_view line) {
    Facts facts;
    simdjson::ondemand::parser parser;
    const simdjson::padded_string padded(line);
    simdjson::ondemand::document document = parser.iterate(padded);
    for (auto field : document.get_object()) {
        if (std::string_view(field.unescaped_key()) != "facts") {
            continue;
        }
        for (auto fact : field.value().get_object()) {
            const std::string name(std::string_view(fact.unescaped_key()));
            set_fact(name, fact.value(), facts);
        }
        break;
    }
    return facts;
}

std::string unescaped(std::string_view name) {
    dom::parser parser;
    dom::element element;
    if (parser.parse("\"" + std::string(name) + "\"").get(element) != simdjson::SUCCESS) {
        return std::string(name);
    }
    return std::string(std::string_view(element.get_string()));
}

}  // namespace toprail::lines
