// The built command, run as people run it: exit status, what goes to which stream, and JSON.
#include "run.hpp"

namespace toprail::test {
namespace {

Outcome decide(const std::string& facts, std::vector<std::string> more = {}) {
    std::vector<std::string> arguments{
        "decide", "--facts",     write("facts.yaml", facts),
        "--on",   "2024-06-01",  "--packs",
        packs,    "--authority", "us.federal.vehicle-mounted-platforms"};
    arguments.insert(arguments.end(), more.begin(), more.end());
    return run(arguments);
}

const std::string settled =
    "facts: {lift-mechanism: telescopic-boom, mounting: self-propelled, field-modified: no, "
    "elevated: no, entering-or-leaving-at-height: no}\n";
const std::string open_facts = "facts: {mounting: self-propelled}\n";

TEST_CASE("command decide: a settled case is status 0") {
    const Outcome outcome = decide(settled);
    CHECK(outcome.status == 0);
    CHECK(outcome.err.empty());
    CHECK(has(outcome.out, "decided for 2024-06-01"));
    CHECK(has(outcome.out, "REQUIRED"));
}

TEST_CASE("command decide: missing facts are status 3, with the answer printed") {
    const Outcome outcome = decide(open_facts);
    CHECK(outcome.status == 3);
    CHECK(outcome.err.empty());
    CHECK(has(outcome.out, "UNDETERMINED"));
    CHECK(has(outcome.out, "lift-mechanism"));
}

TEST_CASE("command decide: one open case among settled ones is status 3") {
    const Outcome outcome =
        decide("cases:\n  - case: one\n    " + settled + "  - case: two\n    " + open_facts);
    CHECK(outcome.status == 3);
    CHECK(has(outcome.out, "one"));
    CHECK(has(outcome.out, "two"));
}

TEST_CASE("command decide: an unreadable fact is status 2 and prints no part of an answer") {
    for (const char* fact : {"platform-height: tall", "lift-mechanism: crane", "gate-opened: yes",
                             "platform-height: 900 ft", "elevated: does not apply"}) {
        CAPTURE(fact);
        const Outcome outcome = decide("cases:\n  - case: good\n    " + settled +
                                       "  - case: bad\n    facts: {" + fact + "}\n");
        CHECK(outcome.status == 2);
        CHECK(outcome.out.empty());
        CHECK(has(outcome.err, "facts.yaml, line 5"));
        const Outcome json = decide("facts: {" + std::string(fact) + "}\n", {"--format", "json"});
        CHECK(json.status == 2);
        CHECK(json.out.empty());
    }
}

TEST_CASE("command decide: a facts file that is no YAML is status 2") {
    for (const char* text : {"facts: [", "", "site: Yard\n", "- a\n", "facts: {a: *b}\n"}) {
        CAPTURE(text);
        const Outcome outcome = decide(text);
        CHECK(outcome.status == 2);
        CHECK(outcome.out.empty());
        CHECK_FALSE(outcome.err.empty());
    }
}

TEST_CASE("command decide: wrong usage is status 2") {
    const std::string facts = write("facts.yaml", settled);
    for (const std::vector<std::string>& arguments :
         {std::vector<std::string>{},
          {"decides"},
          {"decide"},
          {"decide", "--facts", facts, "--packs", packs},
          {"decide", "--on", "2024-06-01", "--packs", packs},
          {"decide", "--facts", facts, "--on", "2024-06-31", "--packs", packs},
          {"decide", "--facts", facts, "--on", "yesterday", "--packs", packs},
          {"decide", "--facts", facts + ".none", "--on", "2024-06-01", "--packs", packs},
          {"decide", "--facts", facts, "--on", "2024-06-01", "--packs", packs + "/none"},
          {"decide", "--facts", facts, "--on", "2024-06-01", "--packs", packs, "--format", "xml"},
          {"decide", "--facts", facts, "--on", "2024-06-01", "--packs", packs, "--authority", "x"},
          {"decide", "--facts", facts, "--on", "1700-01-01", "--packs", packs},
          {"lint"},
          {"lint", packs, "--format", "xml"}}) {
        const Outcome outcome = run(arguments);
        CAPTURE(outcome.err);
        CHECK(outcome.status == 2);
        CHECK(outcome.out.empty());
        CHECK_FALSE(outcome.err.empty());
    }
}

TEST_CASE("command decide: before the first edition is status 2 and names the authority") {
    const Outcome outcome =
        run({"decide", "--facts", write("facts.yaml", settled), "--on", "1950-01-01", "--packs",
             packs, "--authority", "us.federal.vehicle-mounted-platforms"});
    CHECK(outcome.status == 2);
    CHECK(outcome.out.empty());
    CHECK(has(outcome.err, "us.federal.vehicle-mounted-platforms"));
}

TEST_CASE("command decide: JSON parses, with one object per case and stable keys") {
    const Outcome outcome =
        decide("cases:\n  - case: one\n    " + settled + "  - case: two\n    " + open_facts,
               {"--format", "json"});
    CHECK(outcome.status == 3);
    CHECK(outcome.err.empty());
    const Json json = Json::parse(outcome.out);
    REQUIRE(json.is_array());
    REQUIRE(json.size() == 2);
    for (const Json& one : json) {
        std::vector<std::string> keys;
        for (const auto& [key, value] : one.items()) {
            keys.push_back(key);
        }
        CHECK(keys == std::vector<std::string>{"case", "on", "duties", "choices", "limits", "fit",
                                               "quantities", "governing", "trail", "cautions",
                                               "packs", "facts"});
    }
    CHECK(json[0]["case"] == "one");
    CHECK(json[0]["duties"]["tie-off"]["outcome"] == "required");
    CHECK(json[1]["duties"]["tie-off"]["outcome"] == "undetermined");
}

TEST_CASE("command decide: facts from standing input, in YAML or JSON, say the same") {
    const std::vector<std::string> arguments{
        "decide",   "--facts",     "-",
        "--on",     "2024-06-01",  "--packs",
        packs,      "--authority", "us.federal.vehicle-mounted-platforms",
        "--format", "json"};
    const Outcome yaml = run(arguments, settled);
    const Outcome json =
        run(arguments,
            R"({"facts": {"lift-mechanism": "telescopic-boom", "mounting": "self-propelled",
            "field-modified": "no", "elevated": "no", "entering-or-leaving-at-height": "no"}})");
    CHECK(yaml.status == 0);
    CHECK(json.status == 0);
    CHECK(yaml.out == json.out);
}

