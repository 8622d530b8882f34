// Entry point: about_shape. The shape of an entry: keys, values, figures, sentences.
#include "findings/about_parts.hpp"

namespace toprail {

std::vector<FindingAbout> about_shape() {
    return {
        {"wrong-shape",
         "A list stands where one text is expected, a text where keys and values are, or the "
         "like. A hyphen begins an entry of a list, a word with a colon begins a key.",
         ExampleOf::rulepack,
         R"(provisions:
  id: raised-tie-off
  cite: Example Code 1.2
  source: read
)",
         raised_tie_off},
        {"unknown-key",
         "The key is not one that may stand in this place. It may be misspelled, or indented so "
         "that it belongs to another entry. Nothing is ignored in silence: a misspelled "
         "condition would otherwise leave a rule without one.",
         ExampleOf::rulepack,
         R"(edition:
  from: 2020-01-01
  verified-trough: 2024-12-31
  verified-through: 2024-12-31
  picked-by: work-date
)",
         R"(edition:
  from: 2020-01-01
  verified-through: 2024-12-31
  picked-by: work-date
)"},
        {"missing-key",
         "A key that this entry needs is absent, or its text is empty or nothing but spaces. A "
         "provision, for one, always says "
         "where it is published (cite) and how far somebody verified that text (source).",
         ExampleOf::rulepack,
         R"(provisions:
  - id: raised-tie-off
    cite: Example Code 1.2
    where: platform-height is more than 6 ft
    gist: Above 6 ft the person is tied off.
    duty: tie-off
    calls-for: required
)",
         raised_tie_off},
        {"swallowed-key",
         "A text holds a word that is a key of the same entry, with its colon. Mostly its line is "
         "indented too far, below a text that goes on over several lines: the rule then lacks the "
         "key, and a provision without where, for one, always applies. Indent it like the other "
         "keys; where the word was meant as one of the text, write it without the colon.",
         ExampleOf::rulepack,
         R"(provisions:
  - id: raised-tie-off
    cite: Example Code 1.2
    source: read
    gist: >
      Above 6 ft the person is tied off.
      where: platform-height is more than 6 ft
    duty: tie-off
    calls-for: required
)",
         R"(provisions:
  - id: raised-tie-off
    cite: Example Code 1.2
    source: read
    gist: >
      Above 6 ft the person is tied off.
    where: platform-height is more than 6 ft
    duty: tie-off
    calls-for: required
)"},
        {"empty-list",
         "The list or map must hold something. An empty list of conditions could mean always or "
         "never, and people expect both; leave the key out, or say what belongs there.",
         ExampleOf::rulepack,
         R"(conditions:
  raised:
    reads: the platform is raised
    all-of: []
)",
         R"(conditions:
  raised:
    reads: the platform is raised
    all-of: [platform-height is more than 6 ft]
)"},
        {"bad-name",
         "Names are lower-case words and digits joined by single hyphens and begin with a "
         "letter, so that they can stand inside sentences and formulas. The id of an authority "
         "is several names joined by dots.",
         ExampleOf::rulepack,
         R"(conditions:
  Platform_Raised:
    reads: the platform is raised
    is: platform-height is more than 6 ft
)",
         R"(conditions:
  platform-raised:
    reads: the platform is raised
    is: platform-height is more than 6 ft
)"},
        {"bad-value",
         "The key takes one of a few words and this is none of them. The help lists them. For "
         "calls-for the two words are written out, required and not required, since yes and no "
         "can be read either way there.",
         ExampleOf::rulepack,
         R"(provisions:
  - id: raised-tie-off
    cite: Example Code 1.2
    source: read
    gist: The person is tied off.
    duty: tie-off
    calls-for: yes
)",
         R"(provisions:
  - id: raised-tie-off
    cite: Example Code 1.2
    source: read
    gist: The person is tied off.
    duty: tie-off
    calls-for: required
)"},
        {"bad-number",
         "The number is malformed or outside what makes sense. Ranks of standings are whole "
         "numbers from 1, the strongest, to 99.",
         ExampleOf::vocabulary, "standings:\n  municipal-code: {rank: high, may: [require]}\n",
         "standings:\n  municipal-code: {rank: 3, may: [require]}\n"},
        {"bad-date",
         "A day is written year-month-day with two figures for month and day, and it must "
         "exist. Other orders are refused, because 6/1 is June in one country and January in "
         "another.",
         ExampleOf::rulepack,
         "edition: {from: 2020-1-1, verified-through: 2024-12-31, picked-by: work-date}\n",
         "edition: {from: 2020-01-01, verified-through: 2024-12-31, picked-by: work-date}\n"},
        {"bad-figure",
         "A figure is a number followed by its unit. Words such as six are not read, since a "
         "misread "
         "figure would be worse than a refused one.",
         ExampleOf::rulepack,
         R"(conditions:
  raised:
    reads: the platform is raised
    is: platform-height is more than six ft
)",
         raised_above_6_ft},
        {"unknown-unit",
         "The word after the number is no unit that is known. Units have one spelling each: ft, "
         "not feet; lb for a mass and lbf for a force.",
         ExampleOf::rulepack,
         R"(conditions:
  raised:
    reads: the platform is raised
    is: platform-height is more than 6 feet
)",
         raised_above_6_ft},
        {"wrong-dimension",
         "Two quantities of different kinds are compared, added or mixed: a length with a force, "
         "or a force with a mass. Often the unit is the slip: lb is a mass, lbf a force.",
         ExampleOf::rulepack,
         R"(conditions:
  raised:
    reads: the platform is raised
    is: platform-height is more than 6 lb
)",
         raised_above_6_ft},
        {"bad-range",
         "A first day lies after the last, or a smallest value above the largest, so that "
         "nothing lies between. Both ends count as inside: until names the last day in force.",
         ExampleOf::rulepack,
         R"(edition:
  from: 2020-01-01
  until: 2019-12-31
  verified-through: 2024-12-31
  picked-by: work-date
)",
         R"(edition:
  from: 2020-01-01
  until: 2029-12-31
  verified-through: 2024-12-31
  picked-by: work-date
)"},
        {"bad-sentence",
         "A condition is a sentence of a fixed form, or a list under all-of, any-of or none-of. "
         "One sentence holds one comparison; what people join by and or or goes into a list, "
         "because sentences with both are read differently by different people.",
         ExampleOf::rulepack,
         R"(conditions:
  raised-or-open:
    reads: the platform is raised or its gate open
    is: platform-height is more than 6 ft or gate-open
)",
         R"(conditions:
  raised-or-open:
    reads: the platform is raised or its gate open
    any-of: [platform-height is more than 6 ft, gate-open]
)"},
        {"bad-formula",
         "A formula holds names, figures with units, + - * /, brackets, min, max and sqrt. "
         "Since names hold hyphens, a minus sign needs a space on either side.",
         ExampleOf::rulepack,
         R"(quantities:
  ring-above-floor:
    kind: length
    unit: ft
    reads: how far the ring of the harness is above the floor
    equals: 2 ft + (connector-length
)",
         R"(quantities:
  ring-above-floor:
    kind: length
    unit: ft
    reads: how far the ring of the harness is above the floor
    equals: 2 ft + connector-length
)"},
    };
}

}  // namespace toprail
