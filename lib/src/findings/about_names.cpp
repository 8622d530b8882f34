// Entry point: about_names. Names and what they stand for.
#include "findings/about_parts.hpp"

namespace toprail {

std::vector<FindingAbout> about_names() {
    return {
        {"unknown-name",
         "The name is neither a fact, condition or quantity of the vocabulary nor one of this "
         "pack or of those it adopts. The nearest known name is offered. A new fact is added to "
         "a vocabulary, with the question that asks for it.",
         ExampleOf::rulepack,
         R"(conditions:
  raised:
    reads: the platform is raised
    is: platform-hight is more than 6 ft
)",
         raised_above_6_ft},
        {"name-taken",
         "The name is defined twice, so nobody could say which of the two a rule means. Names of "
         "the vocabulary count for every pack; provisions need distinct ids within their pack.",
         ExampleOf::rulepack,
         R"(conditions:
  gate-open:
    reads: the platform is open somewhere
    is: guardrail is not complete
)",
         R"(conditions:
  platform-open:
    reads: the platform is open somewhere
    is: guardrail is not complete
)"},
        {"unknown-value",
         "The fact or choice cannot have this value; the help lists those it can have. Values "
         "are defined in the vocabulary, so that packs and facts mean the same by them.",
         ExampleOf::rulepack,
         R"(conditions:
  open-platform:
    reads: the platform is open somewhere
    is: guardrail is incomplete
)",
         R"(conditions:
  open-platform:
    reads: the platform is open somewhere
    is: guardrail is not complete
)"},
        {"unknown-provision",
         "A provision is named that the pack does not have. One of another authority is named "
         "with its id in front: authority/provision. If it was renamed, rename it here as well; "
         "if it was taken out, what leaned on it no longer makes sense.",
         ExampleOf::rulepack,
         R"(provisions:
  - id: raised-tie-off
    cite: Example Code 1.2
    source: read
    gist: The person is tied off.
    displaces: [older-rule]
    duty: tie-off
    calls-for: required
)",
         R"(provisions:
  - id: older-rule
    cite: Example Code 1.1
    source: read
    gist: On a scissor lift nobody needs to be tied off.
    where: lift-mechanism is scissor
    duty: tie-off
    calls-for: not required
  - id: raised-tie-off
    cite: Example Code 1.2
    source: read
    gist: The person is tied off.
    displaces: [older-rule]
    duty: tie-off
    calls-for: required
)"},
        {"unknown-authority",
         "An authority is named whose rulepack is not on the shelf. When a single file is "
         "linted, the folder with the other packs is given with --packs.",
         ExampleOf::rulepack,
         "adopts: {rulepack: example.federal, cite: Example Code 1.1, source: read}\n"
         "provisions: []\n",
         R"(adopts: {rulepack: example.federal, cite: Example Code 1.1, source: read}
provisions: []
# and in another file
rulepack: example.federal
)"},
        {"unknown-vocabulary",
         "The pack says that it uses the words of a vocabulary which is not on the shelf. "
         "Vocabularies are files of their own whose first key is vocabulary.",
         ExampleOf::rulepack, "vocabulary: [lift]\n", "vocabulary: [lifts]\n"},
        {"wrong-use",
         "The name exists but is of a type that does not allow this: a height is more or less "
         "than a figure, a choice has values, a yes-no fact or a condition is true or not. The "
         "help shows how the name can be used.",
         ExampleOf::rulepack,
         R"(conditions:
  raised:
    reads: the platform is raised
    is: platform-height
)",
         raised_above_6_ft},
        {"unused-condition",
         "The condition decides nothing: no provision, quantity or other condition speaks of it. "
         "Either it was left over, or a rule that should use it does not.",
         ExampleOf::rulepack,
         R"(conditions:
  raised:
    reads: the platform is raised
    is: platform-height is more than 6 ft
provisions:
  - id: tie-off
    cite: Example Code 1.2
    source: read
    gist: The person is tied off.
    duty: tie-off
    calls-for: required
)",
         R"(conditions:
  raised:
    reads: the platform is raised
    is: platform-height is more than 6 ft
provisions:
  - id: tie-off
    cite: Example Code 1.2
    source: read
    where: raised
    gist: Above 6 ft the person is tied off.
    duty: tie-off
    calls-for: required
)"},
        {"unused-quantity",
         "The quantity is computed but nothing compares, limits or tells it. Either it was left "
         "over, or a rule that should use it does not.",
         ExampleOf::rulepack,
         R"(quantities:
  reach:
    kind: length
    unit: ft
    reads: how far the person can fall
    equals: connector-length + 5 ft
provisions: []
)",
         R"(quantities:
  reach:
    kind: length
    unit: ft
    reads: how far the person can fall
    equals: connector-length + 5 ft
provisions:
  - id: longest-reach
    cite: Example Code 1.4
    source: read
    gist: The person falls at most 6 ft.
    limit: reach
    at-most: 6 ft
)"},
        {"unused-fact",
         "No rulepack of the folder asks for this fact. That is no mistake, since other packs "
         "may; but a person would be asked for nothing.",
         ExampleOf::vocabulary,
         R"(facts:
  paint-colour:
    type: choice
    values: [yellow, red]
    reads: the colour of the lift
    ask: What colour is the lift?
    why: Nobody can tell.
)",
         "title: Words that are used\n"},
        {"circle",
         "Conditions or quantities depend on themselves, over the names that are listed, so that "
         "none of them can be worked out first. Packs that adopt each other do the same.",
         ExampleOf::rulepack,
         R"(conditions:
  raised:
    reads: the platform is raised
    any-of: [platform-height is more than 6 ft, exposed]
  exposed:
    reads: the person could fall
    all-of: [raised, gate-open]
)",
         R"(conditions:
  raised:
    reads: the platform is raised
    is: platform-height is more than 6 ft
  exposed:
    reads: the person could fall
    all-of: [raised, gate-open]
)"},
        {"displacement-circle",
         "Provisions displace each other in a circle, so that which of them counts would depend "
         "on where one begins. Take out the displacement that is wrong, or narrow the conditions "
         "and displace nothing.",
         ExampleOf::rulepack,
         R"(provisions:
  - id: general
    cite: Example Code 1.1
    source: read
    gist: The person is tied off.
    displaces: [scissor]
    duty: tie-off
    calls-for: required
  - id: scissor
    cite: Example Code 1.2
    source: read
    where: lift-mechanism is scissor
    gist: On a scissor lift nobody needs to be tied off.
    displaces: [general]
    duty: tie-off
    calls-for: not required
)",
         R"(provisions:
  - id: general
    cite: Example Code 1.1
    source: read
    gist: The person is tied off.
    duty: tie-off
    calls-for: required
  - id: scissor
    cite: Example Code 1.2
    source: read
    where: lift-mechanism is scissor
    gist: On a scissor lift nobody needs to be tied off.
    displaces: [general]
    duty: tie-off
    calls-for: not required
)"},
    };
}

}  // namespace toprail