TEST_CASE("command decide: the same run gives the same bytes") {
    CHECK(decide(open_facts).out == decide(open_facts).out);
}

TEST_CASE("command decide: a pack whose worked cases fail is told beside the answer") {
    const std::string folder = (scratch() / "edited").string();
    fs::remove_all(folder);
    fs::copy(packs, folder, fs::copy_options::recursive);
    const std::string pack = folder + "/us/federal/construction.yaml";
    const std::string site = packs + "/demo/site.yaml";
    const std::vector<std::string> arguments = {
        "decide", "--facts", site, "--on", "2024-06-01", "--case", "lift-1", "--packs", folder};
    const Outcome before = run(arguments);
    CHECK(before.err.empty());
    std::ofstream(pack, std::ios::binary)
        << replaced(text_of(packs + "/us/federal/construction.yaml"), "where: boom-platform\n",
                    "where: {all-of: [boom-platform, platform-height is more than 90 ft]}\n");
    const Outcome after = run(arguments);
    CHECK(has(after.err, "toprail: warning: worked cases in " + pack + " come out differently ("));
    CHECK(has(after.out, "tie-off"));
    CHECK(has(after.out, "caution               worked cases in"));
}

TEST_CASE("command: a file of rulepacks that would be passed over for its name is an error") {
    const std::string folder = (scratch() / "endings").string();
    fs::remove_all(folder);
    fs::copy(packs, folder, fs::copy_options::recursive);
    fs::copy(packs + "/templates/company-policy.yaml", folder + "/policy.yml");
    const Outcome lint = run({"lint", folder});
    CHECK(lint.status == 1);
    CHECK(has(lint.out, folder + "/policy.yml: it would be passed over"));
}

