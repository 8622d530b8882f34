#!/usr/bin/env python3
"""Runs the command lines of a page and holds what they print against it.

    run.py BUILT-COMMAND PAGE

Every block marked `sh` is run by bash, in one folder that starts out with a copy of the rulepacks.
A block marked `text` right after it is what it must print: the same lines in that order, between
which a line `...` stands for any others. A block marked `yaml NAME` is written to that file. Shells
of one page share nothing but the folder.
"""

import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]
BLOCK = re.compile(r"^```(\w+)(?: +(\S+))?\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def missing_line(expected, printed):
    """The first expected line that is not printed where it should be, or None."""
    at = 0
    gap = False
    for line in expected:
        if line.strip() == "...":
            gap = True
            continue
        rest = printed[at:]
        if line not in rest or (not gap and rest[0] != line):
            return line
        at += rest.index(line) + 1
        gap = False
    return None if gap or at == len(printed) else "(the end)"


def main():
    command = pathlib.Path(sys.argv[1]).resolve()
    blocks = BLOCK.findall(pathlib.Path(sys.argv[2]).read_text())
    checked = 0
    with tempfile.TemporaryDirectory() as folder:
        work = pathlib.Path(folder)
        shutil.copytree(ROOT / "rulepacks", work / "rulepacks")
        (work / "bin").mkdir()
        (work / "bin" / "toprail").symlink_to(command)
        environment = dict(os.environ, PATH=f"{work / 'bin'}:{os.environ['PATH']}")
        printed = []
        for kind, name, body in blocks:
            if kind == "yaml" and name:
                path = work / name
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_text(body)
            elif kind == "sh":
                run = subprocess.run(["bash", "-c", body], cwd=work, env=environment, text=True,
                                     stdout=subprocess.PIPE, stderr=subprocess.STDOUT, check=False)
                printed = run.stdout.splitlines()
                if run.returncode not in (0, 1):
                    sys.exit(f"exit status {run.returncode} of\n{body}{run.stdout}")
            elif kind == "text":
                line = missing_line(body.splitlines(), printed)
                if line is not None:
                    shown = "\n".join(printed)
                    sys.exit(f"the page says\n  {line}\nbut this was printed:\n{shown}")
                checked += 1
    if checked == 0:
        sys.exit("the page shows nothing that could be checked")
    print(f"{checked} blocks print what the page shows")


if __name__ == "__main__":
    main()
