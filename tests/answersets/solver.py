"""Grounds a program with gringo and asks clasp what some and what all of its answer sets hold."""

import json
import subprocess


class Unsolved(Exception):
    pass


def consequences(text):
    """(what some answer set holds, what every one holds), as sets of tuples of plain values."""
    grounded = subprocess.run(["gringo", "-Wno-atom-undefined", "-"], input=text,
                              capture_output=True, text=True, check=False)
    if grounded.returncode != 0 or grounded.stderr.strip():
        raise Unsolved(grounded.stderr[:2000])
    return tuple(ask(grounded.stdout, mode) for mode in ("brave", "cautious"))


def ask(ground, mode):
    solved = subprocess.run(["clasp", f"--enum-mode={mode}", "--configuration=frumpy",
                             "--outf=2", "--quiet=1", "0"],
                            input=ground, capture_output=True, text=True, check=False)
    answer = json.loads(solved.stdout)
    if answer["Result"] != "SATISFIABLE" or answer["Models"].get("More") == "yes":
        raise Unsolved(f"clasp says {answer['Result']}")
    return {atom(text) for text in answer["Call"][-1]["Witnesses"][-1]["Value"]}


def atom(text):
    """predicate(1,"a","b c") as ("predicate", 1, "a", "b c")."""
    name, _, rest = text.partition("(")
    return (name, *json.loads("[" + rest[:-1] + "]"))