TEST_CASE("command compare: marks that were raised are told") {
    const std::string original = packs + "/us/state/oregon.yaml";
    const std::string copy =
        write("oregon.yaml", replaced(text_of(original), "source: memory", "source: read"));
    const Outcome told = run({"compare", original, copy, "--packs", packs, "--duty", "tie-off"});
    if (!has(told.err, "made without the solver")) {
        CHECK_MESSAGE(has(told.out, "mark raised: us.state.oregon/"), told.err);
        CHECK(has(told.out, ": memory -> read"));
        CHECK(run({"compare", original, copy, "--packs", packs, "--duty", "tieoff"}).status == 2);
    }
}

TEST_CASE("command compare: two files of different authorities are told as such") {
    const std::string company = packs + "/templates/company-policy.yaml";
    const std::string host = packs + "/templates/host-site.yaml";
    const Outcome told = run({"compare", company, host, "--packs", packs, "--duty", "tie-off"});
    if (!has(told.err, "made without the solver")) {
        CHECK_MESSAGE(has(told.err, "the files are of two authorities"), told.err);
        CHECK(has(told.out, "overlays.company-policy is only in the first"));
        const Outcome same = run({"compare", host, host, "--packs", packs, "--duty", "tie-off"});
        CHECK_FALSE(has(same.err, "two authorities"));
    }
}

TEST_CASE("command decide: an unknown --case lists the cases that there are") {
    std::string facts = "cases:\n";
    for (int i = 0; i < 25; ++i) {
        facts += "  - {case: lift " + std::to_string(i) + ", facts: {}}\n";
    }
    const std::string file = write("many-cases.yaml", facts);
    const Outcome told = run(
        {"decide", "--facts", file, "--on", "2024-06-01", "--packs", packs, "--case", "lift 77"});
    CHECK(told.status == 2);
    CHECK(told.out.empty());
    CHECK(has(told.err, "no case is called lift 77; there are lift 0, lift 1, "));
    CHECK(has(told.err, "lift 19, ...\n"));
    CHECK_FALSE(has(told.err, "lift 20"));
}

TEST_CASE("command: help is status 0 and shows an example of each verb") {
    const Outcome all = run({"--help"});
    CHECK(all.status == 0);
    CHECK(has(all.out, "Exit status"));
    for (const char* verb : {"decide", "lint"}) {
        CAPTURE(verb);
        CHECK(has(all.out, verb));
        const Outcome one = run({verb, "--help"});
        CHECK(one.status == 0);
        CHECK(has(one.out, "Example: toprail "));
    }
}

TEST_CASE("command: the version") {
    const Outcome told = run({"--version"});
    CHECK(told.status == 0);
    CHECK(told.out == "toprail " TOPRAIL_VERSION "\n");
}

