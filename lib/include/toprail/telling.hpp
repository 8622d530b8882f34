// Telling a decision: text, pages and drawings for people, JSON for programs. Pure functions;
// thread-safe.
#pragma once

#include "toprail/decision.hpp"
#include "toprail/shelf.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace toprail {

/// answer: outcomes and cautions. reasons: and the provisions they rest on, in a few words each.
/// everything: every provision considered, with what made it stand or fall.
enum class Length { answer, reasons, everything };

/// A decision sheet of plain text, lines of at most about 100 characters.
std::string tell_text(const Decision& decision, const std::string& case_name,
                      const std::string& says = {}, Length length = Length::reasons);

/// A page of HTML that needs nothing else: no script, no network. It prints well, needs no colour,
/// and has the headings, landmarks and table heads that screen readers go by. `origin` stands
/// under the heading, a paragraph for each of its lines: the site, or the receipt that the page was
/// made from.
std::string tell_html(const Decision& decision, const std::string& case_name,
                      const std::string& says = {}, Length length = Length::reasons,
                      const std::string& origin = {});

/// One page for several cases, each an article under a list that leads to it, cautions included.
/// Told in pieces, so that nobody has to hold every decision at once: `begin`, then `tell` for one
/// case after the other, then `end`, written one behind the other. A case of the list that is
/// passed over stands on the page as one without an answer. Not thread-safe.
class CasesPage {
  public:
    CasesPage(std::vector<std::string> names, std::string title, Length length = Length::reasons);

    [[nodiscard]] std::string begin() const;
    /// Throws std::invalid_argument when the list has no such name behind those that were told.
    [[nodiscard]] std::string tell(const std::string& name, const Decision& decision,
                                   const std::string& says = {});
    [[nodiscard]] std::string end();

  private:
    [[nodiscard]] std::string pass_over(std::size_t until);

    std::vector<std::string> names_;
    std::string title_;
    Length length_;
    std::size_t told_ = 0;
};

/// The part of the graph that mattered, for the graphviz tools (DOT): facts, the provisions that
/// they made stand, fall or open, and the answers those bear on.
std::string draw_dot(const Decision& decision, const std::string& case_name);

/// A text of any origin on one line, as the sheet tells it: characters that hide something stand as
/// their code points, line ends as spaces, and runs of spaces as one. For hosts that print names
/// themselves.
std::string tell_line(std::string_view text);

/// Appends one JSON object to `out`. Keys stand in a fixed order; equal decisions give equal bytes.
/// The keys are described in the README under "JSON".
void append_json(std::string& out, const Decision& decision, const std::string& case_name);

/// Appends findings as a JSON array.
void append_json(std::string& out, const std::vector<Finding>& findings);

/// Appends findings as one SARIF 2.1.0 log with a single run; its rules are the kinds that occur,
/// with their explanations. Paths become URI references: relative ones stay relative.
void append_sarif(std::string& out, const std::vector<Finding>& findings);

}  // namespace toprail
