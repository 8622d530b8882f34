// Loading: files that would be passed over or cannot be read, what is logged, and lists of shelves
// that are themselves amiss.
#include "support/linted.hpp"
#include "support/small_shelf.hpp"

#include <doctest/doctest.h>
#include <spdlog/logger.h>
#include <spdlog/sinks/ostream_sink.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

namespace toprail::test {
namespace {

namespace fs = std::filesystem;

// A folder of its own with a sound vocabulary and pack; removed at the end.
class Folder {
  public:
    Folder() {
        std::string name = (fs::temp_directory_path() / "toprail-loading-XXXXXX").string();
        REQUIRE(::mkdtemp(name.data()) != nullptr);
        path_ = name;
        write("vocabulary.yaml", small_vocabulary().text);
        write("pack.yaml", small_pack("provisions:\n" + requires_tie_off("a", "gate-open")).text);
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    ~Folder() {
        std::error_code ignored;
        fs::remove_all(path_, ignored);
    }

    void write(const std::string& name, const std::string& text) const {
        std::ofstream(path_ / name, std::ios::binary) << text;
    }
    void link(const std::string& to, const std::string& name) const {
        fs::create_symlink(to, path_ / name);
    }
    [[nodiscard]] std::string path() const { return path_.string(); }
    [[nodiscard]] LoadedShelf load(const LoadOptions& options = {}) const {
        return load_shelf(path_.string(), options);
    }

  private:
    fs::path path_;
};

TEST_CASE("loading: the files of a folder are listed with what is wrong with it") {
    const Folder folder;
    folder.write("more.yml", "rulepack: test.more\n");
    folder.link("nowhere.yaml", "gone.yaml");
    std::vector<Finding> findings;
    const std::vector<std::string> files = shelf_files(folder.path(), findings);
    CHECK(files.size() == 2);
    CHECK(files == shelf_files(folder.path()));
    CHECK(told(findings) == told(folder.load().findings));
    REQUIRE(findings.size() == 2);
    CHECK(has_error(findings));
}

TEST_CASE("loading: another ending is told, for a rulepack under it would be passed over") {
    for (const char* name : {"more.yml", "more.YAML", "more.YML", "more.Yaml", "more.yAmL"}) {
        CAPTURE(name);
        const Folder folder;
        folder.write(name, "rulepack: test.more\n");
        const LoadedShelf loaded = folder.load();
        CHECK_FALSE(loaded.shelf);
        REQUIRE(loaded.findings.size() == 1);
        CHECK(loaded.findings.front().code == "unreadable-file");
        CHECK(loaded.findings.front().message.find("files of rulepacks end in .yaml") !=
              std::string::npos);
        CHECK(loaded.findings.front().place.file.ends_with(name));
    }
    const Folder folder;
    folder.write("README.md", "# no rulepack\n");
    CHECK(folder.load().shelf);
}

TEST_CASE("loading: a file that opens and cannot be read is told, not taken for an empty one") {
    const Folder folder;
    // Nothing is mapped at its first byte, so that reading fails behind an open that did not.
    folder.link("/proc/self/mem", "unreadable.yaml");
    const LoadedShelf loaded = folder.load();
    CHECK_FALSE(loaded.shelf);
    REQUIRE(loaded.findings.size() == 1);
    CHECK(loaded.findings.front().code == "unreadable-file");
    CHECK(loaded.findings.front().message == "the file cannot be read");
    CHECK(loaded.findings.front().place.file.ends_with("unreadable.yaml"));
}

TEST_CASE("loading: what was loaded is told to the logger of the host, what was not is not") {
    std::ostringstream log;
    LoadOptions options;
    options.logger = std::make_shared<spdlog::logger>(
        "test", std::make_shared<spdlog::sinks::ostream_sink_mt>(log));
    const Folder folder;
    REQUIRE(folder.load(options).shelf);
    CHECK(log.str().find("loaded 1 packs with 1 provisions as ") != std::string::npos);
    log.str("");
    folder.write("broken.yaml", "rulepack: [\n");
    CHECK_FALSE(folder.load(options).shelf);
    CHECK(log.str().empty());
}

std::vector<Finding> with_list(const std::string& entry,
                               const std::string& list_name = "shelf.yaml",
                               const std::string& pack_name = "pack.yaml") {
    SourceText pack = small_pack("provisions:\n" + requires_tie_off("a"));
    pack.name = pack_name;
    return load_shelf({small_vocabulary(),
                       pack,
                       {list_name, "shelf: the test\nvocabularies: [small]\nrulepacks:\n  - " +
                                       entry + "\nin-all: 1\n"}})
        .findings;
}

TEST_CASE("lists: an entry that counts wrongly, or not at all") {
    CHECK(with_list("{rulepack: test.pack, from: 2000-01-01, provisions: 1, worked-cases: 0}")
              .empty());
    for (const char* number : {"many", "1x", "-1", "99999999999999999999999"}) {
        CAPTURE(number);
        const std::vector<Finding> found = with_list(
            "{rulepack: test.pack, from: 2000-01-01, provisions: " + std::string(number) + "}");
        REQUIRE(found.size() == 1);
        CHECK(found.front().code == "bad-number");
        CHECK(found.front().message ==
              "\"" + std::string(number) + "\" is not a number of provisions");
    }
    const std::vector<Finding> cases =
        with_list("{rulepack: test.pack, from: 2000-01-01, provisions: 1, worked-cases: 3}");
    REQUIRE(cases.size() == 1);
    CHECK(cases.front().code == "listed-not-found");
    CHECK(cases.front().message == "test.pack of 2000-01-01 holds 0 worked-cases, the list says 3");
}

TEST_CASE("lists: an entry without its keys is told, and its rulepack as not listed") {
    for (const auto& row : std::vector<std::pair<std::string, std::string>>{
             {"{from: 2000-01-01, provisions: 1}", "rulepack"},
             {"{rulepack: test.pack, provisions: 1}", "from"},
             {"{rulepack: test.pack, from: 2000-01-01}", "provisions"}}) {
        const std::string& entry = row.first;
        const std::string& lacks = row.second;
        CAPTURE(entry);
        const std::vector<Finding> found = with_list(entry);
        CHECK(std::any_of(found.begin(), found.end(), [&](const Finding& f) {
            return f.code == "missing-key" && f.message.find(lacks) != std::string::npos;
        }));
        CHECK(std::any_of(found.begin(), found.end(), [&](const Finding& f) {
            return f.code == "list-behind" &&
                   f.message.find("is not on the list of its folder") != std::string::npos;
        }));
    }
}

TEST_CASE("lists: one without rulepacks is told, and a rulepack with its key is no list") {
    const SourceText pack = small_pack("provisions:\n" + requires_tie_off("a"));
    const LoadedShelf without =
        load_shelf({small_vocabulary(), pack, {"shelf.yaml", "shelf: the test\n"}});
    CHECK_FALSE(without.shelf);
    CHECK(std::any_of(without.findings.begin(), without.findings.end(), [](const Finding& f) {
        return f.code == "missing-key" && f.message.find("rulepacks") != std::string::npos;
    }));
    for (const SourceText& text : {pack, small_vocabulary()}) {
        SourceText both = text;
        both.text += "shelf: the test\n";
        const SourceText other = text.name == pack.name ? small_vocabulary() : pack;
        const std::vector<Finding> found = load_shelf({both, other}).findings;
        REQUIRE(found.size() == 1);
        CHECK(found.front().code == "unknown-key");
        CHECK(found.front().message.starts_with("\"shelf\" is not a key of"));
    }
}

TEST_CASE("lists: only the folder of a list is held against it, and not its templates") {
    const std::string other = "{rulepack: test.else, from: 2000-01-01, provisions: 1}";
    const auto unlisted = [&](const std::string& list, const std::string& pack) {
        const std::vector<Finding> found = with_list(other, list, pack);
        return std::count_if(found.begin(), found.end(),
                             [](const Finding& f) { return f.code == "list-behind"; });
    };
    CHECK(unlisted("shelf.yaml", "pack.yaml") == 1);
    CHECK(unlisted("shelf.yaml", "deep/pack.yaml") == 1);
    CHECK(unlisted("shelf.yaml", "/elsewhere/pack.yaml") == 0);
    CHECK(unlisted("/here/shelf.yaml", "/here/pack.yaml") == 1);
    CHECK(unlisted("/here/shelf.yaml", "/there/pack.yaml") == 0);
    CHECK(unlisted("here/shelf.yaml", "here/templates/pack.yaml") == 0);
}

TEST_CASE("lint: an adopter that begins with the newest edition takes over no other") {
    const auto told_for = [](const std::string& from) {
        const auto edition = [](const std::string& first) {
            SourceText text = small_pack(
                "provisions:\n" + requires_tie_off("a"), "test.lender", "regulation",
                "{from: " + first + ", verified-through: 2030-01-01, picked-by: work-date}");
            text.name = first + ".yaml";
            return text;
        };
        const Shelf shelf = shelf_of(
            {small_vocabulary(), edition("2000-01-01"), edition("2010-01-01"),
             small_pack("adopts: {rulepack: test.lender, cite: c, source: read}\nprovisions:\n" +
                            requires_tie_off("b"),
                        "test.pack", "regulation",
                        "{from: " + from +
                            ", verified-through: 2030-01-01, picked-by: "
                            "work-date}")});
        const std::vector<Finding> found = lint_shelf(shelf);
        return std::count_if(found.begin(), found.end(),
                             [](const Finding& f) { return f.code == "adopts-newest"; });
    };
    CHECK(told_for("2009-12-31") == 1);
    CHECK(told_for("2010-01-01") == 0);
    CHECK(told_for("2011-01-01") == 0);
}

TEST_CASE("lint: a rulepack whose provisions no worked case holds is a note") {
    const std::string provisions = "provisions:\n" + requires_tie_off("a", "gate-open");
    const std::string worked =
        "worked-cases: [{name: one, facts: {gate-open: yes}, answers: {tie-off: required}}]\n";
    const auto notes = [](std::vector<SourceText> texts) {
        texts.push_back(small_vocabulary());
        return linted(shelf_of(std::move(texts)), "no-worked-case");
    };
    const std::vector<Finding> without = notes({small_pack(provisions)});
    REQUIRE(without.size() == 1);
    CHECK(without[0].severity == Severity::note);
    CHECK(without[0].message == "none of its provisions is held by a worked case");
    CHECK(without[0].place.file == "test.pack.yaml");
    CHECK(without[0].place.line == 1);
    CHECK(notes({small_pack(provisions + "worked-cases: []\n")}).size() == 1);
    CHECK(notes({small_pack(provisions + worked)}).empty());
    // Neither one that only adopts, nor one without any rule, has something to hold.
    CHECK(notes({small_pack(provisions + worked),
                 small_pack("adopts: {rulepack: test.pack, cite: c, source: read}\n", "test.other"),
                 small_pack("provisions: []\n", "test.empty")})
              .empty());
}

TEST_CASE("lint: marks that a rulepack contradicts are counted, what it adopted is not") {
    const auto unread = [](const std::string& what_was_read, const std::string& provisions) {
        std::vector<std::string> messages;
        const Shelf shelf = shelf_of(
            {small_vocabulary(),
             small_pack("provisions:\n" + requires_tie_off("lent"), "test.lender"),
             small_pack("adopts: {rulepack: test.lender, cite: c, source: read}\nwhat-was-read: " +
                        what_was_read + "\nprovisions:\n" + provisions)});
        for (const Finding& finding : lint_shelf(shelf)) {
            if (finding.code == "unread-mark") {
                messages.push_back(finding.message);
            }
        }
        return messages;
    };
    const std::string from_memory =
        "  - {id: m, cite: c, source: memory, gist: g, duty: tie-off, calls-for: required}\n";
    CHECK(unread("[nothing]", from_memory).empty());
    CHECK(unread("[nothing, all of it]", requires_tie_off("a")).empty());
    CHECK(unread("[nothing]", from_memory + requires_tie_off("a")) ==
          std::vector<std::string>{"\"a\" is marked as read, but test.pack says that nothing was "
                                   "read"});
    CHECK(unread("[nothing yet]", requires_tie_off("a") + requires_tie_off("b")) ==
          std::vector<std::string>{"\"a\" and 1 more are marked as read, but test.pack says that "
                                   "nothing was read"});
}

}  // namespace
}  // namespace toprail::test
