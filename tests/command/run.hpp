// The built command, run as people run it, with files in a folder of its own.
#pragma once

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>
#include <sys/wait.h>

#include <array>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <string_view>
#include <vector>

namespace toprail::test {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

inline const std::string packs = TOPRAIL_SOURCE_DIR "/rulepacks";

struct Outcome {
    int status = -1;
    std::string out;
    std::string err;
};

// A folder of this process alone; its files are written over by each test case.
inline fs::path scratch() {
    static const fs::path folder = [] {
        std::string name = (fs::temp_directory_path() / "toprail-command-XXXXXX").string();
        const char* const made = mkdtemp(name.data());
        REQUIRE(made != nullptr);
        return fs::path(name);
    }();
    return folder;
}

struct RemoveScratch {
    ~RemoveScratch() {
        std::error_code ignored;
        fs::remove_all(scratch(), ignored);
    }
};

inline std::string write(const std::string& name, const std::string& text) {
    scratch();  // made first, so that it is still there when the end of the program removes it
    static const RemoveScratch at_exit;
    const fs::path path = scratch() / name;
    std::ofstream(path, std::ios::binary) << text;
    return path.string();
}

inline std::string quoted(const std::string& argument) {
    std::string text = "'";
    for (const char c : argument) {
        text += c == '\'' ? std::string("'\\''") : std::string(1, c);
    }
    return text + "'";
}

inline Outcome run(const std::vector<std::string>& arguments, const std::string& input = {}) {
    const std::string errors = write("stderr", "");
    std::string line = quoted(TOPRAIL_COMMAND);
    for (const std::string& argument : arguments) {
        line += " " + quoted(argument);
    }
    line += " 2>" + quoted(errors) + " <" + quoted(write("stdin", input));
    FILE* pipe = popen(line.c_str(), "r");
    REQUIRE(pipe != nullptr);
    Outcome outcome;
    std::array<char, 4096> buffer{};
    for (std::size_t got = 0; (got = fread(buffer.data(), 1, buffer.size(), pipe)) > 0;) {
        outcome.out.append(buffer.data(), got);
    }
    const int status = pclose(pipe);
    REQUIRE(WIFEXITED(status));
    outcome.status = WEXITSTATUS(status);
    std::ifstream stream(errors, std::ios::binary);
    outcome.err.assign(std::istreambuf_iterator<char>(stream), {});
    return outcome;
}

inline bool has(const std::string& text, std::string_view part) {
    return text.find(part) != std::string::npos;
}

inline std::string text_of(const std::string& path) {
    std::ifstream stream(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(stream), {}};
}

inline std::string replaced(std::string text, const std::string& piece, const std::string& by) {
    REQUIRE(text.find(piece) != std::string::npos);
    return text.replace(text.find(piece), piece.size(), by);
}

}  // namespace toprail::test
