// Folders, files and children of the tests on the receipt log.
#pragma once

#include <doctest/doctest.h>
#include <sys/wait.h>

#include <cstdint>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

namespace toprail::test {

namespace fs = std::filesystem;

/// A folder of its own that goes away with the test.
class Folder {
  public:
    Folder() {
        std::string name = (fs::temp_directory_path() / "toprail-log-XXXXXX").string();
        REQUIRE(::mkdtemp(name.data()) != nullptr);
        path_ = name;
    }
    ~Folder() {
        std::error_code ignored;
        fs::remove_all(path_, ignored);
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    [[nodiscard]] std::string file(const std::string& name) const { return path_ + "/" + name; }
    [[nodiscard]] const std::string& path() const { return path_; }

  private:
    std::string path_;
};

inline std::string slurp(const std::string& path) {
    std::ifstream stream(path, std::ios::binary);
    std::ostringstream text;
    text << stream.rdbuf();
    return text.str();
}

inline std::string entry(std::uint64_t number) {
    return "{\"n\":" + std::to_string(number) + "}";
}

/// Waits for a child and gives its exit status.
inline int finish(pid_t child) {
    int status = 0;
    ::waitpid(child, &status, 0);
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

}  // namespace toprail::test
