// Entry point: about_meaning. What a provision may say, worked cases, the facts of a case.
#include "findings/about_parts.hpp"

namespace toprail {

std::vector<FindingAbout> about_meaning() {
    return {
        {"effect-count",
         "A provision does exactly one thing, so that it can be cited, displaced and relaxed as "
         "one. A paragraph that does two becomes two provisions with one citation.",
         ExampleOf::rulepack,
         R"(provisions:
  - id: tie-off-and-limit
    cite: Example Code 1.2
    source: read
    gist: The person is tied off and falls at most 6 ft.
    duty: tie-off
    calls-for: required
    limit: connector-length
    at-most: 6 ft
)",
         R"(provisions:
  - id: tie-off
    cite: Example Code 1.2
    source: read
    gist: The person is tied off.
    duty: tie-off
    calls-for: required
  - id: longest-connector
    cite: Example Code 1.2
    source: read
    gist: The connector is at most 6 ft long.
    limit: connector-length
    at-most: 6 ft
)"},
        {"no-power",
         "What a provision may do hangs on its standing, and the vocabulary lists the powers. A "
         "company policy may ask for more than the law but cannot relax it; guidance explains "
         "and creates no duty. Use remarks-on to tell what such a source says.",
         ExampleOf::rulepack,
         R"(standing: company
provisions:
  - id: short-jobs
    cite: House rule 4
    source: read
    gist: For jobs of a few minutes nobody needs to be tied off.
    duty: tie-off
    calls-for: not required
)",
         R"(standing: company
provisions:
  - id: short-jobs
    cite: House rule 4
    source: read
    gist: Short jobs are jobs like any other.
    remarks-on: tie-off
)"},
        {"edition-overlap",
         "Two editions of one authority cover the same days, so that two texts would be the law "
         "at once. Give the earlier edition its last day, or leave until out: it then runs to "
         "the day before the next edition.",
         ExampleOf::rulepack,
         R"(edition: {from: 2014-11-30, until: 2024-12-31, verified-through: 2024-01-31, picked-by: work-date}
# and in another file
edition: {from: 2024-03-15, verified-through: 2024-12-31, picked-by: work-date}
)",
         R"(edition: {from: 2014-11-30, until: 2024-03-14, verified-through: 2024-01-31, picked-by: work-date}
# and in another file
edition: {from: 2024-03-15, verified-through: 2024-12-31, picked-by: work-date}
)"},
        {"edition-gap",
         "Between two editions lie days that neither covers, and on them the authority says "
         "nothing. That is rarely what the source says. Leave until out of the earlier edition, "
         "or check the first day of the later one.",
         ExampleOf::rulepack,
         R"(edition: {from: 2014-11-30, until: 2023-12-31, verified-through: 2023-01-31, picked-by: work-date}
# and in another file
edition: {from: 2024-03-15, verified-through: 2024-12-31, picked-by: work-date}
)",
         R"(edition: {from: 2014-11-30, verified-through: 2023-01-31, picked-by: work-date}
