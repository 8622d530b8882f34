#!/usr/bin/env python3
"""Has the command look through an invented shelf of 600 provisions, and holds what it finds against
the faults that were put into it.

    hold.py BUILT-COMMAND

Takes seconds. With TOPRAIL_LARGE_SHELF=6000 in the environment it does the same with that many
provisions, which takes minutes and runs only when asked for.
"""

import json
import os
import pathlib
import subprocess
import sys
import tempfile

sys.dont_write_bytecode = True  # the sources stay as they are
import make_shelf  # noqa: E402


def prove(command, folder, *options):
    run = subprocess.run([command, "prove", folder, "--format", "json", *options],
                         capture_output=True, text=True, check=False)
    if run.returncode not in (0, 1):
        sys.exit(f"exit status {run.returncode}\n{run.stderr}")
    return json.loads(run.stdout)


def found(report, question):
    return {about for proof in report["proofs"] if proof["question"] == question
            for about in ([proof["authority"] + "/" + proof["about"][0]]
                          if question == "not-contested" else proof["about"][:1])}


def hold(what, wanted, seen):
    if not wanted <= seen:
        sys.exit(f"{what}: not found: {sorted(wanted - seen)}")


def main():
    command = pathlib.Path(sys.argv[1]).resolve()
    provisions = int(os.environ.get("TOPRAIL_LARGE_SHELF", "600"))
    with tempfile.TemporaryDirectory() as folder:
        names = make_shelf.write(provisions, folder)
        report = prove(command, folder)
        if report["interrupted"] or report["not-decided"]:
            sys.exit("the whole shelf was to be looked through")
        if any(proof.get("internal-error") for proof in report["proofs"]):
            sys.exit("solver and engine differ")
        hold("never stands", {f"{name}/never" for name in names}, found(report, "can-stand"))
        hold("contested", {f"{name}/duty-0" for name in names}, found(report, "not-contested"))

        # Many provisions and a second: an honest part, of which every name is told.
        names = make_shelf.write(6000, folder)
        report = prove(command, folder, "--budget", "1")
        if not report["interrupted"]:
            sys.exit("6,000 provisions in a second are hard to believe")
        undone = set(report["not-decided"])
        if not undone or not undone <= {*names, "all authorities together"}:
            sys.exit(f"what is not decided is told by name, not {sorted(undone)}")
        done = set(names) - undone
        hold("never stands, early end", {f"{name}/never" for name in done},
             found(report, "can-stand"))
    print(f"{provisions} provisions: {len(names)} authorities; {len(done)} before an early end")


if __name__ == "__main__":
    main()
