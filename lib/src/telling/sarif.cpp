// Entry point: append_sarif. SARIF 2.1.0 (OASIS standard, 2020-03-27), the subset that a linter
// needs.
#include "findings/text.hpp"
#include "telling/json_writer.hpp"
#include "toprail/about.hpp"
#include "toprail/telling.hpp"

#include <algorithm>

namespace toprail {
namespace {

constexpr std::string_view schema = "https://json.schemastore.org/sarif-2.1.0.json";

bool plain_in_uri(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
           std::string_view("-._~/").find(c) != std::string_view::npos;
}

// A path as a URI reference (RFC 3986): everything else is percent-encoded, so no colon can be
// taken for a scheme.
std::string uri_of(std::string_view path) {
    static constexpr std::string_view hex = "0123456789ABCDEF";
    std::string uri = path.starts_with('/') ? "file://" : "";
    for (const char c : path) {
        if (plain_in_uri(c)) {
            uri += c;
        } else {
            const auto byte = static_cast<unsigned char>(c);
            uri += {'%', hex[byte >> 4U], hex[byte & 0xFU]};
        }
    }
    return uri;
}

void write_text(JsonWriter& json, std::string_view key, std::string_view text) {
    json.key(key).open_object().field("text", text).close_object();
}

void write_physical(JsonWriter& json, const Place& place) {
    json.key("physicalLocation").open_object();
    json.key("artifactLocation").open_object().field("uri", uri_of(place.file)).close_object();
    if (place.line != 0) {
        json.key("region").open_object();
        json.key("startLine").number(place.line);
        json.key("startColumn").number(std::max<std::uint32_t>(place.column, 1));
        // The end column stands one past the last character.
        json.key("endColumn")
            .number(std::max<std::uint32_t>(place.column, 1) +
                    std::max<std::uint32_t>(place.length, 1));
        json.close_object();
    }
    json.close_object();
}

void write_rule(JsonWriter& json, const FindingKind& kind, const FindingAbout& about) {
    json.open_object().field("id", kind.code);
    write_text(json, "shortDescription", kind.meaning);
    write_text(json, "fullDescription", about.explains);
    write_text(json, "help", render_about(kind.code));
    json.key("defaultConfiguration").open_object().field("level", word(kind.severity));
    json.close_object().close_object();
}

void write_result(JsonWriter& json, const Finding& finding, std::size_t rule) {
    json.open_object().field("ruleId", finding.code);
    json.key("ruleIndex").number(static_cast<long long>(rule));
    json.field("level", word(finding.severity));
    const std::string help = finding.help.empty() ? "" : " (help: " + finding.help + ")";
    write_text(json, "message", shown_on_one_line(finding.message + help));
    json.key("locations").open_array();
    if (!finding.place.file.empty()) {
        json.open_object();
        write_physical(json, finding.place);
        json.close_object();
    }
    json.close_array();
    if (!finding.others.empty()) {
        json.key("relatedLocations").open_array();
        long long id = 0;
        for (const OtherPlace& other : finding.others) {
            json.open_object().key("id").number(++id);
            write_text(json, "message", shown_on_one_line(other.says));
            write_physical(json, other.place);
            json.close_object();
        }
        json.close_array();
    }
    json.close_object();
}

}  // namespace

void append_sarif(std::string& out, const std::vector<Finding>& findings) {
    const auto& kinds = finding_kinds();
    const auto& abouts = finding_explanations();
    std::vector<std::size_t> rules;  // positions in kinds
    const auto found = [&findings](std::string_view code) {
        return std::any_of(findings.begin(), findings.end(),
                           [code](const Finding& f) { return f.code == code; });
    };
    for (std::size_t i = 0; i < kinds.size(); ++i) {
        if (found(kinds[i].code)) {
            rules.push_back(i);
        }
    }
    JsonWriter json(out);
    json.open_object().field("$schema", schema).field("version", "2.1.0");
    json.key("runs").open_array().open_object();
    json.key("tool").open_object().key("driver").open_object().field("name", "toprail");
    json.key("rules").open_array();
    for (const std::size_t rule : rules) {
        write_rule(json, kinds[rule], abouts[rule]);
    }
    json.close_array().close_object().close_object();
    json.field("columnKind", "unicodeCodePoints");
    json.key("results").open_array();
    for (const Finding& finding : findings) {
        const auto rule = std::find_if(rules.begin(), rules.end(), [&](std::size_t i) {
            return kinds[i].code == finding.code;
        });
        write_result(json, finding, static_cast<std::size_t>(rule - rules.begin()));
    }
    json.close_array().close_object().close_array().close_object();
}

}  // namespace toprail