# and in another file
edition: {from: 2024-03-15, verified-through: 2024-12-31, picked-by: work-date}
)"},
        {"never-in-force",
         "The days on which the provision is in force all lie outside those of its edition, so "
         "it never counts. Correct its days, or move it to the edition that was in force then.",
         ExampleOf::rulepack,
         R"(provisions:
  - id: tie-off
    cite: Example Code 1.2
    source: read
    gist: The person is tied off.
    in-force: {until: 2017-01-16}
    duty: tie-off
    calls-for: required
)",
         R"(provisions:
  - id: tie-off
    cite: Example Code 1.2
    source: read
    gist: The person is tied off.
    in-force: {from: 2021-01-17}
    duty: tie-off
    calls-for: required
)"},
        {"never-true",
         "No case can make the condition true: its own parts rule each other out, or a figure "
         "lies outside the sensible range of its fact. All facts are weighed together, so this "
         "is proved rather than guessed. A rule with such a condition never applies.",
         ExampleOf::rulepack,
         R"(provisions:
  - id: tie-off
    cite: Example Code 1.2
    source: read
    where: {all-of: [platform-height is more than 10 ft, platform-height is less than 6 ft]}
    gist: Between 6 ft and 10 ft the person is tied off.
    duty: tie-off
    calls-for: required
)",
         R"(provisions:
  - id: tie-off
    cite: Example Code 1.2
    source: read
    where: {all-of: [platform-height is less than 10 ft, platform-height is more than 6 ft]}
    gist: Between 6 ft and 10 ft the person is tied off.
    duty: tie-off
    calls-for: required
)"},
        {"never-false",
         "The comparison is true in every case, since the whole range of its fact lies on one "
         "side of the figure. It asks for nothing, and what it was to leave out is not left out. "
         "Mostly the unit of the figure is the slip, such as 39 ft where 39 in was meant.",
         ExampleOf::rulepack,
         R"(conditions:
  short-connector:
    reads: the connector is short
    is: connector-length is at most 72 ft
)",
         R"(conditions:
  short-connector:
    reads: the connector is short
    is: connector-length is at most 72 in
)"},
        {"never-counts",
         "The first piece of a quantity whose where is true counts, and one without where always "
         "is. What stands behind such a piece can therefore never count. Put the piece without "
         "where last, or give it the where that it lacks.",
         ExampleOf::rulepack,
         R"(quantities:
  reach:
    kind: length
    unit: ft
    reads: how far the person can fall
    pieces:
      - equals: connector-length + 5 ft
      - where: gate-open
        equals: connector-length + 8 ft
provisions:
  - id: longest-reach
    cite: Example Code 1.4
    source: read
    gist: The person falls at most 6 ft.
    limit: reach
    at-most: 6 ft
)",
         R"(quantities:
  reach:
    kind: length
    unit: ft
    reads: how far the person can fall
    pieces:
      - where: gate-open
        equals: connector-length + 8 ft
      - equals: connector-length + 5 ft
provisions:
  - id: longest-reach
    cite: Example Code 1.4
    source: read
    gist: The person falls at most 6 ft.
    limit: reach
    at-most: 6 ft
)"},
        {"stands-twice",
         "One entry stands twice in a list: a value after is one of, a sentence under all-of, "
         "any-of or none-of, a provision that is displaced. The list says no more than with it "
         "once. Mostly a copied line was to be changed and was not, so that the rule lacks the "
         "entry that was meant and asks for less.",
         ExampleOf::rulepack,
         R"(provisions:
  - id: tie-off
    cite: Example Code 1.2
    source: read
    where: lift-mechanism is one of [telescopic-boom, telescopic-boom]
    gist: On a boom or scissor lift the person is tied off.
    duty: tie-off
    calls-for: required
)",
         R"(provisions:
  - id: tie-off
    cite: Example Code 1.2
    source: read
    where: lift-mechanism is one of [telescopic-boom, scissor]
    gist: On a boom or scissor lift the person is tied off.
    duty: tie-off
    calls-for: required
)"},
        {"may-lack-value",
         "A formula may divide by zero, or take the root of a negative number, with facts that are "
         "within their ranges. The quantity then has no value, every comparison with it is false, "
         "and a duty may fall away; the answer says so in a caution. Leave the case out where the "
         "formula stands: a range of the fact that leaves zero out, or a \"where\" that says when "
         "the formula counts, before a piece that says what holds otherwise.",
         ExampleOf::rulepack,
         R"(quantities:
  steepness:
    kind: ratio
    reads: the height over what is missing of 10 ft
    equals: platform-height / (10 ft - platform-height)
    source: inference
provisions:
  - id: steep-tie-off
    cite: Example Code 1.2
    source: read
    where: steepness is more than 2
    gist: High up the person is tied off.
    duty: tie-off
    calls-for: required
)",
         R"(quantities:
  steepness:
    kind: ratio
    reads: the height over what is missing of 10 ft
    pieces:
      - where: platform-height is less than 10 ft
        equals: platform-height / (10 ft - platform-height)
    source: inference
