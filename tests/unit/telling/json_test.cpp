// The JSON of a decision parses and has the keys that the README describes.
#include "support/small_shelf.hpp"
#include "toprail/telling.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

using namespace toprail;
using namespace toprail::test;

namespace {

// The keys of an object in the order in which they stand.
using Json = nlohmann::ordered_json;

std::vector<std::string> keys(const Json& object) {
    std::vector<std::string> all;
    for (const auto& [key, value] : object.items()) {
        all.push_back(key);
    }
    return all;
}

Json json_of(const Decision& decision, const std::string& name = "case-1") {
    std::string text;
    append_json(text, decision, name);
    return Json::parse(text);
}

using Keys = std::vector<std::string>;

Shelf shelf_with_everything() {
    return shelf_of(
        {small_vocabulary(),
         small_pack("provisions:\n" + requires_tie_off("asks", "mechanism is boom") +
                    provision("bar", "choice: means, bars: [arrest]", "roofed") +
                    provision("cap", "limit: reach, at-most: 6 ft", "means is restraint"))});
}

}  // namespace

TEST_CASE("json: the keys of a decision, in a fixed order") {
    const Json json = json_of(decided(shelf_with_everything(), {{"mechanism", "boom"},
                                                                {"height", "2 ft"},
                                                                {"width", "3 ft"},
                                                                {"means", "restraint"},
                                                                {"roofed", "yes"}}));
    CHECK(keys(json) == Keys{"case", "on", "duties", "choices", "limits", "fit", "quantities",
                             "governing", "trail", "cautions", "packs", "facts"});
    CHECK(json["case"] == "case-1");
    CHECK(json["on"] == "2024-06-01");
    CHECK(keys(json["duties"]["tie-off"]) ==
          Keys{"outcome", "possible", "settled-by", "provisions"});
    CHECK(json["duties"]["tie-off"]["outcome"] == "required");
    CHECK(json["duties"]["tie-off"]["provisions"][0] == "test.pack/asks");
    CHECK(json["choices"]["means"]["admissible"] == Json::array({"restraint"}));
    CHECK(json["choices"]["means"]["barred"]["arrest"][0] == "test.pack/bar");
    CHECK(json["choices"]["means"]["empty"] == "no");
    const Json& bound = json["limits"]["reach"]["bounds"][0];
    CHECK(keys(bound) == Keys{"at-most", "provision", "status", "strictest"});
    CHECK(bound["at-most"] == "6 ft");
    CHECK(bound["strictest"] == true);
    CHECK(json["limits"]["reach"]["value"] == "5 ft");
    CHECK(keys(json["fit"][0]) == Keys{"about", "name", "verdict", "reason", "provisions"});
    CHECK(json["quantities"][0]["quantity"] == "reach");
    CHECK(json["quantities"][0]["formula"] == "height + width");
    CHECK(json["quantities"][0]["filled-in"] == "2 ft + 3 ft");
    const Json& step = json["trail"][0];
    CHECK(keys(step) ==
          Keys{"provision", "status", "effect", "cite", "standing", "source", "gist", "because"});
    CHECK(step["because"][0]["truth"] == "true");
    CHECK(json["packs"][0]["authority"] == "test.pack");
    CHECK(json["packs"][0]["picked-by"] == "work-date");
    CHECK(json["facts"]["height"]["value"] == "2 ft");
    CHECK(json["governing"][0]["governs"] == "yes");
}

TEST_CASE("json: an undetermined duty says what would settle it") {
    const Json json = json_of(decided(shelf_with_everything(), GivenFacts{}));
    const Json& duty = json["duties"]["tie-off"];
    CHECK(duty["outcome"] == "undetermined");
    CHECK(duty["possible"] == Json::array({"required", "not addressed"}));
    CHECK(duty["settled-by"] == Json::array({"mechanism"}));
    CHECK(duty["ask-next"] == "mechanism");
    CHECK(duty["act-as-if"] == "required");
    CHECK(duty["waits-for-plan"] == false);
    CHECK(duty["exact"] == true);
    CHECK(json["choices"]["means"]["open"]["arrest"][0] == "test.pack/bar");
    CHECK(json["limits"]["reach"]["bounds"][0]["if"] == "means is restraint");
}

TEST_CASE("json: every text survives as it was given") {
    Facts facts;
    facts.set("mechanism", "boom", "\"quoted\" \\ back\nslash \t n\xC3\xA3o \x01");
    const std::string name = "case \"1\"\n";
    const Json json = json_of(decided(shelf_with_everything(), facts), name);
    CHECK(json["case"] == name);
    CHECK(json["facts"]["mechanism"]["from"] == "\"quoted\" \\ back\nslash \t n\xC3\xA3o \x01");
}

TEST_CASE("json: equal cases give equal bytes") {
    const Shelf one = shelf_with_everything();
    const Shelf other = shelf_with_everything();
    std::string first;
    std::string second;
    append_json(first, decided(one, {{"height", "2 ft"}, {"roofed", "no"}}), "a");
    append_json(second, decided(other, {{"roofed", "no"}, {"height", "2 ft"}}), "a");
    CHECK(first == second);
}

TEST_CASE("json: findings are a list with places") {
    const LoadedShelf loaded = load_shelf(
        {small_vocabulary(), small_pack("provisions:\n" + requires_tie_off("a", "tall"))});
    std::string text;
    append_json(text, loaded.findings);
    const Json json = Json::parse(text);
    REQUIRE(json.size() == 1);
    CHECK(keys(json[0])[0] == "code");
    CHECK(json[0]["code"] == "unknown-name");
    CHECK(json[0]["severity"] == "error");
    CHECK(json[0]["file"] == "test.pack.yaml");
    CHECK(json[0]["line"] == 8);
    CHECK(json[0]["others"].is_array());
    text.clear();
    append_json(text, std::vector<Finding>{});
    CHECK(Json::parse(text) == Json::array());
}

TEST_CASE("json: every published rulepack decides to JSON that parses") {
    const Shelf& shelf = shipped_shelf();
    for (const char* mechanism : {"telescopic-boom", "scissor", "vertical-mast", "truck-forks"}) {
        const Json json = json_of(decided(
            shelf,
            {{"lift-mechanism", mechanism}, {"state", "texas"}, {"industry", "construction"}}));
        CHECK(json["trail"].size() > 10);
        for (const Json& step : json["trail"]) {
            CHECK_FALSE(step["cite"].get<std::string>().empty());
        }
    }
}
