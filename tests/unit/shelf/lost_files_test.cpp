// A shelf that has lost a file, or the end of one, is refused, and says what is missing first.
#include "support/shelves.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>

using namespace toprail;
using namespace toprail::test;

namespace {

namespace fs = std::filesystem;

std::string bytes_of(const fs::path& path) {
    std::ifstream stream(path, std::ios::binary);
    REQUIRE(stream.good());
    return {std::istreambuf_iterator<char>(stream), {}};
}

/// The shipped files by their paths below the folder of rulepacks.
std::vector<SourceText> shipped() {
    std::vector<SourceText> texts;
    for (const std::string& file : shelf_files(shipped_folder())) {
        texts.push_back(
            {fs::relative(file, shipped_folder()).generic_string(), bytes_of(file), true});
    }
    return texts;
}

std::vector<SourceText> without(std::string_view name) {
    std::vector<SourceText> texts = shipped();
    REQUIRE(std::erase_if(
                texts, [&](const SourceText& text) { return text.name.starts_with(name); }) != 0);
    return texts;
}

SourceText& named(std::vector<SourceText>& texts, std::string_view name) {
    return *std::find_if(texts.begin(), texts.end(),
                         [&](const SourceText& text) { return text.name == name; });
}

bool says(const std::vector<Finding>& findings, std::string_view code, std::string_view part) {
    return std::any_of(findings.begin(), findings.end(), [&](const Finding& finding) {
        return finding.code == code && render_text(finding).find(part) != std::string::npos;
    });
}

}  // namespace

TEST_CASE("lost files: the shipped texts load as they are") {
    const LoadedShelf loaded = load_shelf(shipped());
    CHECK_MESSAGE(loaded.findings.empty(), told(loaded.findings));
    CHECK(loaded.shelf);
}

TEST_CASE("lost files: a rulepack of the list that is missing is an error") {
    for (const auto& [file, id] : {std::pair{"us/governing.yaml", "us.governing"},
                                   std::pair{"site/stated-demands.yaml", "site.stated-demands"}}) {
        const LoadedShelf loaded = load_shelf(without(file));
        CHECK_FALSE(loaded.shelf);
        CHECK_MESSAGE(says(loaded.findings, "listed-not-found", id), told(loaded.findings));
        CHECK(says(loaded.findings, "listed-not-found", "take out this line"));
    }
}

/// The shipped shelf with the construction pack cut off where this piece stands for the last time.
LoadedShelf cut_off_at(const std::string& piece) {
    std::vector<SourceText> texts = shipped();
    std::string& text = named(texts, "us/federal/construction.yaml").text;
    const std::size_t last = text.rfind(piece);
    REQUIRE(last != std::string::npos);
    text.resize(last + 1);
    return load_shelf(std::move(texts));
}

TEST_CASE("lost files: a rulepack that is cut off at a provision is an error") {
    const LoadedShelf loaded = cut_off_at("\n  - id: ");
    CHECK_FALSE(loaded.shelf);
    CHECK_MESSAGE(says(loaded.findings, "listed-not-found", "change this line to provisions: "),
                  told(loaded.findings));
}

TEST_CASE("lost files: one cut off behind its provisions has lost worked cases") {
    const LoadedShelf loaded = cut_off_at("\nworked-cases:");
    CHECK_FALSE(loaded.shelf);
    CHECK_MESSAGE(says(loaded.findings, "listed-not-found", "worked-cases: 0"),
                  told(loaded.findings));
}

TEST_CASE("lost files: who only judges an edit is warned, and the rest is looked at") {
    std::vector<SourceText> texts = shipped();
    std::string& text = named(texts, "us/federal/construction.yaml").text;
    text.resize(text.rfind("\n  - name: ") + 1);
    LoadOptions judging;
    judging.for_deciding = false;
    const LoadedShelf loaded = load_shelf(texts, judging);
    REQUIRE_MESSAGE(loaded.shelf, told(loaded.findings));
    REQUIRE(loaded.findings.size() == 1);
    CHECK(loaded.findings.front().code == "listed-not-found");
    CHECK(loaded.findings.front().severity == Severity::warning);
    CHECK_FALSE(load_shelf(texts).shelf);
}

TEST_CASE("lost files: a rulepack that was added is a note, with the line to add") {
    std::vector<SourceText> texts = shipped();
    texts.push_back(
        {"ours.yaml", bytes_of(TOPRAIL_SOURCE_DIR "/rulepacks/templates/company-policy.yaml")});
    const LoadedShelf loaded = load_shelf(std::move(texts));
    REQUIRE_MESSAGE(loaded.shelf, told(loaded.findings));
    REQUIRE(loaded.findings.size() == 1);
    CHECK(loaded.findings.front().code == "list-behind");
    CHECK(loaded.findings.front().help.find("- {rulepack: ") != std::string::npos);
}

TEST_CASE("lost files: the list speaks of its own folder alone") {
    const LoadedShelf part =
        load_folders({shipped_folder() + "/vocabulary", shipped_folder() + "/us"});
    CHECK_MESSAGE(part.shelf, told(part.findings));
    CHECK_FALSE(says(part.findings, "listed-not-found", ""));
}

TEST_CASE("lost files: a lost vocabulary is told first, and what follows is counted") {
    for (const char* name : {"gear", "lifts", "sites", "duties", "mechanics"}) {
        CAPTURE(name);
        const LoadedShelf loaded = load_shelf(without(std::string("vocabulary/") + name));
        CHECK_FALSE(loaded.shelf);
        REQUIRE(!loaded.findings.empty());
        CHECK(loaded.findings.front().code == "listed-not-found");
        CHECK(loaded.findings.front().message.find(name) != std::string::npos);
        CHECK(says(loaded.findings, "follow-on", " more findings name "));
        CHECK_MESSAGE(loaded.findings.size() <= 20, told(loaded.findings));
    }
    // Without a list the rulepacks themselves say which vocabulary they miss.
    std::vector<SourceText> texts = without("vocabulary/lifts");
    std::erase_if(texts, [](const SourceText& text) { return text.name == "shelf.yaml"; });
    const LoadedShelf loaded = load_shelf(std::move(texts));
    REQUIRE(!loaded.findings.empty());
    CHECK(loaded.findings.front().code == "unknown-vocabulary");
    CHECK(says(loaded.findings, "unknown-vocabulary", "more places"));
    CHECK_MESSAGE(loaded.findings.size() <= 20, told(loaded.findings));
}

TEST_CASE("lost files: there is nothing to decide with where no rulepack is") {
    LoadOptions how;
    for (const LoadedShelf& loaded :
         {load_shelf(shipped_folder() + "/vocabulary"), load_shelf(std::vector<SourceText>{})}) {
        CHECK_FALSE(loaded.shelf);
        CHECK_MESSAGE(says(loaded.findings, "no-rulepack", ""), told(loaded.findings));
    }
    how.for_deciding = false;
    const LoadedShelf words = load_shelf(shipped_folder() + "/vocabulary", how);
    CHECK_MESSAGE(words.shelf, told(words.findings));
}
