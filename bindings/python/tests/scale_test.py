"""Archives decided again over two worker processes: however the work is cut, and with one killed."""

import json
import os
import signal
import threading

import distributed
import numpy
import pytest

import toprail
from conftest import PACK, TEXTS
from toprail.archive import write
from toprail.scale import decide_part, pack_texts, redecide

DAY = "2024-06-01"
# Since the archives were made the rule of the gate has gone and that of the height has changed.
NOW = {**TEXTS, "yard.yaml": PACK.replace("less than 4 ft", "less than 6 ft").replace(
    "where: gate-open", "where: persons is more than 9")}
CASES = 30_011


def made(random, folder, cases):
    columns = {
        "height": numpy.where(random.random(cases) < 0.1, numpy.nan, random.integers(0, 99, cases) / 10),
        "mechanism": (random.integers(-1, 2, cases).astype(numpy.int8), ["boom", "scissor"]),
        "gate-open": random.random(cases) < 0.3,
    }
    then = toprail.load_texts(TEXTS).plan(DAY).decide(columns, units={"height": "ft"})
    write(folder, columns, units={"height": "ft"}, outcomes=then)
    now = toprail.load_texts(NOW).plan(DAY).decide(columns, units={"height": "ft"})
    return then["tie-off"], now["tie-off"]


@pytest.fixture(scope="module")
def archives(tmp_path_factory):
    random = numpy.random.default_rng(11)
    folder = tmp_path_factory.mktemp("archives")
    return {str(folder / name): made(random, folder / name, cases)
            for name, cases in (("2023", CASES), ("2024", 7), ("empty", 0))}


@pytest.fixture
def cluster():
    with distributed.LocalCluster(n_workers=2, threads_per_worker=1, processes=True,
                                  dashboard_address=None) as running:
        yield running


def hold(changes, archives):
    assert changes.cases == CASES + 7
    counts = numpy.zeros((6, 6), int)
    for folder, (then, now) in archives.items():
        numpy.add.at(counts, (then, now), 1)
        numpy.testing.assert_array_equal(changes.changed["tie-off"].get(folder, []),
                                         numpy.nonzero(then != now)[0])
    numpy.testing.assert_array_equal(changes.moved["tie-off"], counts)
    assert 0 < sum(row[3] for row in changes.table()) == (counts.sum() - counts.trace())


def test_results_do_not_hang_on_how_the_work_is_cut(archives, cluster):
    with distributed.Client(cluster) as client:
        for part in (1_000_000, 9_999, 257):
            hold(redecide(client, list(archives), NOW, DAY, part=part), archives)
        alone = redecide(client, list(archives)[1:], NOW, DAY, part=1)
        assert alone.cases == 7
        with pytest.raises(ValueError):
            redecide(client, list(archives), NOW, DAY, part=0)
        with pytest.raises(toprail.FindingsError):
            redecide(client, list(archives), {**NOW, "yard.yaml": "rulepack: x\n"}, DAY)


def test_a_worker_that_is_killed_in_the_middle_loses_nothing(archives, cluster):
    with distributed.Client(cluster) as client:
        pids = client.run(os.getpid)
        assert len(set(pids.values()) - {os.getpid()}) == 2
        seen = []

        def kill():
            # As soon as some part is done, and while others wait.
            while not seen:
                states = client.run_on_scheduler(
                    lambda dask_scheduler: [task.state for task in dask_scheduler.tasks.values()
                                            if task.key.startswith("toprail-")])
                waiting = sum(state != "memory" for state in states)
                if "memory" in states and waiting > 0:
                    os.kill(next(iter(pids.values())), signal.SIGKILL)
                    seen.append(waiting)

        killer = threading.Thread(target=kill)
        killer.start()
        changes = redecide(client, list(archives), NOW, DAY, part=29)
        seen.append(None)
        killer.join()
        assert seen[0], "nobody was killed while parts were waiting"
        hold(changes, archives)


def test_a_part_alone(archives):
    folder, (then, now) = next(iter(archives.items()))
    packs = json.dumps(NOW)
    counts, numbers = decide_part(folder, 100, 200, packs, DAY)["tie-off"]
    assert counts.sum() == 100
    assert numbers.tolist() == (100 + numpy.nonzero(then[100:200] != now[100:200])[0]).tolist()


def test_texts_of_packs_are_those_that_load_reads(tmp_path):
    (tmp_path / "templates").mkdir()
    for name in ("small.yaml", "yard.yaml"):
        (tmp_path / name).write_text(TEXTS[name])
        (tmp_path / "templates" / name).write_text("rulepack: [")
    (tmp_path / "site.yaml").write_text("site: x\ncases: []\n")
    texts = pack_texts(tmp_path)
    assert len(texts) == 3
    assert toprail.load_texts(texts, skip_others=True).duties() == toprail.load(str(tmp_path)).duties()
