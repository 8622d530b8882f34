// SARIF 2.1.0 as the OASIS standard of 2020-03-27 asks for it; section numbers are its own. The
// published schema is held against the command's output in tests/schema.
#include "support/shelves.hpp"
#include "toprail/telling.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

using namespace toprail;
using nlohmann::json;

namespace {

json sarif_of(const std::vector<Finding>& findings) {
    std::string out;
    append_sarif(out, findings);
    return json::parse(out);
}

// A pack with an error that clashes with another place, and one without any.
std::vector<Finding> two_files() {
    return load_shelf({{"words.yaml", "vocabulary: words\ntitle: Words\n"},
                       {"my packs/ä.yaml", "rulepack: a.b\ntitle: T\ntitle: \"é\"\n"}})
        .findings;
}

}  // namespace

TEST_CASE("sarif: a log of no findings") {
    const json log = sarif_of({});
    CHECK(log.at("version") == "2.1.0");  // 3.13.2
    REQUIRE(log.at("runs").size() == 1);  // 3.13.4
    const json& run = log["runs"][0];
    CHECK(run.at("tool").at("driver").at("name") == "toprail");  // 3.14.6, 3.19.8
    CHECK(run.at("results") == json::array());                   // 3.14.23: looked, none
    CHECK(run.at("tool").at("driver").at("rules") == json::array());
}

TEST_CASE("sarif: results carry rule, level, message and places") {
    const std::vector<Finding> findings = two_files();
    REQUIRE(findings.size() >= 2);
    const json log = sarif_of(findings);
    const json& run = log["runs"][0];
    CHECK(run.at("columnKind") == "unicodeCodePoints");  // 3.14.17
    const json& rules = run["tool"]["driver"]["rules"];
    REQUIRE(run["results"].size() == findings.size());
    for (std::size_t i = 0; i < findings.size(); ++i) {
        const json& result = run["results"][i];
        CAPTURE(result.dump());
        const json& rule = rules.at(result.at("ruleIndex").get<std::size_t>());  // 3.27.6
        CHECK(rule.at("id") == findings[i].code);                                // 3.49.3
        CHECK(result.at("ruleId") == findings[i].code);                          // 3.27.5
        CHECK(result.at("level") == word(findings[i].severity));                 // 3.27.10
        const std::string message = result.at("message").at("text");             // 3.27.11
        CHECK(message.starts_with(findings[i].message));
        const json& place = result.at("locations").at(0).at("physicalLocation");    // 3.27.12
        CHECK(place.at("artifactLocation").at("uri") == "my%20packs/%C3%A4.yaml");  // 3.4.3
        const json& region = place.at("region");                                    // 3.29.4
        CHECK(region.at("startLine") == findings[i].place.line);                    // 3.30.5
        CHECK(region.at("startColumn") == findings[i].place.column);
        CHECK(region.at("endColumn") == findings[i].place.column + findings[i].place.length);
        CHECK(result.contains("relatedLocations") == !findings[i].others.empty());
    }
}

TEST_CASE("sarif: the other place of a clash is a related location") {
    const std::vector<Finding> findings = two_files();
    const json log = sarif_of(findings);
    const json& results = log["runs"][0]["results"];
    const auto twice = std::find_if(results.begin(), results.end(), [](const json& result) {
        return result["ruleId"] == "duplicate-key";
    });
    REQUIRE(twice != results.end());
    const json& related = twice->at("relatedLocations").at(0);  // 3.27.22
    CHECK(related.at("message").at("text") == "first");
    CHECK(related.at("physicalLocation").at("region").at("startLine") == 2);
}

TEST_CASE("sarif: rules explain themselves, and only those that are used are listed") {
    const json log = sarif_of(two_files());
    for (const json& rule : log["runs"][0]["tool"]["driver"]["rules"]) {
        CAPTURE(rule.dump());
        CHECK_FALSE(rule.at("shortDescription").at("text").get<std::string>().empty());
        CHECK_FALSE(rule.at("fullDescription").at("text").get<std::string>().empty());
        CHECK_FALSE(rule.at("help").at("text").get<std::string>().empty());
        const bool used =
            std::any_of(log["runs"][0]["results"].begin(), log["runs"][0]["results"].end(),
                        [&rule](const json& result) { return result["ruleId"] == rule["id"]; });
        CHECK(used);
    }
}

TEST_CASE("sarif: a file as a whole has no region, and nothing no place") {
    const json log = sarif_of(load_shelf("/no such folder").findings);
    const json& place = log["runs"][0]["results"][0]["locations"][0]["physicalLocation"];
    CHECK(place.at("artifactLocation").at("uri") == "file:///no%20such%20folder");
    CHECK_FALSE(place.contains("region"));
    Finding nowhere;
    nowhere.code = "unknown-fact";
    nowhere.message = "no fact is called \"x\"";
    CHECK(sarif_of({nowhere})["runs"][0]["results"][0]["locations"] == json::array());
}
