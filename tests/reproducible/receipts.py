#!/usr/bin/env python3
"""Makes receipts of many cases over the shipped rulepacks, and prints one digest of all of them.

    receipts.py [--every N] [--mutants N] [--keep FOLDER] COMMAND [WORD...]

Two builds that print the same line made the same receipts, byte for byte. The cases are the worked
cases of the rulepacks, the published ones, and N mutants of each, by a fixed seed; with --every only
those of each Nth day and set of authorities, for the shelf is read for each. COMMAND may be several
words: an emulator and what it needs. With --keep the receipts stay in FOLDER, a file for each day.
"""

import argparse
import collections
import hashlib
import json
import pathlib
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tests/answersets"))

import cases as sources  # noqa: E402
from hold import early  # noqa: E402
from program import Program  # noqa: E402
from shelf import Shelf  # noqa: E402

PACKS = ROOT / "rulepacks"


def groups(mutants):
    """The cases that can be decided, by who governs and on which day."""
    shelf = Shelf(PACKS)
    mutator = sources.Mutator(shelf, 1)
    families = collections.defaultdict(list)
    for case in [*sources.worked_cases(shelf), *sources.published_cases(ROOT / "tests/published")]:
        families[case.authorities].append(case)
    by_day = collections.defaultdict(list)
    for authorities, family in sorted(families.items()):
        program = Program(shelf, authorities, named=bool(authorities))
        for case in family + [mutator.mutant(case, program, number) for case in family
                              for number in range(mutants)]:
            if not early(shelf, authorities, case):
                by_day[authorities, case.on].append(case)
    return sorted(by_day.items())


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--every", type=int, default=1)
    parser.add_argument("--mutants", type=int, default=0)
    parser.add_argument("--keep", type=pathlib.Path)
    parser.add_argument("command", nargs=argparse.REMAINDER)
    options = parser.parse_args()
    digest, receipts, size = hashlib.sha256(), 0, 0
    with tempfile.TemporaryDirectory() as scratch:
        folder = options.keep or pathlib.Path(scratch)
        folder.mkdir(parents=True, exist_ok=True)
        made_for = groups(options.mutants)[::options.every]
        for number, ((authorities, on), cases) in enumerate(made_for):
            into = folder / f"{number}.receipts"
            into.unlink(missing_ok=True)
            words = ["decide", "--facts", "-", "--on", on, "--packs", PACKS, "--packs",
                     PACKS / "templates", "--length", "answer", "--receipt", into]
            for authority in authorities:
                words += ["--authority", authority]
            document = {"cases": [{"case": f"{at}: {case.label}", "facts": case.facts}
                                  for at, case in enumerate(cases)]}
            ran = subprocess.run(options.command + words, input=json.dumps(document), text=True,
                                 stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, check=False)
            made = into.read_bytes() if into.exists() else b""
            if ran.returncode not in (0, 1, 3) or made.count(b"\n") != len(cases):
                sys.exit(f"no receipts on {on} under {authorities}\n{ran.stderr}")
            receipts += len(cases)
            size += len(made)
            digest.update(made)
            if not options.keep:
                into.unlink()
    print(f"{receipts} receipts, {size} bytes, digest {digest.hexdigest()}")


if __name__ == "__main__":
    main()
