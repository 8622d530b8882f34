// Entry points: load_shelf, load_folders, build_shelf. From texts to a program: reading, rulepack,
// graph, program.
#include "rulepack/read_parts.hpp"
#include "rulepack/resolve.hpp"
#include "shelf/build.hpp"
#include "shelf/follow_on.hpp"
#include "shelf/shelf_data.hpp"
#include "shelf/shelf_list.hpp"
#include "toprail/shelf.hpp"

#include <spdlog/logger.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <system_error>

namespace toprail {
namespace {

namespace fs = std::filesystem;

bool belongs_on_shelf(const Node& root) {
    return root.is_map() && (root.find("vocabulary") != nullptr ||
                             root.find("rulepack") != nullptr || is_shelf_list(root));
}

std::optional<std::string> read_file(const fs::path& path, std::size_t limit) {
    std::ifstream stream(path, std::ios::binary);
    if (!stream) {
        return std::nullopt;
    }
    // One byte past the limit is enough for the reader to refuse the file.
    std::string bytes;
    std::string buffer(1U << 16U, '\0');
    while (stream && bytes.size() <= limit) {
        stream.read(buffer.data(), static_cast<std::streamsize>(buffer.size()));
        bytes.append(buffer.data(), static_cast<std::size_t>(stream.gcount()));
    }
    return stream.bad() ? std::nullopt : std::optional(std::move(bytes));
}

void report_unreadable(const std::string& name, const std::string& why, Findings& findings) {
    findings.add(Kind::unreadable_file, {}, why).place.file = name;
}

std::string in_small_letters(std::string text) {
    std::transform(text.begin(), text.end(), text.begin(), [](char c) {
        return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    });
    return text;
}

std::vector<std::string> yaml_files(const std::string& folder, Findings& findings) {
    std::vector<std::string> paths;
    std::error_code trouble;
    fs::recursive_directory_iterator it(folder, trouble);
    for (; !trouble && it != fs::recursive_directory_iterator(); it.increment(trouble)) {
        if (it->is_directory(trouble) && it->path().filename() == templates_folder) {
            it.disable_recursion_pending();
        }
        const std::string ending = it->path().extension().generic_string();
        if (ending != ".yaml") {
            // A rulepack that is passed over for its name would be a milder answer.
            if (const std::string small = in_small_letters(ending);
                small == ".yaml" || small == ".yml") {
                report_unreadable(it->path().generic_string(),
                                  "it would be passed over: files of rulepacks end in .yaml",
                                  findings);
            }
            continue;
        }
        // Neither a link that leads nowhere nor a pipe may pass for a pack that is not there: a
        // shelf that lacks it would answer, and answer otherwise.
        std::error_code unknown;
        const fs::file_type type = it->status(unknown).type();
        if (type == fs::file_type::regular) {
            paths.push_back(it->path().generic_string());
        } else if (type != fs::file_type::directory) {
            report_unreadable(it->path().generic_string(),
                              unknown ? "the link leads to no file: " + unknown.message()
                                      : "this is not a file that can be read",
                              findings);
        }
    }
    if (trouble) {
        report_unreadable(folder, "the folder cannot be read: " + trouble.message(), findings);
    }
    std::sort(paths.begin(), paths.end());
    return paths;
}

// Reads one text; keeps it when it is a vocabulary, a rulepack or a list of these. False when it
// could not be read. A text that is `wanted` by name and none of them is reported.
bool parse(std::string name, std::string text, bool wanted, const LoadOptions& options,
           std::vector<Parsed>& files, Findings& findings) {
    auto source = std::make_shared<const Source>(std::move(name), std::move(text));
    auto tree = read_tree(*source, options.limits, findings);
    if (!tree) {
        return false;
    }
    if (!belongs_on_shelf(*tree)) {
        if (wanted) {
            findings
                .add(Kind::missing_key, tree->span, "this is neither a rulepack nor a vocabulary")
                .help = "its first key must be rulepack or vocabulary";
        }
        return true;
    }
    const std::string refusal =
        options.approve ? options.approve({source->name(), source->bytes()}) : std::string{};
    if (!refusal.empty()) {
        findings.add(Kind::not_approved, {}, refusal).place.file = source->name();
        return false;
    }
    files.push_back({std::move(source), std::make_shared<const Node>(std::move(*tree))});
    return true;
}

// What the lists say must be there, and that there is something to decide with.
void check_what_is_there(const std::vector<Parsed>& files, const Model& model,
                         const LoadOptions& options, Findings& findings) {
    for (const Parsed& file : files) {
        if (is_shelf_list(*file.root)) {
            check_shelf_list(*file.root, model, options.for_deciding, findings);
        }
    }
    // What could not be read, or is missing from a list, says more.
    if (options.for_deciding && model.packs.empty() && !findings.any_error()) {
        findings
            .add(Kind::no_rulepack, {},
                 model.vocabularies.empty()
                     ? "there is no rulepack here"
                     : "there are vocabularies here, but no rulepack: nothing could be decided")
            .help = "name the folder that holds the rulepacks; one that should be here may be lost";
    }
}

}  // namespace

LoadedShelf build_shelf(const std::vector<Parsed>& files, Findings& findings,
                        const LoadOptions& options, bool complete) {
    auto data = std::make_shared<ShelfData>();
    Model& model = data->model;
    for (const Parsed& file : files) {
        if (is_shelf_list(*file.root)) {
            continue;
        }
        model.sources.push_back(file.source);
        model.trees.push_back(file.root);
        if (file.root->find("vocabulary") != nullptr && file.root->find("rulepack") == nullptr) {
            read_vocabulary(*file.root, model, findings);
        }
    }
    for (const Parsed& file : files) {
        if (file.root->find("rulepack") != nullptr) {
            read_rulepack(file.source, file.root, model, findings);
        }
    }
    // Names that stand in a file that cannot be read would all seem unknown: first things first.
    if (complete) {
        check_what_is_there(files, model, options, findings);
        resolve(model, findings);
        data->graph = build_dependencies(model);
        report_circles(model, data->graph, findings);
    }
    LoadedShelf loaded;
    const bool sound = !findings.any_error();
    loaded.findings = findings.take();
    tell_cause_first(loaded.findings);
    if (sound) {
        data->program = lower(model, data->graph);
        loaded.shelf.emplace(std::move(data));
    }
    if (options.logger && loaded.shelf) {
        const Program& program = loaded.shelf->data().program;
        options.logger->info("loaded {} packs with {} provisions as {} truth nodes",
                             loaded.shelf->data().model.packs.size(),
                             loaded.shelf->data().model.provisions.size(), program.nodes.size());
    }
    return loaded;
}

std::vector<std::string> shelf_files(const std::string& folder) {
    std::vector<Finding> ignored;
    return shelf_files(folder, ignored);
}

std::vector<std::string> shelf_files(const std::string& folder, std::vector<Finding>& findings) {
    Findings found;
    std::vector<std::string> paths = yaml_files(folder, found);
    for (Finding& finding : found.take()) {
        findings.push_back(std::move(finding));
    }
    return paths;
}

LoadedShelf load_folders(const std::vector<std::string>& folders, const LoadOptions& options) {
    Findings findings(options.limits.findings);
    std::vector<Parsed> files;
    bool complete = true;
    for (const std::string& folder : folders) {
        const std::size_t before = files.size();
        for (const std::string& path : yaml_files(folder, findings)) {
            if (auto bytes = read_file(path, options.limits.bytes)) {
                complete &= parse(path, std::move(*bytes), false, options, files, findings);
            } else {
                complete = false;
                report_unreadable(path, "the file cannot be read", findings);
            }
        }
        if (files.size() == before && !findings.any_error()) {
            report_unreadable(folder, "no rulepack or vocabulary was found below this folder",
                              findings);
        }
    }
    return build_shelf(files, findings, options, complete);
}

LoadedShelf load_shelf(const std::string& folder, const LoadOptions& options) {
    return load_folders({folder}, options);
}

LoadedShelf load_shelf(std::vector<SourceText> texts, const LoadOptions& options) {
    Findings findings(options.limits.findings);
    std::vector<Parsed> files;
    bool complete = true;
    for (SourceText& text : texts) {
        complete &= parse(std::move(text.name), std::move(text.text), !text.found, options, files,
                          findings);
    }
    return build_shelf(files, findings, options, complete);
}

}  // namespace toprail
