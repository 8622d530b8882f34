#!/usr/bin/env python3
"""The schemas of what the command writes: receipts, decisions, and the lines of replay.

    receipts.py BUILT-COMMAND

The golden receipts and what the command writes now must be valid. A document that is mutilated in
any of the ways of `mutilated`, at any place, must be refused.
"""

import copy
import json
import pathlib
import subprocess
import sys
import tempfile

from schemas import ROOT, load_schemas

GOLDEN = ROOT / "tests/golden"
DEMO = ["--facts", ROOT / "rulepacks/demo/site.yaml", "--packs", ROOT / "rulepacks"]
YARD = ["--facts", GOLDEN / "facts.yaml", "--packs", GOLDEN / "packs"]
# Maps whose keys are names of the rulepacks, any of which may be missing.
KEYED = {"barred", "open", "terms", "salts", "duties", "choices", "limits", "facts"}
# What a decision leaves out where there is nothing to say.
OPTIONAL_IN_DECISION = {
    "adopted-by", "adopted-from", "also-cite", "ask-next", "conditional", "contested",
    "displaced-by", "from", "if", "in-force", "since", "source-note", "terms", "value",
}


class Desk:
    """Runs the command in a folder of its own."""

    def __init__(self, command, folder):
        self.command = pathlib.Path(command).resolve()
        self.folder = pathlib.Path(folder)

    def run(self, *words):
        run = subprocess.run(
            [self.command, *words],
            cwd=self.folder,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            check=False,
        )
        return run.stdout.decode()

    def lines(self, name):
        return [json.loads(line) for line in (self.folder / name).read_text().splitlines()]


def places(document, path=()):
    """Every place of a document, by the keys that lead there."""
    yield path
    for key, value in (
        document.items()
        if isinstance(document, dict)
        else enumerate(document) if isinstance(document, list) else ()
    ):
        yield from places(value, (*path, key))


def at(document, path):
    for key in path:
        document = document[key]
    return document


def mutilated(document, optional):
    """Copies of a document with one fault each, and what was done."""
    for path in places(document):
        kinds = [("half a number in place of", lambda parent, key: parent.__setitem__(key, 0.5))]
        keyed = len(path) > 1 and isinstance(path[-2], str) and path[-2] in KEYED
        if path and isinstance(path[-1], str) and not keyed and path[-1] not in optional:
            kinds.append(("without", lambda parent, key: parent.pop(key)))
        if not path:
            continue
        for what, spoil in kinds:
            copied = copy.deepcopy(document)
            spoil(at(copied, path[:-1]), path[-1])
            yield copied, f"{what} {'/'.join(map(str, path))}"
        value = at(document, path)
        if isinstance(value, dict) and path[-1] not in KEYED:
            copied = copy.deepcopy(document)
            at(copied, path)["extra"] = "x"
            yield copied, f"an extra key in {'/'.join(map(str, path))}"


def refused(validator, document, optional):
    """Counts the mutilations; those that pass are troubles."""
    troubles, count = [], 0
    for copied, what in mutilated(document, optional):
        count += 1
        if validator.is_valid(copied):
            troubles.append(f"taken: {what}")
    return troubles, count


def main():
    _, validators = load_schemas()
    troubles = []
    counts = {"receipt": 0, "decision": 0, "replay": 0}

    def hold(kind, document, name):
        counts[kind] += 1
        for error in validators[kind].iter_errors(document):
            place = "/".join(str(part) for part in error.absolute_path)
            troubles.append(f"{name}: {place}: {error.message[:200]}")

    golden = []
    for path in sorted(GOLDEN.glob("*.receipts")):
        golden += [json.loads(line) for line in path.read_text().splitlines()]
    for receipt in golden:
        hold("receipt", receipt, "golden")

    with tempfile.TemporaryDirectory() as folder:
        desk = Desk(sys.argv[1], folder)
        on = ["--on", "2024-06-01"]
        desk.run("sign", "--new-key", "key")
        desk.run("decide", *DEMO, *on, "--receipt", "demo")
        desk.run("decide", *YARD, *on, "--receipt", "yard", "--redactable", "--sign", "key")
        (desk.folder / "one").write_text((desk.folder / "yard").read_text().splitlines()[-1])
        (desk.folder / "redacted").write_text(desk.run("redact", "--fact", "height", "one"))
        for name in ("demo", "yard", "redacted"):
            for receipt in desk.lines(name):
                hold("receipt", receipt, name)

        decisions = []
        for files in (DEMO, YARD):
            decisions.append(json.loads(desk.run("decide", *files, *on, "--format", "json")))
            hold("decision", decisions[-1], "decide --format json")

        # Receipts of every fate: the same, other under other packs, redacted, altered, unreadable.
        altered = (desk.folder / "one").read_text().replace('"spotter"', '"spotted"', 1)
        (desk.folder / "odd").write_text(f"{altered}\n{{\n")
        desk.run("decide", *YARD, *on, "--log", "log")
        replays = ["--packs", GOLDEN / "packs", "yard", "redacted", "odd", "--log", "log"]
        written = desk.run("replay", "--format", "json", *replays)
        written += desk.run("replay", "--format", "json", "--packs", ROOT / "rulepacks", "yard")
        packs = desk.folder / "packs"
        packs.mkdir()
        for path in (GOLDEN / "packs").glob("*.yaml"):
            text = path.read_text()
            (packs / path.name).write_text(text.replace("more than 30 ft", "more than 50 ft"))
        written += desk.run("replay", "--format", "json", "--against", "packs", "yard")
        lines = [json.loads(line) for line in written.splitlines()]
        for line in lines:
            hold("replay", line, "replay --format json")
        verdicts = {line["verdict"] for line in lines if "verdict" in line}
        wanted = {"identical", "differs", "redacted", "altered", "unreadable", "cannot be decided"}
        if verdicts != wanted:
            troubles.append(f"replay gave {sorted(verdicts)}")

    mutilations = 0
    told = next(line for line in lines if line.get("differences") and line["differences"][0]["by"])
    summary = next(line for line in lines if "summary" in line)
    loose = {"counts", "picked-by", "reads", "formula", "filled-in"}
    formats = {receipt["receipt"]: receipt for receipt in reversed(golden)}
    if sorted(formats) != [1, 2]:
        troubles.append(f"golden receipts of the formats {sorted(formats)}")
    for kind, document, optional in (
        ("receipt", formats[1], loose),
        ("receipt", formats[2], loose),
        ("decision", decisions[1], OPTIONAL_IN_DECISION),
        ("replay", told, set()),
        ("replay", summary, set()),
    ):
        found, count = refused(validators[kind], document, optional)
        mutilations += count
        troubles += found

    for trouble in troubles:
        print(trouble)
    print(
        f"{counts['receipt']} receipts, {counts['decision']} answers, {counts['replay']} lines of"
        f" replay, {mutilations} mutilations, {len(troubles)} troubles"
    )
    return 1 if troubles or counts["receipt"] < 15 or mutilations < 500 else 0


if __name__ == "__main__":
    sys.exit(main())
