"""How many archived cases one core decides again in a second, over worker processes.

    PYTHONPATH=build/bindings/python /usr/bin/python3 tests/scale/archives.py rulepacks [CASES [PART]]

Measures; no test. The cases are made up: six facts, a tenth of the heights not known.
"""

import json
import sys
import tempfile
import time

import distributed
import numpy

import toprail
from toprail.archive import Archive, write
from toprail.scale import decide_part, pack_texts, redecide

DAY = "2024-06-01"
AUTHORITIES = ["us.federal.construction"]
DUTIES = ["tie-off"]


def columns(cases):
    random = numpy.random.default_rng(5)

    def one_of(*texts):
        return random.integers(0, len(texts), cases).astype(numpy.int8), list(texts)

    heights = random.integers(0, 400, cases) / 10
    heights[random.random(cases) < 0.1] = numpy.nan
    return {
        "platform-height": heights,
        "lift-mechanism": one_of("scissor", "telescopic-boom", "vertical-mast"),
        "guardrail": one_of("complete", "removed"),
        "elevated": random.random(cases) < 0.9,
        "gate-open": random.random(cases) < 0.1,
        "stance": one_of("floor"),
    }


def main():
    folder = sys.argv[1]
    cases, part = (int(each) for each in (sys.argv[2:] + ["4000000", "500000"])[:2])
    texts = pack_texts(folder)
    begin = time.process_time()
    plan = toprail.load_texts(texts, skip_others=True).plan(
        DAY, authorities=AUTHORITIES, duties=DUTIES)
    print(f"packs loaded and planned in {time.process_time() - begin:.2f} s of a core: once "
          "for each worker")
    with tempfile.TemporaryDirectory() as archive:
        made = columns(cases)
        then = plan.decide(made, units={"platform-height": "ft"})
        write(archive, made, units={"platform-height": "ft"}, outcomes=then)
        begin = time.process_time()
        plan.decide(made, units={"platform-height": "ft"}, search=False)
        took = time.process_time() - begin
        print(f"without the exact search: {cases / took / 1e6:.2f} million cases a second of a core")
        print(f"{cases} cases; {then.searched} went through the exact search")
        packs = json.dumps(texts, sort_keys=True)
        again = (archive, 0, min(part, cases), packs, DAY, tuple(AUTHORITIES), tuple(DUTIES))
        decide_part(*again)
        # Time of the processor, whatever else the machine does.
        begin = time.process_time()
        decide_part(*again)
        took = time.process_time() - begin
        size = sum(each.stat().st_size for each in Archive(archive).folder.iterdir())
        print(f"one part of {part} in this process: {part / took / 1e6:.2f} million cases a second of a core, "
              f"{size / cases:.0f} bytes a case read")
        for workers in (1, 2):
            with distributed.LocalCluster(n_workers=workers, threads_per_worker=1,
                                          dashboard_address=None) as cluster:
                with distributed.Client(cluster) as client:
                    redecide(client, [archive], texts, DAY, authorities=AUTHORITIES, duties=DUTIES,
                             part=cases)  # every worker that is asked loads the packs
                    client.run(decide_part, archive, 0, 1, packs, DAY, tuple(AUTHORITIES),
                               tuple(DUTIES))
                    begin = time.perf_counter()
                    changes = redecide(client, [archive], texts, DAY, authorities=AUTHORITIES,
                                       duties=DUTIES, part=part)
                    took = time.perf_counter() - begin
                    assert changes.cases == cases and not changes.table()
                    parts = -(-cases // part)
                    begin = time.process_time()
                    small = cases // 1000
                    redecide(client, [archive], texts, DAY, authorities=AUTHORITIES, duties=DUTIES,
                             part=small)
                    each = (time.process_time() - begin) / -(-cases // small)
                    print(f"client and scheduler: {each * 1e3:.2f} ms of a core for each part")
                    print(f"{workers} workers: {cases / took / 1e6:.2f} million cases/s, "
                          f"{cases / took / workers / 1e6:.2f} a worker, {parts} parts")


if __name__ == "__main__":
    main()
