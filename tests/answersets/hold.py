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
    parser.add_argument("--mutants", type=int, default=1, help="mutants of each case")
    parser.add_argument("--batch", type=int, default=6, help="cases in one logic program")
    parser.add_argument("--only", default="", help="hold only cases whose label has this text")
    return parser.parse_args()


def decisions(options, batch):
    """What the command says about cases with the same authorities and date."""
    document = {"cases": [{"case": str(case.number), "facts": case.facts} for case in batch]}
    command = [options.toprail, "decide", "--facts", "-", "--on", batch[0].on,
               "--packs", options.packs, "--packs", f"{options.packs}/templates",
               "--format", "json"]
    for authority in batch[0].authorities:
        command += ["--authority", authority]
    ran = subprocess.run(command, input=json.dumps(document), capture_output=True, text=True,
                         check=False)
    if ran.returncode not in (0, 1, 3):
        labels = "\n".join(case.label for case in batch)
        raise SystemExit(f"the command failed on\n{labels}\n{json.dumps(document)}\n{ran.stderr}")
    return {int(decision["case"]): decision for decision in json.loads(ran.stdout)}


def early(shelf, authorities, case):
    """Whether some edition is picked by a date before the first edition: no decision then."""
    for authority in authorities:
        first = shelf.packs[authority][0]
        date = case.on if first.picked_by == "work-date" else case.facts.get(first.picked_by)
        if date and date[:1].isdigit() and day(date) < first.first:
            return True
    return False


class Holder:
    def __init__(self, options):
        self.options = options
        self.shelf = Shelf(options.packs)
        self.mutator = sources.Mutator(self.shelf, options.seed)
        self.counts = collections.Counter()
        self.disagreements = []

    def hold(self):
        """Holds all cases. Those under the same authorities share a program; where nobody names the
        authorities, those under the same ones that may govern."""
        families = collections.defaultdict(list)
        for case in [*sources.worked_cases(self.shelf),
                     *sources.published_cases(self.options.published)]:
            if self.options.only in case.label:
                families[case.authorities].append(case)
        for authorities, originals in sorted(families.items()):
            program = Program(self.shelf, authorities, named=bool(authorities))
            family = originals + [self.mutator.mutant(case, program, number) for case in originals
                                  for number in range(self.options.mutants)]
            if authorities:
                self.hold_group(program, self.decided(authorities, family))
                continue
            groups = collections.defaultdict(list)
            for batch, some, _ in self.solved(program, self.decided(authorities, family)):
                for case in batch:
                    groups[tuple(sorted(atom[2] for atom in some
                                        if atom[:2] == ("governs", case.number)))].append(case)
            for governing, cases in sorted(groups.items()):
                self.hold_group(Program(self.shelf, governing, named=False), cases)

    def solved(self, program, cases):
        """Batches of cases with what some and what every filling of their facts leads to."""
        for start in range(0, len(cases), self.options.batch):
            batch = cases[start:start + self.options.batch]
            for number, case in enumerate(batch):
                case.number = number
            yield batch, *solver.consequences(program.text + "\n" + program.case_text(batch))

    def decided(self, authorities, cases):
        """The cases with what the command says about them; it is called once for every date."""
        by_date = collections.defaultdict(list)
        for number, case in enumerate(cases):
            case.number = number
            if early(self.shelf, authorities, case):
                self.counts["skipped: before the first edition"] += 1
            else:
                by_date[case.on].append(case)
        for batch in by_date.values():
            answers = decisions(self.options, batch)
            for case in batch:
                case.decision = answers[case.number]
        return [case for batch in by_date.values() for case in batch]

    def hold_group(self, program, cases):
        for batch, some, every in self.solved(program, cases):
            for case in batch:
                self.counts[f"{case.kind} cases"] += 1
                differences = comparison.differences(
                    comparison.Solved(program, case, some, every), case.decision, self.counts)
                if differences:
                    self.disagreements.append((case, differences))


def main():
    options = arguments()
    holder = Holder(options)
    holder.hold()
    for case, differences in holder.disagreements:
        under = ", ".join(case.authorities) or "whoever governs"
        print(f"{case.label}\n  on {case.on}, under {under}\n  {json.dumps(case.facts)}")
        for difference in differences:
            print(f"  - {difference}")
    for what, count in sorted(holder.counts.items()):
        print(f"{count:8} {what}")
    print(f"seed {options.seed}, {options.mutants} mutants of each case, "
          f"{len(holder.disagreements)} cases disagree")
    # A run that compared nothing has not held anything either.
    return 0 if holder.counts["duties compared"] and not holder.disagreements else 1


if __name__ == "__main__":
    sys.exit(main())
