"""Decides the conformance cases with the command, through C, and in the languages that are named;
receipts and findings must be the same, byte for byte.

    run.py COMMAND C_PROGRAM [--python] [--node NODE]      from the root of the sources
"""

import argparse
import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path

import yaml

HERE = Path(__file__).resolve().parent


def load(path):
    # Every value as the text that was written: `yes` stays yes, 2024-06-01 stays a text.
    return yaml.load(Path(path).read_text(encoding="utf-8"), Loader=yaml.BaseLoader)


def cases_of(plan):
    for group in plan["from"]:
        entries = {each.get("case", each.get("name")): each for each in load(group["file"])["cases"]}
        for name in group["cases"]:
            found = entries[name]
            yield {"case": name, "on": found.get("on", group.get("on")), "facts": found["facts"],
                   "authorities": found.get("authorities", [])}
    yield from plan["own"]


def told(value):
    """Value and source of a fact."""
    return (value["value"], value.get("from", "")) if isinstance(value, dict) else (value, "")


def by_command(command, case):
    with tempfile.TemporaryDirectory() as folder:
        facts = Path(folder, "facts.json")
        facts.write_text(json.dumps({"site": "", "cases": [
            {"case": case["case"], "facts": case["facts"]}]}), encoding="utf-8")
        receipt = Path(folder, "receipt")
        done = subprocess.run(
            [command, "decide", "--facts", facts, "--on", case["on"], "--receipt", receipt,
             *(f"--authority={each}" for each in case.get("authorities", []))],
            capture_output=True)
        if done.returncode == 2:
            return None
        assert done.returncode in (0, 3), done.stderr.decode()
        return receipt.read_bytes().rstrip(b"\n")


def by_c(program, cases):
    """One line for each case: its receipt, or the codes of its findings."""
    lines = []
    for case in cases:
        for name, value in case["facts"].items():
            lines.append(["fact", name, *told(value)])
        for each in case.get("authorities", []):
            lines.append(["authority", each])
        lines.append(["decide", case["on"], case["case"]])
    script = b"".join(part.encode() + b"\0" for line in lines for part in line)
    done = subprocess.run([program, "rulepacks"], input=script, capture_output=True)
    assert done.returncode == 0, done.stderr.decode()
    answers = done.stdout.split(b"\n")[:-1]
    assert len(answers) == len(cases)
    return answers


def in_python(value):
    """The value as Python code would give it."""
    words = {"yes": True, "no": False, "not known": None}
    plain, source = told(value)
    plain = words.get(plain, plain)
    return {"value": plain, "from": source} if source else plain


def by_python(cases):
    import toprail

    maker = toprail.ReceiptMaker(toprail.load("rulepacks"))
    answers = []
    for case in cases:
        facts = {name: in_python(value) for name, value in case["facts"].items()}
        try:
            answers.append(maker.make(facts, case["on"], case["case"],
                                      authorities=case.get("authorities", [])))
        except toprail.FindingsError as error:
            answers.append(" ".join(each.code for each in error.findings).encode())
    return answers


def by_node(node, cases):
    done = subprocess.run([node, HERE / "through_node.js"], input=json.dumps(cases).encode(),
                          capture_output=True)
    assert done.returncode == 0, done.stderr.decode()
    return [answer.encode() for answer in json.loads(done.stdout)]


def arguments():
    parser = argparse.ArgumentParser()
    parser.add_argument("command", type=os.path.abspath)
    parser.add_argument("c_program", type=os.path.abspath)
    parser.add_argument("--python", action="store_true")
    parser.add_argument("--node")
    return parser.parse_args()


def main():
    given = arguments()
    plan = load(HERE / "cases.yaml")
    decided, unusable = list(cases_of(plan)), plan["unusable"]
    assert len(decided) >= 12
    ways = {"C": by_c(given.c_program, decided + unusable)}
    if given.python:
        ways["Python"] = by_python(decided + unusable)
    if given.node:
        ways["Node"] = by_node(given.node, decided + unusable)
    wrong = 0
    for number, case in enumerate(decided + unusable):
        expected = by_command(given.command, case)
        usable = number < len(decided)
        if usable != (expected is not None):
            wrong += 1
            print(f"{case['case']}: the command {'gives no' if usable else 'gives a'} receipt")
            continue
        # Findings have no receipt to hold them against: the ways are held against each other.
        expected = expected or ways["C"][number]
        for way, answers in ways.items():
            if answers[number] != expected or not expected.startswith(b"{") == usable:
                wrong += 1
                print(f"{case['case']}: {way} gives\n  {answers[number][:400]}\nand not\n  {expected[:400]}")
    print(f"{len(decided)} receipts and {len(unusable)} refusals: command, {', '.join(ways)}; {wrong} differ")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
