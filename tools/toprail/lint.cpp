#include "commands.hpp"
#include "replace_file.hpp"
#include "toprail/about.hpp"
#include "toprail/mending.hpp"
#include "toprail/telling.hpp"

#ifdef TOPRAIL_PROVING
#include "toprail/proving.hpp"
#endif

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
    bool mend = false;
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

bool is_named(const Options& options, const std::string& file) {
    return std::any_of(options.paths.begin(), options.paths.end(),
                       [&](const std::string& path) { return is_under(file, path); });
}

// The texts of the files named and, when some are single files, of the shelf they belong to.
std::vector<SourceText> read_paths(const Options& options) {
    std::vector<std::string> folders;
    std::vector<std::string> files;
    for (const std::string& path : options.paths) {
        std::error_code trouble;
        (fs::is_directory(path, trouble) ? folders : files).push_back(path);
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
    return texts;
}

LoadedShelf load_paths(const Options& options) {
    // The library reports a folder that cannot be read, or that holds nothing to load.
    std::error_code trouble;
    if (options.paths.size() == 1 && fs::is_directory(options.paths.front(), trouble)) {
        return load_shelf(options.paths.front());
    }
    return load_shelf(read_paths(options));
}

std::string counted(std::size_t count, const std::string& what) {
    return std::to_string(count) + " " + what + (count == 1 ? "" : "s");
}

// What --mend did goes to the error output, so that JSON and SARIF stay whole.
void mend_files(const Options& options) {
    MendOptions how;
    how.may_change = [&options](const std::string& file) { return is_named(options, file); };
#ifdef TOPRAIL_PROVING
    how.proved_equal = [](const Shelf& before, const Shelf& after) {
        return compare(before, after).settled == Settled::proved;
    };
#endif
    const Mending mending = mend(read_paths(options), how);
    if (has_error(mending.findings)) {
        std::cerr << "nothing was mended: the errors come first\n";
        return;
    }
    for (const SourceText& text : mending.texts) {
        replace_file(text.name, text.text);
    }
    for (const MendedPart& part : mending.parts) {
        std::cerr << tell_line(part.file) << ", line " << part.line << ": " << part.says << "\n";
        for (const std::string& line : part.removed) {
            std::cerr << "- " << line << "\n";
        }
        for (const std::string& line : part.added) {
            std::cerr << "+ " << line << "\n";
        }
    }
    std::cerr << counted(mending.parts.size(), "change") << " in "
              << counted(mending.texts.size(), "file");
    if (!mending.parts.empty()) {
        std::cerr << "; proved: every case is decided as before";
    }
    if (mending.dropped > 0) {
        std::cerr << "; " << counted(mending.dropped, "change")
                  << " not made, since it is not shown that every case stays";
    }
    std::cerr << "\n";
}

int run(const Options& options) {
    if (!options.about.empty()) {
        return tell_about(options.about);
    }
    if (options.paths.empty()) {
        std::cerr << "toprail: lint needs files or folders; try toprail lint rulepacks\n";
        return Exit::unusable;
    }
    if (options.mend) {
        mend_files(options);
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
        const bool here = finding.place.file.empty() || is_named(options, finding.place.file);
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
    verb->add_flag("--mend", options->mend,
                   "First change the named files where that provably changes no decision: take out "
                   "conditions that nothing uses, rewrite values that other programs misread");
    verb->add_flag("--notes", options->notes,
                   "Show notes as well, such as facts that decide nothing");
    return [options] { return run(*options); };
}

}  // namespace toprail::command
