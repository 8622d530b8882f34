// Folders made to mislead: loops of links, links that lead nowhere, pipes, names of every kind.
#include "support/screen.hpp"
#include "support/small_shelf.hpp"
#include "toprail/telling.hpp"

#include <doctest/doctest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>

using namespace toprail;
using namespace toprail::test;

namespace {

namespace fs = std::filesystem;

// A folder of its own with a sound vocabulary and pack; removed at the end.
class Folder {
  public:
    Folder() {
        std::string name = (fs::temp_directory_path() / "toprail-paths-XXXXXX").string();
        REQUIRE(::mkdtemp(name.data()) != nullptr);
        path_ = name;
        write(path_ / "vocabulary.yaml", small_vocabulary().text);
        write(path_ / "pack.yaml",
              small_pack("provisions:\n" + requires_tie_off("a", "gate-open")).text);
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    ~Folder() {
        std::error_code ignored;
        fs::remove_all(path_, ignored);
    }

    [[nodiscard]] const fs::path& path() const { return path_; }
    [[nodiscard]] LoadedShelf load() const { return load_shelf(path_.string()); }

    static void write(const fs::path& path, const std::string& text) {
        std::ofstream(path, std::ios::binary) << text;
    }

  private:
    fs::path path_;
};

void refused(const LoadedShelf& loaded, std::string_view code) {
    CHECK_FALSE(loaded.shelf);
    REQUIRE_FALSE(loaded.findings.empty());
    CHECK(loaded.findings.front().code == code);
    CHECK(trouble_on_screen(told(loaded.findings)).empty());
    std::string json;
    append_json(json, loaded.findings);
    CHECK(trouble_in_json(json).empty());
    std::string sarif;
    append_sarif(sarif, loaded.findings);
    CHECK(trouble_in_json(sarif).empty());
}

}  // namespace

TEST_CASE("paths: links that lead round in a circle end, and add nothing") {
    const Folder folder;
    fs::create_directory_symlink(folder.path(), folder.path() / "again");
    fs::create_directory_symlink("..", folder.path() / "above");
    const LoadedShelf loaded = folder.load();
    CHECK_MESSAGE(loaded.shelf.has_value(), told(loaded.findings));
    CHECK(shelf_files(folder.path().string()).size() == 2);
}

TEST_CASE("paths: a pack that is a link to nothing, or to itself, is told and not left out") {
    for (const char* target : {"no-such-file", "gone.yaml"}) {
        const Folder folder;
        fs::create_symlink(target, folder.path() / "gone.yaml");
        refused(folder.load(), "unreadable-file");
    }
}

TEST_CASE("paths: a link to a pack is that pack") {
    const Folder folder;
    const Folder other;
    Folder::write(other.path() / "more.txt",
                  small_pack("provisions:\n" + requires_tie_off("b"), "more.pack").text);
    fs::create_symlink(other.path() / "more.txt", folder.path() / "more.yaml");
    const LoadedShelf loaded = folder.load();
    REQUIRE_MESSAGE(loaded.shelf.has_value(), told(loaded.findings));
    CHECK(loaded.shelf->packs().size() == 2);
}

TEST_CASE("paths: a pipe by the name of a pack is not waited for") {
    const Folder folder;
    REQUIRE(::mkfifo((folder.path() / "pipe.yaml").c_str(), 0600) == 0);
    refused(folder.load(), "unreadable-file");
}

TEST_CASE("paths: endless devices are not read") {
    const Folder folder;
    fs::create_symlink("/dev/zero", folder.path() / "zero.yaml");
    refused(folder.load(), "unreadable-file");
}

TEST_CASE("paths: a folder by the name of a pack is a folder") {
    const Folder folder;
    fs::create_directory(folder.path() / "folder.yaml");
    CHECK(folder.load().shelf.has_value());
}

TEST_CASE("paths: names that hide, turn or are no text are told harmlessly") {
    for (const char* name : {"\x1b[2J.yaml", "a\nb.yaml", "\u202elmay.yaml", "\xff\xfe.yaml",
                             "<script>.yaml", "\"];x.yaml"}) {
        const Folder folder;
        Folder::write(folder.path() / name, "rulepack: [\n");
        refused(folder.load(), "not-yaml");
    }
}

TEST_CASE("paths: the longest of names, and paths that are too long") {
    const Folder folder;
    Folder::write(folder.path() / (std::string(250, 'n') + ".yaml"), "rulepack: [\n");
    refused(folder.load(), "not-yaml");
    refused(load_shelf(std::string(100'000, 'x')), "unreadable-file");
    refused(load_shelf(folder.path().string() + std::string(3000, '/') + "none"),
            "unreadable-file");
    refused(load_shelf(""), "unreadable-file");
    refused(load_shelf(std::string("with\0NUL", 8)), "unreadable-file");
}

TEST_CASE("paths: steps up and down lead where the system says, and name the file") {
    const Folder folder;
    fs::create_directory(folder.path() / "below");
    const std::string round = folder.path().string() + "/below/../below/..";
    CHECK(load_shelf(round).shelf.has_value());
}