provisions:
  - id: steep-tie-off
    cite: Example Code 1.2
    source: read
    where:
      any-of:
        - platform-height is at least 10 ft
        - steepness is more than 2
    gist: High up the person is tied off.
    duty: tie-off
    calls-for: required
)"},
        {"never-governs",
         "Some rulepack here says which authorities govern, and none of them names this one, so "
         "its demands count in no case, unless whoever decides names it outright. A copied overlay "
         "whose id was changed at the top alone does that: governs must name the new id as well. "
         "A rulepack that is meant to be named, or to be adopted by others, says so: counts-when: "
         "named or adopted.",
         ExampleOf::rulepack,
         R"(rulepack: overlays.company-policy-quayside
provisions:
  - id: policy-counts
    cite: House rule 1
    source: read
    gist: The policy holds for all our people.
    governs: overlays.company-policy
  - id: tie-off-by-policy
    cite: House rule 2
    source: read
    gist: Everyone on a lift is tied off.
    duty: tie-off
    calls-for: required
# and in another file
rulepack: overlays.company-policy
)",
         R"(rulepack: overlays.company-policy-quayside
provisions:
  - id: policy-counts
    cite: House rule 1
    source: read
    gist: The policy holds for all our people.
    governs: overlays.company-policy-quayside
  - id: tie-off-by-policy
    cite: House rule 2
    source: read
    gist: Everyone on a lift is tied off.
    duty: tie-off
    calls-for: required
)"},
        {"odd-citation",
         "The citation breaks the form that its authority uses, so a reader may not find the "
         "paragraph: a bracket is not closed, the part or section is missing, a day does not "
         "exist. Only clear slips are told; the text itself is compared with nothing.",
         ExampleOf::rulepack,
         R"(provisions:
  - id: tie-off
    cite: 29 CFR 1926.453(b)(2)(v
    source: read
    gist: The person is tied off.
    duty: tie-off
    calls-for: required
)",
         R"(provisions:
  - id: tie-off
    cite: 29 CFR 1926.453(b)(2)(v)
    source: read
    gist: The person is tied off.
    duty: tie-off
    calls-for: required
)"},
        {"unread-mark",
         "Marks are what an answer is believed by: those that are not read make it unverified. A "
         "rulepack that says under what-was-read that nothing was cannot hold a provision marked "
         "read or read-part. Either the text was compared, and what-was-read says which and when, "
         "or the mark is lower.",
         ExampleOf::rulepack,
         R"(what-was-read: [nothing]
provisions:
  - id: tie-off
    cite: Example Code 1.2
    source: read
    gist: The person is tied off.
    duty: tie-off
    calls-for: required
)",
         R"(what-was-read: ["Example Code 1.2, on 2024-05-02"]
provisions:
  - id: tie-off
    cite: Example Code 1.2
    source: read
    gist: The person is tied off.
    duty: tie-off
    calls-for: required
)"},
        {"adopts-newest",
         "A rulepack takes over the newest edition of what it adopts, and that edition for all of "
         "its days: work from before it began is decided by it as well, with a caution. What "
         "changes on a day is therefore better written into the one edition of the adopted "
         "rulepack, as provisions with a first and a last day in force.",
         ExampleOf::rulepack,
         R"(adopts: {rulepack: example.adopted, cite: Example Code 9, source: read}
provisions:
  - id: watched
    cite: Example Code 1.3
    source: read
    gist: Somebody watches.
    remarks-on: tie-off
# and in another file
rulepack: example.adopted
edition: {from: 2019-01-01, verified-through: 2024-12-31, picked-by: work-date}
# and in another file
rulepack: example.adopted
edition: {from: 2024-03-15, verified-through: 2024-12-31, picked-by: work-date}
)",
         R"(adopts: {rulepack: example.adopted, cite: Example Code 9, source: read}
provisions:
  - id: watched
    cite: Example Code 1.3
    source: read
    gist: Somebody watches.
    remarks-on: tie-off
