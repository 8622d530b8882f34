#include "commands.hpp"
#include "editions.hpp"
#include "proofs.hpp"
#include "watch.hpp"

#include <algorithm>
#include <filesystem>
#include <iostream>
#include <memory>
#include <optional>

namespace toprail::command {
namespace {

namespace fs = std::filesystem;

struct Options : ProofOptions {
    std::string before;
    std::string after;
    std::vector<std::string> packs;
    bool packs_named = false;
};

#ifdef TOPRAIL_PROVING

// A single file is compared on its shelf, in the place of every file of the same edition.
Shelf load_with(const std::string& file, const Options& options) {
    const std::size_t limit = Limits{}.bytes;
    std::vector<SourceText> texts{{file, read_input(file, limit)}};
    std::vector<std::string> replaced;
    for (const std::string& compared : {options.before, options.after}) {
        replaced.push_back(held_in(compared, read_input(compared, limit)).value_or(""));
    }
    for (const std::string& folder : options.packs) {
        for (const std::string& other : shelf_files(folder)) {
            std::error_code trouble;
            std::string text = read_input(other, limit);
            // Facts files may lie among the rulepacks; they are no part of a shelf.
            const std::optional<std::string> held = held_in(other, text);
            const bool same =
                fs::equivalent(other, file, trouble) ||
                (held && std::find(replaced.begin(), replaced.end(), *held) != replaced.end());
            if (held && !same) {
                texts.push_back({other, std::move(text)});
            }
        }
    }
    LoadedShelf loaded = load_shelf(std::move(texts));
    if (!loaded.shelf) {
        print_findings(loaded.findings);
        std::cerr << "toprail: " << file
                  << " cannot be used with the rulepacks that --packs names\n";
        throw Unusable{};
    }
    return *loaded.shelf;
}

bool comparable(const Options& options) {
    const auto authority = [](const std::string& file) {
        const std::string held = held_in(file, read_input(file, Limits{}.bytes)).value_or("");
        return held.substr(0, held.find(','));
    };
    return authority(options.before) == authority(options.after);
}

// Whoever publishes an edit must see at a glance that somewhere less is asked than before.
std::string less_of(const Comparison& comparison) {
    const bool less = std::any_of(comparison.regions.begin(), comparison.regions.end(),
                                  [](const Region& each) { return each.asks != Asks::more; });
    return less ? ", with less asked than before" : "";
}

int run(const Options& options) {
    ProveOptions how = read_proof_options(options);
    std::error_code trouble;
    const bool folders = fs::is_directory(options.before, trouble);
    if (folders != fs::is_directory(options.after, trouble)) {
        std::cerr << "toprail: compare takes two folders or two files\n";
        return Exit::unusable;
    }
    const auto load_one = [&](const std::string& path) {
        if (!folders) {
            return load_with(path, options);
        }
        // A folder is a shelf by itself, unless it was said what it lies over.
        std::vector<std::string> under =
            options.packs_named ? options.packs : std::vector<std::string>{};
        under.push_back(path);
        return load(under);
    };
    const Shelf before = load_one(options.before);
    const Shelf after = load_one(options.after);
    if (!folders && !comparable(options)) {
        std::cerr
            << "toprail: the files are of two authorities, so that one counts as gone and the "
               "other as new; to compare their rules give both one id, or ask toprail prove "
               "--at-least-as-strict\n";
    }
    Comparison comparison;
    {
        const Watch watch(options.budget);
        how.stop = watch.stop();
        how.progress = watch.progress();
        comparison = compare(before, after, how);
    }
    if (options.format == "json") {
        show_json(comparison, std::cout);
        return exit_of(comparison);
    }
    const std::size_t found = show_text(comparison, options, std::cout);
    switch (comparison.settled) {
    case Settled::proved:
        std::cout << "equal: every case comes out the same (proved); texts, remarks and cautions "
                     "were not compared\n";
        break;
    case Settled::refuted:
        std::cout << "different: " << found << (found == 1 ? " region" : " regions")
                  << less_of(comparison)
                  << (comparison.rest.empty() && !comparison.interrupted
                          ? "; every other case comes out the same (proved)\n"
                          : "\n");
        break;
    case Settled::not_settled:
        std::cout << "not settled within the time given\n";
        break;
    }
    tell_interrupted(comparison.interrupted, comparison.not_decided);
    return exit_of(comparison);
}

#endif

}  // namespace

Run add_compare(CLI::App& app) {
    auto options = std::make_shared<Options>();
    CLI::App* verb =
        app.add_subcommand("compare", "Say which cases two sets of rulepacks decide differently");
    verb->footer("Example: toprail compare rulepacks edited\n"
                 "         toprail compare rulepacks/us/state/oregon.yaml oregon-edited.yaml");
    verb->add_option("before", options->before, "Folder of rulepacks, or one rulepack")
        ->required()
        ->check(CLI::ExistingPath);
    verb->add_option("after", options->after, "The same after an edit")
        ->required()
        ->check(CLI::ExistingPath);
    add_packs(*verb, options->packs);
    verb->get_option("--packs")->description(
        "Folder of rulepacks that single files belong to, or that folders lie over; may be given "
        "several times");
    add_proof_options(*verb, *options);
#ifdef TOPRAIL_PROVING
    return [options, verb] {
        options->packs_named = verb->count("--packs") > 0;
        return run(*options);
    };
#else
    // The parser writes into the options whether or not anything reads them.
    return [options] { return without_solver(); };
#endif
}

}  // namespace toprail::command
