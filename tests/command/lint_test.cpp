// The command lints, and mends.
#include "run.hpp"

namespace toprail::test {
namespace {

TEST_CASE("command lint: clean rulepacks are status 0") {
    const Outcome outcome = run({"lint", packs});
    CHECK(outcome.status == 0);
    CHECK(has(outcome.out, "0 findings"));
    const Outcome json = run({"lint", packs, "--format", "json"});
    CHECK(json.status == 0);
    CHECK(Json::parse(json.out) == Json::array());
}

// So that what is named is linted alone.
std::string no_packs() {
    const std::string folder = (scratch() / "nothing").string();
    fs::create_directories(folder);
    return folder;
}

// A copy, since what is named may be mended.
std::string copied_vocabulary() {
    std::ifstream stream(TOPRAIL_SOURCE_DIR "/tests/bad/common-vocabulary.yaml", std::ios::binary);
    return write("vocabulary.yaml", {std::istreambuf_iterator<char>(stream), {}});
}

TEST_CASE("command lint --mend: the file is changed in place and the report says how") {
    const std::string vocabulary = copied_vocabulary();
    const std::string untidy = R"(rulepack: test.pack
title: no
format: 1
standing: regulation
vocabulary: common
edition: {from: 2000-01-01, verified-through: 2025-01-01, picked-by: work-date}
conditions:
  raised: {reads: the platform is raised, is: platform-height is more than 010 ft}
  idle: {reads: the gate is open, is: gate-open}
provisions:
  - {id: tied, cite: Rule 1, source: read, gist: g, where: raised, duty: tie-off, calls-for: required}
)";
    const std::string pack = write("untidy.yaml", untidy);
    fs::permissions(pack, fs::perms::owner_read | fs::perms::owner_write);
    const std::vector<std::string> lint{"lint", pack, vocabulary, "--packs", no_packs()};
    std::vector<std::string> mend = lint;
    mend.emplace_back("--mend");
    const Outcome outcome = run(mend);
    CHECK(
        has(outcome.err, "untidy.yaml, line 2: no is now \"no\"\n- title: no\n+ title: \"no\"\n"));
    CHECK(has(outcome.err, "line 8: 010 is now 10\n- "));
    CHECK(has(outcome.err, "line 9: took out the condition \"idle\", which decides nothing\n- "));
    CHECK(has(outcome.err, "3 changes in 1 file; proved: every case is decided as before\n"));
    std::ifstream stream(pack, std::ios::binary);
    const std::string mended{std::istreambuf_iterator<char>(stream), {}};
    CHECK(has(mended, "title: \"no\"\n"));
    CHECK(has(mended, "more than 10 ft"));
    CHECK_FALSE(has(mended, "idle"));
    CHECK(fs::status(pack).permissions() == (fs::perms::owner_read | fs::perms::owner_write));
    // Nothing is left beside it, and a second run finds nothing to do.
    for (const fs::directory_entry& entry : fs::directory_iterator(scratch())) {
        CHECK_FALSE(has(entry.path().string(), "untidy.yaml."));
    }
    CHECK(has(run(mend).err, "0 changes in 0 files\n"));
}

TEST_CASE("command lint --mend: a file with errors stays as it is") {
    const std::string vocabulary = copied_vocabulary();
    const std::string broken = "rulepack: test.pack\ntitle: no\n";
    const std::string pack = write("broken.yaml", broken);
    const Outcome outcome = run({"lint", "--mend", pack, vocabulary, "--packs", no_packs()});
    CHECK(outcome.status == 1);
    CHECK(has(outcome.err, "nothing was mended: the errors come first"));
    std::ifstream stream(pack, std::ios::binary);
    CHECK(std::string{std::istreambuf_iterator<char>(stream), {}} == broken);
}

TEST_CASE("command lint: findings are status 1, with their places") {
    const std::string bad = TOPRAIL_SOURCE_DIR "/tests/bad/unknown-fact-in-sentence.yaml";
    const std::string vocabulary = TOPRAIL_SOURCE_DIR "/tests/bad/common-vocabulary.yaml";
    const Outcome text = run({"lint", bad, vocabulary, "--packs", no_packs()});
    CHECK(text.status == 1);
    CHECK(has(text.out, "unknown-fact-in-sentence.yaml, line 13, column 12: "));
    CHECK(has(text.out, "unknown-name"));
    const Outcome json = run({"lint", bad, vocabulary, "--packs", no_packs(), "--format", "json"});
    CHECK(json.status == 1);
    const Json all = Json::parse(json.out);
    REQUIRE(all.size() == 1);
    CHECK(all[0]["code"] == "unknown-name");
    CHECK(all[0]["line"] == 13);
}

TEST_CASE("command lint: a folder of overlays is read with the rulepacks that it speaks of") {
    const std::string folder = (scratch() / "overlays").string();
    fs::remove_all(folder);
    fs::create_directories(folder);
    fs::copy(packs + "/templates/company-policy.yaml", folder + "/policy.yaml");
    const Outcome clean = run({"lint", folder, "--packs", packs});
    CHECK(clean.status == 0);
    CHECK(has(clean.out, "0 findings"));
    // Its own words may stand in a second folder.
    const std::string words = (scratch() / "words").string();
    fs::create_directories(words);
    write(
        "words/own.yaml",
        "vocabulary: own\ntitle: Our words\nfacts:\n  at-the-weir: {type: yes-no, reads: it is at "
        "the weir, ask: \"At the weir?\", why: w}\n");
    std::ifstream stream(folder + "/policy.yaml", std::ios::binary);
    std::string text{std::istreambuf_iterator<char>(stream), {}};
    const std::string list = "vocabulary: [duties, ";
    text.replace(text.find(list), list.size(), "vocabulary: [own, duties, ");
    const std::string where = "where: company-policy-requires-tie-off\n    gist: Everyone";
    text.replace(
        text.find(where), where.size(),
        "where: {any-of: [company-policy-requires-tie-off, at-the-weir]}\n    gist: Everyone");
    write("overlays/policy.yaml", text);
    const Outcome two = run({"lint", folder, "--packs", packs, "--packs", words});
    CHECK_MESSAGE(!has(two.out, "unknown-"), two.out);
    CHECK(has(run({"lint", folder, "--packs", packs}).out, "unknown-vocabulary"));
    // What is read for its words is not judged, and a folder that is not there is no typing slip to
    // pass over.
    CHECK(run({"lint", folder, "--packs", packs + "/nowhere"}).status == 2);
    const Outcome alone = run({"lint", folder, "--packs", no_packs()});
    CHECK(alone.status == 1);
    CHECK(has(alone.out, "unknown-vocabulary"));
}

TEST_CASE("command lint: an edited copy takes the place of the file that it was copied from") {
    const std::string original = packs + "/us/state/california.yaml";
    const std::string copy = write("california.yaml", text_of(original));
    const Outcome same = run({"lint", copy, "--packs", packs});
    CHECK_MESSAGE(same.status == 0, same.out);
    CHECK(has(same.err, copy + " takes the place of " + original));
    // Notes on files that were not named are none of this file's.
    CHECK(same.out == "0 findings\n");
    const std::string edited =
        write("california.yaml",
              replaced(text_of(original), "calls-for: required", "calls-for: not required"));
    const Outcome other = run({"lint", edited, "--packs", packs});
    CHECK(other.status == 1);
    CHECK(has(other.out, "case-fails"));
    CHECK_FALSE(has(other.out, original));
    const Outcome json = run({"lint", edited, "--packs", packs, "--format", "json"});
    CHECK_FALSE(Json::parse(json.out).empty());
}

TEST_CASE("command lint: so it is beside overlays, and in the folder of the other rulepacks") {
    const std::string folder = (scratch() / "overlays-by-ending").string();
    const std::string others = (scratch() / "others-by-ending").string();
    for (const std::string& each : {folder, others}) {
        fs::remove_all(each);
    }
    fs::create_directories(folder);
    fs::copy(packs, others, fs::copy_options::recursive);
    fs::copy(packs + "/templates/company-policy.yaml", folder + "/policy.yaml");
    CHECK(run({"lint", folder, "--packs", others}).status == 0);
    for (const char* ending : {".yml", ".YAML"}) {
        CAPTURE(ending);
        for (const std::string& each : {folder, others}) {
            const std::string file = each + "/host" + ending;
            fs::copy(packs + "/templates/host-site.yaml", file);
            const Outcome lint = run({"lint", folder, "--packs", others});
            CHECK(lint.status == 1);
            CHECK(has(lint.out, file + ": it would be passed over"));
            CHECK(has(lint.out, "\n1 finding"));
            fs::remove(file);
        }
    }
}

TEST_CASE("command lint: a provision taken out is told with the line of the list to change") {
    std::ifstream stream(packs + "/us/federal/agriculture.yaml", std::ios::binary);
    std::string text(std::istreambuf_iterator<char>(stream), {});
    const std::size_t last = text.rfind("\n  - name: ");
    REQUIRE(last != std::string::npos);
    text.resize(last + 1);
    const std::string edited = write("agriculture.yaml", text);
    const Outcome outcome = run({"lint", edited, "--packs", packs});
    CHECK(outcome.status == 1);
    CHECK(has(outcome.out, "(warning, listed-not-found)"));
    CHECK(has(outcome.out, "change this line to worked-cases: "));
}

}  // namespace
}  // namespace toprail::test
