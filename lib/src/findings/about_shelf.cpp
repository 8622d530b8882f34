// Entry point: about_shelf. What a shelf holds and should hold.
#include "findings/about_parts.hpp"

namespace toprail {

std::vector<FindingAbout> about_shelf() {
    return {
        {"no-rulepack",
         "A shelf was loaded to decide with, and no file on it is a rulepack. Every duty would "
         "come out as not addressed, which reads as if the rules were silent where they are "
         "missing. Name the folder that holds the rulepacks. A folder of vocabularies alone can "
         "still be linted.",
         ExampleOf::none,
         {},
         {}},
        {"listed-not-found",
         "The folder has a list of what must lie in it, a file whose first key is shelf. A "
         "rulepack or vocabulary of that list is not on the shelf, or a rulepack holds fewer "
         "provisions or worked cases than listed: its file was lost, or its end was cut off. A "
         "shelf that lacks rules would answer, and more mildly than it should, so it is not "
         "made. Put the file back. If something was taken out on purpose, change the line of the "
         "list that is shown. The list guards against loss; against change on purpose by others "
         "rulepacks are signed.",
         ExampleOf::list,
         R"(shelf: Example rules
rulepacks:
  - {rulepack: example.authority, from: 2020-01-01, provisions: 2}
in-all: 1
)",
         R"(shelf: Example rules
rulepacks:
  - {rulepack: example.authority, from: 2020-01-01, provisions: 1}
in-all: 1
)"},
        {"list-behind",
         "The folder has a list of what must lie in it, and a rulepack that lies there is not on "
         "it, or holds more provisions or worked cases than listed. All is decided as it should "
         "be; but what the list does not know of can be lost without notice. Change the line, or "
         "add the one that the help gives.",
         ExampleOf::list,
         R"(shelf: Example rules
rulepacks:
  - {rulepack: example.authority, from: 2020-01-01, provisions: 0}
in-all: 1
)",
         R"(shelf: Example rules
rulepacks:
  - {rulepack: example.authority, from: 2020-01-01, provisions: 1}
in-all: 1
)"},
        {"follow-on",
         "A vocabulary or a rulepack is missing, and dozens of findings elsewhere name what it "
         "would define. They are counted and not shown, since nobody should mend them one by "
         "one: put back what is missing, which is reported first, and look again. Slips that "
         "remain are then shown each on its line.",
         ExampleOf::none,
         {},
         {}},
    };
}

}  // namespace toprail
