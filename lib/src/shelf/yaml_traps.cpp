// Entry points: find_yaml_traps, report_yaml_traps. Texts are read here as they stand; these are
// the ones that other programs turn into something else.
#include "shelf/yaml_traps.hpp"

#include "shelf/checks.hpp"

#include <algorithm>
#include <array>

namespace toprail {
namespace {

// What YAML 1.1 takes for true, false or nothing when it stands without quotes.
constexpr std::array<std::string_view, 24> truth_words{
    "yes", "Yes", "YES", "no", "No",   "NO",   "on",   "On",    "ON",    "off",   "Off",  "OFF",
    "y",   "Y",   "n",   "N",  "true", "True", "TRUE", "false", "False", "FALSE", "null", "~"};

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

bool among(std::string_view text, const auto& words) {
    return std::find(words.begin(), words.end(), text) != words.end();
}

// Keys whose value is a figure, a formula or a sentence.
constexpr std::array<std::string_view, 14> figure_keys{
    "at-most", "at-least", "from",    "to",     "equals",       "is",    "where",
    "all-of",  "any-of",   "none-of", "met-by", "terms-met-by", "facts", "answers"};

// Keys that take yes or no.
constexpr std::array<std::string_view, 2> yes_no_keys{"plan", "may-not-apply"};

class TrapFinder {
  public:
    explicit TrapFinder(const Model& model) : model_(model) {}

    std::vector<YamlTrap> take() { return std::move(traps_); }

    // `key` is that under which the node stands, `group` the nearest of figure_keys above it.
    // Trees are no deeper than Limits::depth.
    void visit(const Node& node, std::string_view key, std::string_view group) {
        for (const Node& item : node.items) {
            visit(item, key, group);
        }
        for (const Entry& entry : node.entries) {
            visit(entry.value, entry.key, among(entry.key, figure_keys) ? entry.key : group);
        }
        if (!node.is_text() || node.text.empty()) {
            return;
        }
        if (!group.empty()) {
            find_leading_zero(node);
        }
        if (!node.quoted) {
            find_truth_word(node, key, group);
            find_sexagesimal(node);
        }
    }

  private:
    // An unknown fact is reported as that; its value may well be yes or no.
    [[nodiscard]] bool takes_yes_or_no(std::string_view name) const {
        const auto found = model_.shared_names.find(name);
        return found == model_.shared_names.end() || found->second.kind != RefKind::fact ||
               model_.facts[found->second.index].type == FactType::yes_no;
    }

    void find_truth_word(const Node& node, std::string_view key, std::string_view group) {
        const bool expected = among(key, yes_no_keys) ||
                              ((group == "facts" || key == "value") && takes_yes_or_no(key));
        if (!expected && among(node.text, truth_words)) {
            const std::string quoted = "\"" + node.text + "\"";
            traps_.push_back({node.span, quoted + " is true, false or nothing to other programs",
                              "put it in quotes: " + quoted, quoted});
        }
    }

    void find_sexagesimal(const Node& node) {
        const std::string& text = node.text;
        const std::size_t colon = text.find(':');
        const bool digits = text.find_first_not_of("0123456789:") == std::string::npos;
        if (digits && colon != std::string::npos && colon > 0 && colon + 1 < text.size()) {
            const std::string quoted = "\"" + text + "\"";
            traps_.push_back({node.span, quoted + " is a number to base sixty to other programs",
                              "put it in quotes: " + quoted, quoted});
        }
    }

    // A figure inside a sentence or formula, or alone.
    void find_leading_zero(const Node& node) {
        const std::string& text = node.text;
        for (std::size_t at = 0; at + 1 < text.size(); ++at) {
            const bool begins =
                at == 0 || std::string_view(" ([*/+").find(text[at - 1]) != std::string_view::npos;
            if (!begins || text[at] != '0' || !is_digit(text[at + 1])) {
                continue;
            }
            const std::size_t end =
                std::min(text.find_first_not_of("0123456789.", at), text.size());
            const std::string number = text.substr(at, end - at);
            const std::size_t first = std::min(number.find_first_not_of('0'), number.size() - 1);
            const std::string meant =
                number[first] == '.' ? "0" + number.substr(first) : number.substr(first);
            const std::size_t quote = node.quoted ? 1 : 0;
            traps_.push_back({node.span.part(at + quote, number.size()),
                              "a number that begins with a zero is octal to other programs",
                              "it is read as " + meant + "; write " + meant, meant});
            at = end;
        }
    }

    const Model& model_;
    std::vector<YamlTrap> traps_;
};

}  // namespace

std::vector<YamlTrap> find_yaml_traps(const Model& model) {
    TrapFinder finder(model);
    for (const auto& tree : model.trees) {
        finder.visit(*tree, {}, {});
    }
    return finder.take();
}

void report_yaml_traps(const Model& model, Findings& findings) {
    for (const YamlTrap& trap : find_yaml_traps(model)) {
        findings.add(Kind::yaml_trap, trap.span, trap.message).help = trap.help;
    }
}

}  // namespace toprail
