// Reads the keys of a map one by one and reports what is missing, misshapen or left over.
#pragma once

#include "quantity/unit.hpp"
#include "reading/sentence.hpp"
#include "reading/tree.hpp"
#include "toprail/date.hpp"

#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace toprail {

/// One pass over one map. Each `take` marks its key as expected; `finish` reports every other key.
/// Not thread-safe; the node and the collector must outlive it.
class Fields {
  public:
    /// Reports wrong-shape when `node` is no map; then every take finds nothing.
    Fields(const Node& node, std::string what, Findings& findings);

    [[nodiscard]] const Node& node() const { return node_; }
    /// From here on findings call it this, such as `the provision "tie-off"`.
    void call(std::string what) { what_ = std::move(what); }
    [[nodiscard]] bool has(std::string_view key) const { return node_.find(key) != nullptr; }

    const Node* take(std::string_view key);
    const Node* require(std::string_view key);
    /// Text values. Empty when absent, or when a list or map stands there (reported).
    std::string text(std::string_view key);
    std::string require_text(std::string_view key);
    Word word(std::string_view key);
    /// yes / no; absent means no.
    bool flag(std::string_view key);
    std::optional<Date> date(std::string_view key);
    std::optional<Figure> figure(std::string_view key);
    /// A list of texts; one text alone counts as a list of one.
    std::vector<Word> words(std::string_view key);
    /// One of the allowed words; reports bad-value and gives nothing otherwise.
    std::optional<std::size_t> one_of(std::string_view key,
                                      const std::vector<std::string>& allowed);
    /// The same, and a missing key is reported with the words that it takes.
    std::optional<std::size_t> require_one_of(std::string_view key,
                                              const std::vector<std::string>& allowed);
    const Node* map(std::string_view key);
    const Node* list(std::string_view key);

    /// Reports the keys that nobody took.
    void finish();

    /// Reports texts in which one of the keys stands, as it does when its line is indented below
    /// the text of another key. Every key of the map was taken, even where it is absent.
    void report_swallowed();

  private:
    void report_swallowed(const std::string& key, const Node& text);
    const Node* shaped(std::string_view key, Node::Shape shape);

    const Node& node_;
    std::string what_;
    Findings& findings_;
    std::vector<std::string> expected_;
};

/// What to do about a text that is no day; names the day that was meant when that is plain.
std::string date_help(std::string_view text);

std::optional<Date> read_date(const Node& node, Findings& findings);
std::optional<Figure> read_figure_node(const Node& node, Findings& findings);
/// Reports why a text is no figure of that kind; gives it otherwise.
std::optional<Figure> figure_of(const Word& word, Findings& findings);

}  // namespace toprail
