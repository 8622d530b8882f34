"""Time of one decision through each binding against the C++ call, as ratios of one run; so too for one
of very many cases in columns. From the root of the sources:

    TOPRAIL_BUILD_DIR=build PYTHONPATH=build/bindings/python NODE_PATH=build/bindings/node \\
        /usr/bin/python3 bindings/overhead.py

Time of the processor, not of the clock, so that other work on the machine counts little. Quote the
ratios; the times hang on the machine.
"""

import json
import os
import subprocess
import sys
import time
from pathlib import Path

import numpy

import toprail

sys.path.insert(0, str(Path(__file__).parent / "postgres" / "tests"))

FACTS = {"lift-mechanism": "scissor", "platform-height": "14 ft", "guardrail": "removed",
         "gate-open": False, "elevated": True, "industry": "construction"}
DAY = "2024-06-01"
AUTHORITIES = ["us.federal.construction"]
ROUNDS = 300
CASES = 1_000_000


def microseconds(once, count):
    best = float("inf")
    for _ in range(5):
        begin = time.process_time()
        once()
        best = min(best, (time.process_time() - begin) * 1e6 / count)
    return best


def in_python(shelf):
    def one_by_one():
        for _ in range(ROUNDS):
            shelf.decide(FACTS, DAY, authorities=AUTHORITIES)

    plan = shelf.plan(DAY, authorities=AUTHORITIES, duties=["tie-off"])
    codes = (numpy.arange(CASES) % 2).astype(numpy.int8)
    columns = {"platform-height": (numpy.arange(CASES) % 40) / 2,
               "guardrail": (codes, ["removed", "complete"]), "elevated": (codes, ["no", "yes"])}
    return (
        microseconds(one_by_one, ROUNDS),
        microseconds(lambda: shelf.decide_many([FACTS] * ROUNDS, DAY, authorities=AUTHORITIES), ROUNDS),
        microseconds(lambda: plan.decide(columns, units={"platform-height": "ft"}, search=False), CASES))


def in_node(folder):
    told = json.dumps({"folder": folder, "facts": FACTS, "day": DAY, "authorities": AUTHORITIES,
                       "rounds": ROUNDS, "cases": CASES})
    done = subprocess.run(["node", Path(__file__).with_suffix(".js"), told], check=True,
                          capture_output=True, text=True)
    return map(float, done.stdout.split())


def in_sql():
    from server import quoted, running

    def call(rounds):
        return (f"SELECT count(answer.outcome) FROM shelf, generate_series(1, {rounds}) AS i, "
                f"LATERAL toprail_decide_pinned(packs, {quoted(json.dumps(FACTS))}, "
                f"date '{DAY}' + 0 * i, authorities => '{{{AUTHORITIES[0]}}}', "
                "with_receipt => false) AS answer;\n")

    # Ticks of the backend's own processor time, in user and system; a second has a hundred.
    ticks = ("SELECT (regexp_split_to_array(substring(pg_read_file('/proc/self/stat') "
             "from '[)] (.*)'), ' '))[12:13];\n")
    rounds = 5 * ROUNDS
    with running() as server:
        # The first call loads the packs.
        lines = server.sql(call(1) + ticks + call(rounds) + ticks)
    begin, end = (sum(map(int, line[1:-1].split(","))) for line in (lines[1], lines[3]))
    return (end - begin) / os.sysconf("SC_CLK_TCK") * 1e6 / rounds


def main():
    folder = "rulepacks"
    program = Path(os.environ["TOPRAIL_BUILD_DIR"], "bindings", "toprail-overhead")
    cpp, c, cpp_many, c_many = map(float, subprocess.run(
        [program, folder], check=True, capture_output=True, text=True).stdout.split())
    python, python_list, python_many = in_python(toprail.load(folder))
    node, node_many = in_node(folder)
    print(f"columns: C++ {cpp_many * 1000:.2f} ns a case; ratios: C {c_many / cpp_many:.2f}, "
          f"Python {python_many / cpp_many:.2f}, Node {node_many / cpp_many:.2f}")
    print(f"one decision: C++ {cpp:.1f} us; ratios: C {c / cpp:.2f}, Python {python / cpp:.2f}, "
          f"decide_many {python_list / cpp:.2f}, Node {node / cpp:.2f}", end="", flush=True)
    print(f", SQL {in_sql() / cpp:.2f}")


main()
