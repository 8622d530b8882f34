#!/usr/bin/env python3
"""Holds the decisions of the toprail command against an answer-set solver.

The rulepacks and the facts of each case are translated into a logic program, apart from the library
(see program.py). clasp then says what some and what every filling of the unknown facts leads to,
and that is compared with the command's JSON. Exit status 1 and the text of the case where the two
disagree.
"""

import argparse
import collections
import json
import subprocess
import sys

import cases as sources
import comparison
import solver
from program import Program
from shelf import Shelf, day


def arguments():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--toprail", required=True, help="the command to hold")
    parser.add_argument("--packs", required=True, help="folder of rulepacks")
    parser.add_argument("--published", required=True, help="folder of published cases")
    parser.add_argument("--seed", type=int, default=1, help="seed of the mutants")
    parser.add_argument("--mutants", type=int, default=2, help="mutants of each case")
    parser.add_argument("--batch", type=int, default=12, help="cases in one logic program")
    parser.add_argument("--only", default="", help="hold only cases whose label has this text")
    return parser.parse_args()


def decisions(options, batch):
    """What the command says about cases with the same authorities and date."""
    document = {"cases": [{"case": str(case.number), "facts": case.facts} for case in batch]}
    command = [options.toprail, "decide", "--facts", "-", "--on", batch[0].on,
               "--packs", options.packs, "--format", "json"]
    for authority in batch[0].authorities:
        command += ["--authority", authority]
    ran = subprocess.run(command, input=json.dumps(document), capture_output=True, text=True,
                         check=False)
    if ran.returncode not in (0, 1, 3):
        labels = "\n".join(case.label for case in batch)
        raise SystemExit(f"the command failed on\n{labels}\n{json.dumps(document)}\n{ran.stderr}")
    return {int(decision["case"]): decision for decision in json.loads(ran.stdout)}


def early(shelf, case):
    """Whether some edition is picked by a date before the first edition: no decision then."""
    for authority in case.authorities:
        first = shelf.packs[authority][0]
        date = case.on if first.picked_by == "work-date" else case.facts.get(first.picked_by)
        if date and date[:1].isdigit() and day(date) < first.first:
            return True
    return False


def main():
    options = arguments()
    shelf = Shelf(options.packs)
    counts = collections.Counter()
    found = list(sources.worked_cases(shelf)) + list(sources.published_cases(options.published))
    counts["cases without named authorities"] = sum(not case.authorities for case in found)
    groups = collections.defaultdict(list)
    mutator = sources.Mutator(shelf, options.seed)
    for case in found:
        if case.authorities and options.only in case.label:
            groups[case.authorities].append(case)
    disagreements = []
    for authorities, originals in sorted(groups.items()):
        program = Program(shelf, authorities)
        held = originals + [mutator.mutant(case, program, number)
                            for case in originals for number in range(options.mutants)]
        by_date = collections.defaultdict(list)
        for number, case in enumerate(held):
            case.number = number
            if early(shelf, case):
                counts["skipped: before the first edition"] += 1
            else:
                by_date[case.on].append(case)
        answers = {}
        for batch in by_date.values():
            answers.update(decisions(options, batch))
        known = [case for case in held if case.number in answers]
        for start in range(0, len(known), options.batch):
            batch = known[start:start + options.batch]
            some, every = solver.consequences(program.text + "\n" + program.case_text(batch))
            for case in batch:
                counts[f"{case.kind} cases"] += 1
                solved = comparison.Solved(program, case, some, every)
                differences = comparison.differences(solved, answers[case.number], counts)
                if differences:
                    disagreements.append((case, differences))
    for case, differences in disagreements:
        print(f"{case.label}\n  on {case.on}, under {', '.join(case.authorities)}\n"
              f"  {json.dumps(case.facts)}")
        for difference in differences:
            print(f"  - {difference}")
    for what, count in sorted(counts.items()):
        print(f"{count:8} {what}")
    print(f"seed {options.seed}, {options.mutants} mutants of each case, "
          f"{len(disagreements)} cases disagree")
    return 1 if disagreements else 0


if __name__ == "__main__":
    sys.exit(main())
