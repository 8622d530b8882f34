#include "editions.hpp"

#include "reading/tree.hpp"

namespace toprail::command {

std::optional<std::string> held_in(const std::string& name, const std::string& text) {
    const Source source(name, text);
    Findings ignored;
    const auto tree = read_tree(source, Limits{}, ignored);
    if (!tree || !tree->is_map()) {
        return std::nullopt;
    }
    const Node* id = tree->find("rulepack");
    if (id == nullptr) {
        const Node* vocabulary = tree->find("vocabulary");
        return vocabulary != nullptr ? std::optional("vocabulary " + vocabulary->text)
                                     : std::nullopt;
    }
    const Node* edition = tree->find("edition");
    const Node* from = edition != nullptr && edition->is_map() ? edition->find("from") : nullptr;
    return id->text + ", edition of " + (from == nullptr ? "" : from->text);
}

}  // namespace toprail::command
