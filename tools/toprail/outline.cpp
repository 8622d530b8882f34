// outline: what stands on a shelf, as a table in Markdown. rulepacks/README.md is made with it.
#include "commands.hpp"
#include "shelf/shelf_data.hpp"

#include <iostream>
#include <map>
#include <memory>

namespace toprail::command {
namespace {

struct Options {
    std::vector<std::string> packs;
};

// A text as one cell of a table.
std::string cell(const std::string& text) {
    std::string out;
    for (const char c : text) {
        switch (c) {
        case '|':
        case '[':
        case ']':
        case '<':
        case '\\':
            out += '\\';
            out += c;
            break;
        case '\n':
            out += ' ';
            break;
        default:
            out += c;
        }
    }
    return out;
}

std::string marks_of(const Model& model, PackId pack) {
    std::map<Mark, std::size_t> counts;
    for (const Provision& provision : model.provisions) {
        if (provision.pack == pack && provision.written_in == pack) {
            ++counts[provision.mark];
        }
    }
    std::string text;
    for (const auto& [mark, count] : counts) {
        text += (text.empty() ? "" : ", ") + std::to_string(count) + " " + std::string(word(mark));
    }
    return text.empty() ? "-" : text;
}

std::string adopted_by(const Model& model, PackId pack) {
    std::size_t count = 0;
    for (const Provision& provision : model.provisions) {
        count += provision.pack == pack && provision.written_in != pack ? 1U : 0U;
    }
    std::string text;
    for (const Adoption& adoption : model[pack].adopts) {
        text += (text.empty() ? "" : ", ") + adoption.pack.text;
    }
    return count == 0 ? "-" : std::to_string(count) + " from " + text;
}

std::string edition(const Rulepack& pack) {
    return pack.from.text() + (pack.last_day ? " to " + pack.last_day->text() : " on");
}

void print_table(const Model& model) {
    std::cout
        << "| authority | title | standing | edition | verified through | own provisions by mark | "
           "adopted | worked cases |\n|---|---|---|---|---|---|---|---|\n";
    for (const auto& [name, id] : model.authority_names) {
        for (const PackId each : model.authorities[id.value].editions) {
            const Rulepack& pack = model[each];
            std::cout << "| `" << name << "` | " << cell(pack.title) << " | " << pack.standing
                      << " | " << edition(pack) << " | "
                      << (pack.verified_through ? pack.verified_through->text() : "-") << " | "
                      << marks_of(model, each) << " | " << cell(adopted_by(model, each)) << " | "
                      << pack.cases.size() << " |\n";
        }
    }
}

void print_open_points(const Model& model) {
    for (const auto& [name, id] : model.authority_names) {
        for (const PackId each : model.authorities[id.value].editions) {
            const Rulepack& pack = model[each];
            if (pack.what_is_open.empty()) {
                continue;
            }
            std::cout << "\n**" << name << "**, edition from " << pack.from.text() << "\n\n";
            for (const std::string& point : pack.what_is_open) {
                std::cout << "- " << cell(point) << "\n";
            }
        }
    }
}

int run(const Options& options) {
    const Shelf shelf = load(options.packs);
    const Model& model = shelf.data().model;
    print_table(model);
    std::cout << "\n## What is open\n";
    print_open_points(model);
    return Exit::done;
}

}  // namespace

Run add_outline(CLI::App& app) {
    auto options = std::make_shared<Options>();
    CLI::App* verb =
        app.add_subcommand("outline", "List the rulepacks of a shelf, as a table in Markdown");
    verb->footer("Example: toprail outline --packs rulepacks");
    add_packs(*verb, options->packs);
    return [options] { return run(*options); };
}

}  // namespace toprail::command
