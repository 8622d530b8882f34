#include "commands.hpp"
#include "toprail/about.hpp"
#include "toprail/telling.hpp"

#include <filesystem>
#include <iostream>
#include <memory>

namespace toprail::command {
namespace {

namespace fs = std::filesystem;

struct Options {
    std::vector<std::string> paths;
    std::string packs = usual_packs;
    std::string format = "text";
    std::string about;
    bool notes = false;
};

int tell_about(const std::string& code) {
    const std::string text = render_about(code);
    if (text.empty()) {
        const std::string near = nearest_code(code);
        std::cerr << "toprail: no finding has the code \"" << code << "\""
                  << (near.empty() ? "" : "; did you mean " + near + "?") << "\n";
        return Exit::unusable;
    }
    std::cout << text;
    return Exit::done;
}

bool is_under(const std::string& file, const std::string& path) {
    std::error_code trouble;
    const fs::path whole = fs::weakly_canonical(file, trouble);
    const fs::path part = fs::weakly_canonical(path, trouble);
    const auto [a, b] = std::mismatch(part.begin(), part.end(), whole.begin(), whole.end());
    return a == part.end();
}

// The files to load: those named and, when some are single files, the shelf they belong to.
LoadedShelf load_paths(const Options& options) {
    std::vector<std::string> folders;
    std::vector<std::string> files;
    for (const std::string& path : options.paths) {
        std::error_code trouble;
        (fs::is_directory(path, trouble) ? folders : files).push_back(path);
    }
    if (files.empty() && folders.size() == 1) {
        return load_shelf(folders.front());
    }
    std::error_code trouble;
    if (folders.empty() && fs::is_directory(options.packs, trouble)) {
        folders.push_back(options.packs);
    }
    const std::size_t limit = Limits{}.bytes;
    std::vector<SourceText> texts;
    for (const std::string& folder : folders) {
        for (const std::string& file : shelf_files(folder)) {
            const bool named = std::any_of(files.begin(), files.end(),
                                           [&](const std::string& f) { return is_under(file, f); });
            if (!named) {
                texts.push_back({file, read_input(file, limit), true});
            }
        }
    }
    for (const std::string& file : files) {
        texts.push_back({file, read_input(file, limit)});
    }
    return load_shelf(std::move(texts));
}

int run(const Options& options) {
    if (!options.about.empty()) {
        return tell_about(options.about);
    }
    if (options.paths.empty()) {
        std::cerr << "toprail: lint needs files or folders; try toprail lint rulepacks\n";
        return Exit::unusable;
    }
    LoadedShelf loaded = load_paths(options);
    std::vector<Finding> all = std::move(loaded.findings);
    if (loaded.shelf) {
        for (Finding& finding : lint_shelf(*loaded.shelf)) {
            all.push_back(std::move(finding));
        }
    }
    std::size_t notes = 0;
    std::vector<Finding> shown;
    for (Finding& finding : all) {
        const bool here =
            finding.place.file.empty() ||
            std::any_of(options.paths.begin(), options.paths.end(), [&](const std::string& path) {
                return is_under(finding.place.file, path);
            });
        if (finding.severity == Severity::note && !options.notes) {
            ++notes;
        } else if (here || finding.severity == Severity::error) {
            shown.push_back(std::move(finding));
        }
    }
    if (options.format != "text") {
        std::string out;
        options.format == "json" ? append_json(out, shown) : append_sarif(out, shown);
        std::cout << out << "\n";
    } else {
        for (const Finding& finding : shown) {
            std::cout << render_text(finding);
        }
        std::cout << shown.size() << (shown.size() == 1 ? " finding" : " findings");
        if (notes > 0) {
            std::cout << "; " << notes << (notes == 1 ? " note" : " notes")
                      << " left out, --notes shows them";
        }
        std::cout << "\n";
    }
    return shown.empty() ? Exit::done : Exit::findings;
}

}  // namespace

Run add_lint(CLI::App& app) {
    auto options = std::make_shared<Options>();
    CLI::App* verb =
        app.add_subcommand("lint", "Say what is wrong with rulepacks and vocabularies");
    verb->footer("Example: toprail lint rulepacks/us/federal/construction.yaml --packs rulepacks");
    verb->add_option("paths", options->paths, "Files and folders");
    verb->add_option("--packs", options->packs,
                     "Folder with the vocabulary and the other rulepacks, for single files")
        ->capture_default_str();
    verb->add_option("--format", options->format, "text, json or sarif")
        ->check(CLI::IsMember({"text", "json", "sarif"}))
        ->capture_default_str();
    verb->add_option("--about", options->about,
                     "Explain one kind of finding by its code, with an example, and read no file");
    verb->add_flag("--notes", options->notes,
                   "Show notes as well, such as facts that decide nothing");
    return [options] { return run(*options); };
}

}  // namespace toprail::command
