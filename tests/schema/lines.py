#!/usr/bin/env python3
"""The schemas of the lines that `decide --lines` reads and writes.

    lines.py BUILT-COMMAND

Lines that are valid must be decided, and lines that are not must be told as bad: the schema and the
command are asked about the same ones. Every line that is written must be valid, and one that is
mutilated must be refused.
"""

import json
import pathlib
import subprocess
import sys
import tempfile

from receipts import refused
from schemas import ROOT, load_schemas

FACTS = {"gate-open": "no", "platform-height": "14 ft", "lift-mechanism": "scissor"}
GOOD = [
    {"facts": {}},
    {"facts": FACTS},
    {"case": "", "facts": FACTS},
    {"facts": FACTS, "says": "", "case": "lift \"2\" \u00e9"},
    {"facts": {"gate-open": True}},
    {"facts": {"gate-open": False, "platform-height": None}},
    {"facts": {"gate-open": {"value": None}}},
    {"facts": {"gate-open": {"from": "", "value": "yes"}}},
    {"facts": {"gate-open": {"value": "not known", "from": 3}}},
]
# Bad by their shape alone, whatever the vocabulary.
BAD = [
    {},
    [],
    17,
    "facts",
    None,
    {"case": "a"},
    {"facts": []},
    {"facts": None},
    {"facts": "none"},
    {"case": 7, "facts": {}},
    {"case": None, "facts": {}},
    {"says": ["a"], "facts": {}},
    {"says": True, "facts": {}},
    {"side": "x", "facts": {}},
    {"facts": {"gate-open": ""}},
    {"facts": {"gate-open": []}},
    {"facts": {"gate-open": {}}},
    {"facts": {"gate-open": {"from": "me"}}},
    {"facts": {"gate-open": {"value": "yes", "who": "me"}}},
    {"facts": {"gate-open": {"value": {"value": "yes"}}}},
    {"facts": {"gate-open": {"value": "yes", "from": {}}}},
    {"facts": {"gate-open": {"value": ""}}},
    {"facts": {"Gate Open": "yes"}},
    {"facts": {"": "yes"}},
]


def written_for(command, lines, folder, *more):
    facts = pathlib.Path(folder) / "lines.jsonl"
    facts.write_text("".join(json.dumps(line) + "\n" for line in lines))
    words = ["decide", "--lines", "--facts", facts, "--packs", ROOT / "rulepacks"]
    run = subprocess.run(
        [command, *words, "--on", "2024-06-01", "--authority", "us.federal.construction", *more],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        check=False,
    )
    return [json.loads(line) for line in run.stdout.decode().splitlines()]


def disagreements(told):
    """Where the keys of a case that was decided do not fit each other, which no schema sees."""
    outcomes, possible = told["outcomes"], told.get("possible", {})
    strictest = {duty: reachable[0] for duty, reachable in possible.items()}
    if list(possible) != [duty for duty in outcomes if outcomes[duty] == "undetermined"]:
        yield f"other duties are open than are told: {told}"
    if told.get("act-as-if", {}) != strictest:
        yield f"something else to act as if than the first that is possible: {told}"


def spoilt(decided, bad):
    """Lines that are never written, made of some that were."""
    yield {**decided, "error": "x"}
    yield {**bad, "cautions": []}
    yield {**bad, "case": ""}
    settled = {duty: "required" for duty in decided["outcomes"]}
    yield {**decided, "outcomes": settled}
    for key in ("possible", "act-as-if"):
        yield {**decided, key: {}}
        yield {**{name: decided[name] for name in ("line", "outcomes", key)}, "outcomes": settled}
    duty = next(iter(decided["possible"]))
    for wrong in ([], ["required"], ["required", "required"], ["required", "undetermined"]):
        yield {**decided, "possible": {**decided["possible"], duty: wrong}}
    yield {**decided, "act-as-if": {**decided["act-as-if"], duty: "undetermined"}}


def main():
    _, validators = load_schemas()
    troubles = []
    lines = GOOD + BAD
    command = pathlib.Path(sys.argv[1]).resolve()
    with tempfile.TemporaryDirectory() as folder:
        written = written_for(command, lines, folder)
        cautioned = written_for(command, lines, folder, "--cautions")
    if [told["line"] for told in written] != list(range(1, len(lines) + 1)):
        troubles.append("not a line for every line")
    without = [{key: told[key] for key in told if key != "cautions"} for told in cautioned]
    fitting = all(("cautions" in told) == ("outcomes" in told) for told in cautioned)
    if without != written or not fitting:
        troubles.append("--cautions changes more than the cautions of decided cases")
    for line, told in zip(lines, written):
        wanted = line in GOOD
        if validators["lines"].is_valid(line) != wanted:
            troubles.append(f"the schema thinks otherwise of {json.dumps(line)}")
        if ("outcomes" in told) != wanted:
            troubles.append(f"the command thinks otherwise of {json.dumps(line)}: {told}")
        if wanted:
            troubles += disagreements(told)
    for told in written + cautioned:
        for error in validators["outcomes"].iter_errors(told):
            troubles.append(f"{json.dumps(told)}: {error.message[:200]}")
    mutilations = 0
    decided = next(told for told in cautioned if "possible" in told and "case" in told)
    bad = next(told for told in written if "error" in told and "case" in told)
    for told, optional in ((decided, {"case", "cautions", *decided["outcomes"]}), (bad, {"case"})):
        found, count = refused(validators["outcomes"], told, optional)
        mutilations += count
        troubles += found
    for line in spoilt(decided, bad):
        mutilations += 1
        if validators["outcomes"].is_valid(line):
            troubles.append(f"taken: {json.dumps(line)}")
    for trouble in troubles:
        print(trouble)
    print(f"{len(written)} lines, {mutilations} mutilations, {len(troubles)} troubles")
    return 1 if troubles or len(written) < 30 or mutilations < 30 else 0


if __name__ == "__main__":
    sys.exit(main())
