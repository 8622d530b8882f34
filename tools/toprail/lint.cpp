#include "commands.hpp"
#include "editions.hpp"
#include "replace_file.hpp"
#include "toprail/about.hpp"
#include "toprail/mending.hpp"
#include "toprail/telling.hpp"

#ifdef TOPRAIL_PROVING
#include "toprail/proving.hpp"
#endif

#include <algorithm>
#include <filesystem>
#include <iostream>
#include <iterator>
#include <map>
#include <memory>
#include <set>

namespace toprail::command {
namespace {

namespace fs = std::filesystem;

struct Options {
    std::vector<std::string> paths;
    std::vector<std::string> packs;
    bool packs_named = false;
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

bool is_folder(const std::string& path) {
    std::error_code trouble;
    return fs::is_directory(path, trouble);
}

// The texts of what was named and of the shelf that it belongs to. A file that is reached in two
// ways is read once, and an edited copy takes the place of what it was copied from.
class Texts {
  public:
    std::vector<SourceText> all;
    /// "copy.yaml takes the place of rulepacks/us/state/oregon.yaml".
    std::vector<std::string> replaced;
    /// What is wrong with the folders themselves, as loading them would tell.
    std::vector<Finding> findings;

    void add_named(const Options& options) {
        for (const std::string& path : options.paths) {
            if (!is_folder(path)) {
                read(path, false);
            }
        }
        for (const std::string& path : options.paths) {
            for (const std::string& file : files_in(path)) {
                read(file, true);
            }
        }
    }

    void add_others(const Options& options) {
        std::map<std::string, std::string> held;
        for (const SourceText& text : all) {
            if (const auto what = held_in(text.name, text.text)) {
                held.emplace(*what, text.name);
            }
        }
        for (const std::string& folder : options.packs) {
            for (const std::string& file : files_in(folder)) {
                const std::size_t before = all.size();
                read(file, true);
                const auto what =
                    all.size() == before ? std::nullopt : held_in(file, all.back().text);
                if (const auto copy = what ? held.find(*what) : held.end(); copy != held.end()) {
                    all.pop_back();
                    replaced.push_back(tell_line(copy->second) + " takes the place of " +
                                       tell_line(file));
                }
            }
        }
    }

  private:
    std::vector<std::string> files_in(const std::string& folder) {
        std::vector<Finding> found;
        std::vector<std::string> files;
        if (is_folder(folder)) {
            files = shelf_files(folder, found);
        }
        for (Finding& finding : found) {
            std::error_code trouble;
            if (seen_.insert(fs::weakly_canonical(finding.place.file, trouble).string()).second) {
                findings.push_back(std::move(finding));
            }
        }
        return files;
    }

    void read(const std::string& file, bool found) {
        std::error_code trouble;
        if (seen_.insert(fs::weakly_canonical(file, trouble).string()).second) {
            all.push_back({file, read_input(file, Limits{}.bytes), found});
        }
    }

    std::set<std::string> seen_;
};

Texts read_paths(const Options& options, bool others) {
    Texts texts;
    texts.add_named(options);
    if (others) {
        texts.add_others(options);
    }
    return texts;
}

// Vocabularies alone can be judged, too.
LoadOptions judging() {
    LoadOptions how;
    how.for_deciding = false;
    return how;
}

// A folder with a list of what it must hold is a shelf of its own: other rulepacks would only hide
// what it has lost.
bool lacks_words(const LoadedShelf& loaded) {
    const auto lost = [](const Finding& finding) { return finding.code == "listed-not-found"; };
    if (std::any_of(loaded.findings.begin(), loaded.findings.end(), lost)) {
        return false;
    }
    return std::any_of(loaded.findings.begin(), loaded.findings.end(), [](const Finding& finding) {
        return finding.code == "unknown-vocabulary" || finding.code == "unknown-authority";
    });
}

// A folder may be a whole shelf. One that speaks words or of authorities that it does not hold, as
// a folder of overlays does, is read together with the other rulepacks, as single files are.
bool needs_others(const Options& options) {
    return options.packs_named ||
           !std::all_of(options.paths.begin(), options.paths.end(), is_folder) ||
           (std::any_of(options.packs.begin(), options.packs.end(), is_folder) &&
            lacks_words(load_shelf(read_paths(options, false).all, judging())));
}

LoadedShelf load_paths(const Options& options, bool others) {
    // The library reports a folder that cannot be read, or that holds nothing to load.
    if (!others && options.paths.size() == 1 && is_folder(options.paths.front())) {
        return load_shelf(options.paths.front(), judging());
    }
    Texts texts = read_paths(options, others);
    // To the error output, so that JSON and SARIF stay whole.
    for (const std::string& sentence : texts.replaced) {
        std::cerr << sentence << "\n";
    }
    LoadedShelf loaded = load_shelf(std::move(texts.all), judging());
    if (has_error(texts.findings)) {
        loaded.shelf.reset();
    }
    loaded.findings.insert(loaded.findings.begin(), std::make_move_iterator(texts.findings.begin()),
                           std::make_move_iterator(texts.findings.end()));
    return loaded;
}

std::string counted(std::size_t count, const std::string& what) {
    return std::to_string(count) + " " + what + (count == 1 ? "" : "s");
}

// What --mend did goes to the error output, so that JSON and SARIF stay whole.
void mend_files(const Options& options, bool others) {
    MendOptions how;
    how.load = judging();
    how.may_change = [&options](const std::string& file) { return is_named(options, file); };
#ifdef TOPRAIL_PROVING
    how.proved_equal = [](const Shelf& before, const Shelf& after) {
        return compare(before, after).settled == Settled::proved;
    };
#endif
    const Mending mending = mend(read_paths(options, others).all, how);
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
    for (const std::string& folder : options.packs) {
        if (options.packs_named && !is_folder(folder)) {
            std::cerr << "toprail: " << tell_line(folder) << " is no folder of rulepacks\n";
            return Exit::unusable;
        }
    }
    const bool others = needs_others(options);
    if (options.mend) {
        mend_files(options, others);
    }
    LoadedShelf loaded = load_paths(options, others);
    std::vector<Finding> all = std::move(loaded.findings);
    if (loaded.shelf) {
        for (Finding& finding : lint_shelf(*loaded.shelf)) {
            all.push_back(std::move(finding));
        }
    }
    std::size_t notes = 0;
    std::vector<Finding> shown;
    for (Finding& finding : all) {
        // A list lies elsewhere, and speaks of the rulepack that is named.
        const bool listed = finding.code == "listed-not-found" && !finding.others.empty() &&
                            is_named(options, finding.others.front().place.file);
        const bool here =
            listed || finding.place.file.empty() || is_named(options, finding.place.file);
        if (finding.severity == Severity::note && !options.notes) {
            notes += here ? 1U : 0U;
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
    verb->footer("Example: toprail lint rulepacks/us/federal/construction.yaml\n"
                 "         toprail lint our-overlays --packs rulepacks");
    verb->add_option("paths", options->paths, "Files and folders");
    add_packs(*verb, options->packs);
    CLI::Option* packs = verb->get_option("--packs");
    packs->description("Folder with the vocabularies and the other rulepacks, which are read but "
                       "not judged; may be given several times; a named file takes the place of "
                       "the same edition there. Not needed for a folder that "
                       "holds all it speaks of");
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
    return [options, packs] {
        options->packs_named = packs->count() > 0;
        return run(*options);
    };
}

}  // namespace toprail::command
