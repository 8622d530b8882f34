// Entry point: about_text. The file and its YAML.
#include "findings/about_parts.hpp"

namespace toprail {

std::vector<FindingAbout> about_text() {
    return {
        {"unreadable-file",
         "The file or folder could not be opened, or reading it broke off. Nothing in it was "
         "looked at. Check how the path is spelled and who may read the file.",
         ExampleOf::none,
         {},
         {}},
        {"not-approved",
         "This program loads only packs and vocabularies that were approved: whoever may approve "
         "them signs their bytes, and the signature stands beside the file. The file has no such "
         "signature, or it was changed after it was signed. Let somebody who may approve it look "
         "at "
         "it and sign it again.",
         ExampleOf::none,
         {},
         {}},
        {"too-large",
         "A file beyond the limit is refused before it is read, so that a wrong or hostile file "
         "cannot use up the machine. A rulepack of ten thousand provisions stays well below it. "
         "Split the file, or take out what is no rule.",
         ExampleOf::none,
         {},
         {}},
        {"not-utf8",
         "Rulepacks are UTF-8, so that every machine shows the same characters. Text pasted from "
         "an older program often brings quotes or section signs in another encoding. Save the "
         "file as UTF-8 and look at the marked place.",
         ExampleOf::none,
         {},
         {}},
        {"control-character",
         "Some characters are invisible or turn the direction of what follows. With them a line "
         "can show another rule than the one that is read, so they are refused. They usually "
         "come along when text is copied from a web page.",
         ExampleOf::rulepack, "title: Rules for lifts\u200b in the yard\n",
         "title: Rules for lifts in the yard\n"},
        {"not-yaml",
         "The text breaks a rule of YAML, so the rest of the file cannot be understood. Most "
         "often a bracket or a quote is not closed, a line is indented by one space too many, or "
         "a text holds a colon and a space and needs quotes. The mistake may stand one line "
         "above the marked place.",
         ExampleOf::rulepack, "title: Rules for lifts: boom and scissor\n",
         "title: \"Rules for lifts: boom and scissor\"\n"},
        {"several-documents",
         "Three hyphens on a line begin a second document. A file holds one rulepack or one "
         "vocabulary, so that its name says what is in it.",
         ExampleOf::rulepack, "title: Rules for lifts\n---\n", "title: Rules for lifts\n"},
        {"too-deep",
         "Lists and maps stand inside each other more deeply than any rule needs. Give the inner "
         "part a name under conditions and use the name; the rule becomes easier to read as "
         "well.",
         ExampleOf::none,
         {},
         {}},
        {"too-many-nodes",
         "The file holds more keys and values than the limit, or one choice more values than a "
         "person could pick from. Split the file by subject; files of one authority may adopt "
         "each other.",
         ExampleOf::none,
         {},
         {}},
        {"long-text",
         "One text is longer than anything a rule needs to say. A quote that was not closed "
         "swallows the lines below it and is the usual cause.",
         ExampleOf::none,
         {},
         {}},
        {"too-many-findings",
         "Of the findings of one file a limited number is told, so that a file that is wrong from "
         "end to end cannot fill the screen or the memory; the rest is counted. An error among "
         "those that are not shown makes this an error too. Mend what is shown, and look again.",
         ExampleOf::none,
         {},
         {}},
        {"too-many-cases",
         "The facts file holds more cases than the limit. Each is decided with its whole trail, "
         "which takes up to a second where little is known of it. Split the file; for thousands of "
         "cases write one a line and decide them with --lines, which gives the outcomes alone.",
         ExampleOf::none,
         {},
         {}},
        {"duplicate-key",
         "A key stands twice in one map. Programs differ in which of the two they keep, so one "
         "rule would mean different things in different hands. Keep one of them.",
         ExampleOf::rulepack,
         R"(conditions:
  raised:
    reads: the platform is raised
    is: platform-height is more than 6 ft
    is: platform-height is more than 10 ft
)",
         raised_above_10_ft},
        {"alias",
         "An asterisk stands for a value written elsewhere. A reader of one rule would have to "
         "find that other place, and a change there would change this rule unseen. Give the "
         "shared part a name under conditions instead.",
         ExampleOf::rulepack,
         R"(conditions:
  raised:
    reads: the platform is raised
    is: &above platform-height is more than 6 ft
  raised-and-open:
    reads: the platform is raised and its gate open
    all-of: [*above, gate-open]
)",
         R"(conditions:
  raised:
    reads: the platform is raised
    is: platform-height is more than 6 ft
  raised-and-open:
    reads: the platform is raised and its gate open
    all-of: [raised, gate-open]
)"},
        {"anchor",
         "An ampersand names a value so that an alias can repeat it. Neither is part of the "
         "rulepack language; conditions and quantities have names of their own. A text that "
         "really begins with an ampersand needs quotes.",
         ExampleOf::rulepack, "title: &name Rules for lifts\n", "title: Rules for lifts\n"},
        {"tag",
         "An exclamation mark forces a type on a value. The key already says what is expected, "
         "and a figure always carries its unit, so a tag can only contradict.",
         ExampleOf::rulepack, "format: !!int 1\n", "format: 1\n"},
        {"merge-key",
         "A merge key copies one map into another. What the rule says would then stand in two "
         "places. Write the keys out.",
         ExampleOf::rulepack,
         "edition: {<<: {from: 2020-01-01}, verified-through: 2024-12-31, picked-by: work-date}\n",
         "edition: {from: 2020-01-01, verified-through: 2024-12-31, picked-by: work-date}\n"},
        {"complex-key",
         "A key is a list or a map, where a word is expected. A question mark or a bracket at "
         "the start of the line is the usual cause.",
         ExampleOf::rulepack,
         R"(conditions:
  [raised, open]:
    reads: the platform is raised
    is: platform-height is more than 6 ft
)",
         raised_above_6_ft},
    };
}

}  // namespace toprail