# and in another file
rulepack: example.adopted
edition: {from: 2019-01-01, verified-through: 2024-12-31, picked-by: work-date}
provisions:
  - id: raised-tie-off-until-2024
    cite: Example Code 1.2
    source: read
    in-force: {until: 2024-03-14}
    gist: The person is tied off.
    duty: tie-off
    calls-for: required
)"},
        {"no-worked-case",
         "A worked case holds what was once right: after an edit it tells when an answer comes "
         "out differently. The rulepack has provisions and no such case, so that a slip in it "
         "shows itself nowhere. Write down a case whose answer is known, best with one in which "
         "each provision stands and one in which it falls.",
         ExampleOf::rulepack, "worked-cases: []\n",
         R"(worked-cases:
  - name: platform at 8 ft
    facts: {platform-height: 8 ft}
    answers: {tie-off: required}
)"},
        {"case-fails",
         "The pack decides the worked case otherwise than the case says. One of the two is "
         "wrong: after an edit, this is how an unwanted change shows itself. Read the citation "
         "before changing the case.",
         ExampleOf::rulepack,
         R"(worked-cases:
  - name: platform at 8 ft
    facts: {platform-height: 8 ft}
    answers: {tie-off: not required}
)",
         R"(worked-cases:
  - name: platform at 8 ft
    facts: {platform-height: 8 ft}
    answers: {tie-off: required}
)"},
        {"case-rests-elsewhere",
         "The worked case comes out as written only while some other rulepack is on the shelf "
         "that this pack does not adopt. Where that pack is absent or changes, the case fails "
         "for a reason that cannot be seen here. Expect only what this pack decides.",
         ExampleOf::rulepack,
         R"(worked-cases:
  - name: platform at 8 ft
    facts: {platform-height: 8 ft}
    answers: {tie-off: required}
    falls: [example.federal/raised-tie-off]
# and in another file
rulepack: example.federal
)",
         R"(worked-cases:
  - name: platform at 8 ft
    facts: {platform-height: 8 ft}
    answers: {tie-off: required}
# and in another file
rulepack: example.federal
)"},
        {"yaml-trap",
         "Programs that read YAML differ in what some plain words and numbers mean: on, off, yes "
         "and no may become true or false, 010 may become 8 and 1:30 may become 90. The value is "
         "read here as it stands, but another program would see something else. "
         "Write it so that all of them agree: in quotes, or without the leading zero.",
         ExampleOf::rulepack,
         R"(conditions:
  raised:
    reads: the platform is raised
    is: platform-height is more than 010 ft
)",
         raised_above_10_ft},
        {"stale-figure",
         "The words for readers, reads or gist, tell a height, length, weight or the like, and the "
         "rule has a figure of that kind but not this one. Mostly the rule was edited and the "
         "words "
         "stayed. A text without figures is fine, and so is one that tells at least one figure of "
         "the rule. A gist may tell of more than its rule: there only words like above, at least, "
         "below or at most count.",
         ExampleOf::rulepack,
         R"(provisions:
  - id: high-tie-off
    cite: Example Code 1.2
    source: read
    where: platform-height is more than 12 ft
    gist: Above 10 ft the person is tied off.
    duty: tie-off
    calls-for: required
)",
         R"(provisions:
  - id: high-tie-off
    cite: Example Code 1.2
    source: read
    where: platform-height is more than 12 ft
    gist: Above 12 ft the person is tied off.
    duty: tie-off
    calls-for: required
)"},
        {"unknown-fact",
         "A case gives a fact that no vocabulary defines. It could decide nothing, and the fact "
         "that was meant would count as not known, so the case is refused.",
         ExampleOf::facts, "facts: {platform-hight: 14 ft}\n", "facts: {platform-height: 14 ft}\n"},
        {"unreadable-fact",
         "The value of a fact cannot be read, so the case is not decided: a guess could leave a "
         "person untied. What is not known is written as not known.",
         ExampleOf::facts, "facts: {platform-height: fourteen}\n",
         "facts: {platform-height: 14 ft}\n"},
        {"out-of-range",
         "The value lies outside the range that the vocabulary calls sensible. Often the unit is "
         "the slip, such as 140 ft where 140 in was measured.",
         ExampleOf::facts, "facts: {platform-height: 5000 ft}\n",
         "facts: {platform-height: 50 ft}\n"},
        {"cannot-be-absent",
         "The fact always applies: every lift has a platform height. Give its value, or write "
         "not known.",
         ExampleOf::facts, "facts: {platform-height: does not apply}\n",
         "facts: {platform-height: not known}\n"},
        {"before-first-edition",
         "An authority governs the case, but its oldest edition on the shelf begins after the "
         "date that picks among them. The nearest edition is never taken in silence. Check the "
         "date, or add the edition that was in force.",
         ExampleOf::rulepack,
         "edition: {from: 2026-01-01, verified-through: 2026-12-31, picked-by: work-date}\n",
         "edition: {from: 2020-01-01, verified-through: 2024-12-31, picked-by: work-date}\n"},
    };
}

}  // namespace toprail
