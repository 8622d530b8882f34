#include "commands.hpp"

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <system_error>

namespace toprail::command {

namespace {

namespace fs = std::filesystem;

bool is_folder(const fs::path& path) {
    std::error_code trouble;
    return fs::is_directory(path, trouble);
}

std::string find_usual_packs() {
    const fs::path here = "rulepacks";
    std::error_code trouble;
    const fs::path folder = fs::read_symlink("/proc/self/exe", trouble).parent_path();
    if (trouble) {
        return here.string();
    }
    // Told from the command's own place, so that what is installed may be moved.
    const fs::path installed = (folder / TOPRAIL_RULEPACKS_FROM_COMMAND).lexically_normal();
    if (is_folder(installed)) {
        return installed.string();
    }
    const fs::path of_sources = (folder / ".." / here).lexically_normal();
    const bool in_build_folder = fs::exists(folder / "CMakeCache.txt", trouble);
    return !is_folder(here) && in_build_folder && is_folder(of_sources) ? of_sources.string()
                                                                        : here.string();
}

}  // namespace

const std::string usual_packs = find_usual_packs();

void print_findings(const std::vector<Finding>& findings) {
    for (const Finding& finding : findings) {
        std::cerr << render_text(finding);
    }
}

void add_packs(CLI::App& verb, std::vector<std::string>& folders) {
    folders = {usual_packs};
    verb.add_option("--packs", folders, "Folder of rulepacks; several make one shelf")
        ->allow_extra_args(false)
        ->capture_default_str();
}

void add_length(CLI::App& verb, std::string& length) {
    verb.add_option("--length", length, "answer, reasons or everything (text and html)")
        ->check(CLI::IsMember({"answer", "reasons", "everything"}))
        ->capture_default_str();
}

Length length_of(const std::string& word) {
    return word == "answer"       ? Length::answer
           : word == "everything" ? Length::everything
                                  : Length::reasons;
}

Shelf load(const std::vector<std::string>& folders, const LoadOptions& options) {
    LoadedShelf loaded = load_folders(folders, options);
    if (!loaded.shelf) {
        print_findings(loaded.findings);
        std::cerr << "toprail: the rulepacks in ";
        for (const std::string& folder : folders) {
            std::cerr << (&folder == &folders.front() ? "" : ", ") << tell_line(folder);
        }
        std::cerr
            << " cannot be used; mend the findings above, or name another folder with --packs\n";
        throw Unusable{};
    }
    return *loaded.shelf;
}

CLI::Validator whole_number() {
    return {[](const std::string& text) {
                const bool digits =
                    !text.empty() && text.find_first_not_of("0123456789") == std::string::npos;
                return digits ? std::string{} : "a whole number is needed, in decimal digits";
            },
            ""};
}

CLI::Validator some_name() {
    return {[](const std::string& text) {
                return text.empty() ? "a name is needed, and this is empty" : std::string{};
            },
            ""};
}

std::ifstream open_file(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    if (!file) {
        std::cerr << "toprail: " << tell_line(path) << " cannot be opened for reading\n";
        throw Unusable{};
    }
    return file;
}

std::string read_input(const std::string& path, std::size_t limit) {
    std::ifstream file;
    if (path != "-") {
        file = open_file(path);
    }
    std::istream& stream = path == "-" ? std::cin : file;
    std::string bytes;
    std::string buffer(1U << 16U, '\0');
    while (stream && bytes.size() <= limit) {
        stream.read(buffer.data(), static_cast<std::streamsize>(buffer.size()));
        bytes.append(buffer.data(), static_cast<std::size_t>(stream.gcount()));
    }
    if (stream.bad()) {
        std::cerr << "toprail: reading " << tell_line(path) << " failed\n";
        throw Unusable{};
    }
    return bytes;
}

Date read_day(const std::string& text) {
    const auto day = Date::parse(text);
    if (!day) {
        std::cerr << "toprail: \"" << text
                  << "\" is not an existing day from 1800 to 2200; write year-month-day, such as "
                     "2024-06-01\n";
        throw Unusable{};
    }
    return *day;
}

}  // namespace toprail::command