#ifdef TOPRAIL_LINES
TEST_CASE("command decide --lines: a line for a line, bad ones told, exit status") {
    const std::string good =
        R"({"case":"a","facts":{"lift-mechanism":"telescopic-boom","mounting":"self-propelled",)"
        R"("field-modified":"no","elevated":false,"entering-or-leaving-at-height":"no"}})"
        "\n";
    const std::string open = R"({"case":"b","facts":{"mounting":"self-propelled"}})"
                             "\n";
    Outcome outcome = decide(good + good, {"--lines", "--duty", "tie-off", "--threads", "2"});
    CHECK(outcome.status == 0);
    const std::string answer = R"("case":"a","outcomes":{"tie-off":"required"}})"
                               "\n";
    CHECK(outcome.out == "{\"line\":1," + answer + "{\"line\":2," + answer);
    CHECK(has(outcome.err, "2 cases decided"));
    CHECK(has(outcome.err, "come before these answers"));
    outcome = decide(good + open, {"--lines", "--duty", "tie-off"});
    CHECK(outcome.status == 3);
    CHECK(has(outcome.err, "act as if"));
    CHECK(has(outcome.out, R"("possible":{"tie-off":["required",)"));
    CHECK(has(outcome.out, R"("act-as-if":{"tie-off":"required"}})"));
    CHECK_FALSE(has(outcome.err, "stood on an earlier line"));
    outcome =
        decide("{\"case\":\"odd\",\"facts\":{\"mounting\":\"sideways\"}}\n" + good, {"--lines"});
    CHECK(outcome.status == 2);
    CHECK(has(outcome.err, "facts.yaml:1: case \"odd\": "));
    CHECK(has(outcome.out, R"({"line":1,"case":"odd","error":)"));
    CHECK(has(outcome.out, "{\"line\":2,"));
    outcome = decide(good + open + good, {"--lines", "--duty", "tie-off"});
    CHECK(has(outcome.err, "facts.yaml:3: case \"a\": a case of this name stood on an earlier"));
    CHECK(has(outcome.err, "1 under a name that had come before"));
    outcome = decide("\xEF\xBB\xBF" + good + "[]\n\"x\"\n", {"--lines", "--duty", "tie-off"});
    CHECK(outcome.status == 2);
    CHECK(has(outcome.out, "{\"line\":1,\"case\":\"a\",\"outcomes\""));
    CHECK(has(outcome.err, ":2: the line is a list; a line holds one case"));
    CHECK(has(outcome.err, ":3: the line is a text; a line holds one case"));
    outcome = decide(good, {"--lines", "--duty", "tie-off", "--cautions"});
    CHECK(has(outcome.out, R"("cautions":[")"));
    CHECK(has(outcome.out, "come before this answer"));
    CHECK(decide(good, {"--lines", "--cautions", "--as", "columns"}).status == 2);
    // Lines that are taken for a facts file.
    outcome = decide(good + open, {});
    CHECK(outcome.status == 2);
    CHECK(has(outcome.err, "decide it with --lines"));
    outcome = decide("{\n" + good, {"--lines", "--stop-at-bad", "--as", "columns"});
    CHECK(outcome.status == 2);
    CHECK_FALSE(has(outcome.out, "\n2,"));
    CHECK(decide(good, {"--lines", "--format", "json"}).status == 2);
    CHECK(decide(good, {"--threads", "2"}).status == 2);
}
#endif

TEST_CASE("command: names from outside are told harmlessly on the error output") {
    const Outcome none = run({"decide", "--facts",
                              "no\x1B[2J\xE2\x80\xAE"
                              "such",
                              "--on", "2024-06-01", "--packs", packs});
    CHECK(none.status == 2);
    CHECK(none.err == "toprail: no<U+001B>[2J<U+202E>such cannot be opened for reading\n");
    const Outcome verb = run({"\x1B[31mred"});
    CHECK(verb.status == 2);
    CHECK(verb.err.find('\x1B') == std::string::npos);
}

TEST_CASE("command: a number of something is written in digits alone") {
    const std::string facts = write("one.yaml", "facts: {elevated: yes}\n");
    for (const char* number : {"-1", "0x10", "1e3", "", "+3", "3 "}) {
        CAPTURE(number);
        const Outcome outcome = run({"decide", "--facts", facts, "--on", "2024-06-01", "--packs",
                                     packs, "--budget=" + std::string(number)});
        CHECK(outcome.status == 2);
        CHECK(has(outcome.err, "--budget"));
        CHECK(outcome.out.empty());
    }
}

TEST_CASE("command compare: folders that lie over rulepacks are compared over them") {
    const std::string golden = TOPRAIL_SOURCE_DIR "/tests/golden/packs";
    const auto overlay = [](const std::string& name, const std::string& height) {
        const std::string pack = (scratch() / name / "quay.yaml").string();
        std::ofstream(pack) << "rulepack: quay.house\ntitle: Quay\nformat: 1\nstanding: "
                               "regulation\nvocabulary: [yard]\nedition: {from: 2010-01-01, "
                               "verified-through: 2025-01-01, picked-by: work-date}\nprovisions:\n"
                               "  - {id: a, cite: Quay 1, source: read, gist: g, duty: tie-off, "
                               "calls-for: required, where: height is more than "
                            << height << "}\n";
        return (scratch() / name).string();
    };
    fs::create_directories(scratch() / "over-1");
    fs::create_directories(scratch() / "over-2");
    const std::string one = overlay("over-1", "7 ft");
    const std::string other = overlay("over-2", "9 ft");
    const Outcome told = run({"compare", one, other, "--packs", golden});
    if (!has(told.err, "made without the solver")) {
        CHECK(told.status == 1);
        CHECK(has(told.out, "different: "));
        CHECK(run({"compare", one, one, "--packs", golden}).status == 0);
        CHECK(has(run({"compare", one, other}).err, "no vocabulary is called \"yard\""));
    }
}

}  // namespace
}  // namespace toprail::test
