#include "commands.hpp"
#include "proofs.hpp"
#include "reading/tree.hpp"
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
    std::string packs = usual_packs;
};

#ifdef TOPRAIL_PROVING

// The authority and first day of a rulepack, empty for a vocabulary; nothing for other files.
std::optional<std::string> edition_of(const std::string& name, const std::string& text) {
    const Source source(name, text);
    Findings ignored;
    const auto tree = read_tree(source, Limits{}, ignored);
    if (!tree || !tree->is_map()) {
        return std::nullopt;
    }
    const Node* id = tree->find("rulepack");
    if (id == nullptr) {
        return tree->find("vocabulary") != nullptr ? std::optional(std::string{}) : std::nullopt;
    }
    const Node* edition = tree->find("edition");
    const Node* from = edition != nullptr && edition->is_map() ? edition->find("from") : nullptr;
    return id->text + "@" + (from == nullptr ? "" : from->text);
}

// A single file is compared on its shelf, in the place of every file of the same edition.
Shelf load_with(const std::string& file, const Options& options) {
    const std::size_t limit = Limits{}.bytes;
    std::vector<SourceText> texts{{file, read_input(file, limit)}};
    std::vector<std::string> replaced;
    for (const std::string& compared : {options.before, options.after}) {
        replaced.push_back(edition_of(compared, read_input(compared, limit)).value_or(""));
    }
    for (const std::string& other : shelf_files(options.packs)) {
        std::error_code trouble;
        std::string text = read_input(other, limit);
        // Facts files may lie among the rulepacks; they are no part of a shelf.
        const std::optional<std::string> edition = edition_of(other, text);
        const bool same = fs::equivalent(other, file, trouble) ||
                          (edition && !edition->empty() &&
                           std::find(replaced.begin(), replaced.end(), *edition) != replaced.end());
        if (edition && !same) {
            texts.push_back({other, std::move(text)});
        }
    }
    LoadedShelf loaded = load_shelf(std::move(texts));
    if (!loaded.shelf) {
        print_findings(loaded.findings);
        std::cerr << "toprail: " << file << " cannot be used with the rulepacks in "
                  << options.packs << "\n";
        throw Unusable{};
    }
    return *loaded.shelf;
}

int run(const Options& options) {
    ProveOptions how = read_proof_options(options);
    std::error_code trouble;
    const bool folders = fs::is_directory(options.before, trouble);
    if (folders != fs::is_directory(options.after, trouble)) {
        std::cerr << "toprail: compare takes two folders or two files\n";
        return Exit::unusable;
    }
    const Shelf before = folders ? load({options.before}) : load_with(options.before, options);
    const Shelf after = folders ? load({options.after}) : load_with(options.after, options);
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
        std::cout << "equal: every case comes out the same (proved)\n";
        break;
    case Settled::refuted:
        std::cout << "different: " << found << (found == 1 ? " region" : " regions")
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
    verb->add_option("--packs", options->packs, "Folder of rulepacks that single files belong to")
        ->capture_default_str();
    add_proof_options(*verb, *options);
#ifdef TOPRAIL_PROVING
    return [options] { return run(*options); };
#else
    return without_solver;
#endif
}

}  // namespace toprail::command
