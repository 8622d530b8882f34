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


def written_for(command, lines, folder):
    facts = pathlib.Path(folder) / "lines.jsonl"
    facts.write_text("".join(json.dumps(line) + "\n" for line in lines))
    words = ["decide", "--lines", "--facts", facts, "--packs", ROOT / "rulepacks"]
    run = subprocess.run(
        [command, *words, "--on", "2024-06-01", "--authority", "us.federal.construction"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        check=False,
    )
    return [json.loads(line) for line in run.stdout.decode().splitlines()]


def main():
    _, validators = load_schemas()
    troubles = []
    lines = GOOD + BAD
    with tempfile.TemporaryDirectory() as folder:
        written = written_for(pathlib.Path(sys.argv[1]).resolve(), lines, folder)
    if [told["line"] for told in written] != list(range(1, len(lines) + 1)):
        troubles.append("not a line for every line")
    for line, told in zip(lines, written):
        wanted = line in GOOD
        if validators["lines"].is_valid(line) != wanted:
            troubles.append(f"the schema thinks otherwise of {json.dumps(line)}")
        if ("outcomes" in told) != wanted:
            troubles.append(f"the command thinks otherwise of {json.dumps(line)}: {told}")
        for error in validators["outcomes"].iter_errors(told):
            troubles.append(f"{json.dumps(told)}: {error.message[:200]}")
    mutilations = 0
    decided = next(told for told in written if "outcomes" in told and "case" in told)
    bad = next(told for told in written if "error" in told)
    for told, optional in ((decided, {"case", *decided["outcomes"]}), (bad, set())):
        found, count = refused(validators["outcomes"], told, optional)
        mutilations += count
        troubles += found
    if validators["outcomes"].is_valid({**decided, "error": "x"}):
        troubles.append("taken: a case that was decided and could not be")
    for trouble in troubles:
        print(trouble)
    print(f"{len(written)} lines, {mutilations} mutilations, {len(troubles)} troubles")
    return 1 if troubles or len(written) < 30 or mutilations < 10 else 0


if __name__ == "__main__":
    sys.exit(main())
