"""Time of one decision through each binding against the C++ call, as ratios of one run.

    PYTHONPATH=build/bindings/python bindings/overhead.py build/bindings/toprail-overhead rulepacks

Quote the ratios; the times hang on the machine and on what else it does.
"""

import subprocess
import sys
import time

import toprail

FACTS = {"lift-mechanism": "scissor", "platform-height": "14 ft", "guardrail": "removed",
         "gate-open": False, "elevated": True, "industry": "construction"}
DAY = "2024-06-01"
AUTHORITIES = ["us.federal.construction"]
ROUNDS = 300


def microseconds(once, cases_each):
    best = float("inf")
    for _ in range(5):
        begin = time.perf_counter()
        for _ in range(ROUNDS // cases_each):
            once()
        took = time.perf_counter() - begin
        best = min(best, took * 1e6 / ROUNDS)
    return best


program, folder = sys.argv[1:]
cpp, c = map(float, subprocess.run([program, folder], check=True, capture_output=True,
                                   text=True).stdout.split())
shelf = toprail.load(folder)
one = microseconds(lambda: shelf.decide(FACTS, DAY, authorities=AUTHORITIES), 1)
many = microseconds(lambda: shelf.decide_many([FACTS] * 100, DAY, authorities=AUTHORITIES), 100)
print(f"C++ {cpp:.1f} us; ratios: C {c / cpp:.2f}, Python decide {one / cpp:.2f}, "
      f"Python decide_many {many / cpp:.2f}")
