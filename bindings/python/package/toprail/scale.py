"""Archives of cases decided again over the processes of a Dask cluster.

    with distributed.LocalCluster(n_workers=4, threads_per_worker=1) as cluster:
        changes = redecide(distributed.Client(cluster), ["2023", "2024"], pack_texts("rulepacks"),
                           "2024-06-01")

Every worker has to see the folders of the archives under the same paths. The packs travel as texts:
all workers decide by the same bytes. Needs NumPy and, for redecide, Dask's distributed.
"""

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import Any, Union

import numpy

from . import _core
from ._columns import OUTCOMES
from .archive import Archive

__all__ = ["Changes", "decide_part", "pack_texts", "redecide"]


def pack_texts(*folders: Union[str, Path]) -> dict[str, str]:
    """The .yaml files below the folders that load() would read, by their paths."""
    return {
        str(path): path.read_text(encoding="utf-8")
        for folder in folders
        for path in sorted(Path(folder).rglob("*.yaml"))
        if "templates" not in path.relative_to(folder).parts[:-1]
    }


@dataclass
class Changes:
    """What deciding again came to. Counts and numbers of cases do not hang on how the work was cut."""

    cases: int = 0
    #: By duty: how many cases were `row` and are `column`, as places in OUTCOMES. A duty whose
    #: outcomes were not kept counts as "no answer" before.
    moved: dict[str, numpy.ndarray] = field(default_factory=dict)
    #: By duty and archive: the numbers of the cases whose outcome is another, in order.
    changed: dict[str, dict[str, numpy.ndarray]] = field(default_factory=dict)

    def table(self) -> list[tuple[str, str, str, int]]:
        """Duty, outcome then, outcome now, and how many; those that stayed are left out."""
        return [
            (duty, OUTCOMES[was], OUTCOMES[now], int(counts[was, now]))
            for duty, counts in sorted(self.moved.items())
            for was, now in zip(*numpy.nonzero(counts))
            if was != now
        ]


# A process decides many parts by the same plan: loading the packs takes longer than most parts.
@lru_cache(maxsize=4)
def _plan(packs: str, on: str, authorities: tuple[str, ...], duties: tuple[str, ...]):
    shelf = _core.load_texts(json.loads(packs), skip_others=True)
    return shelf.plan(on, authorities=authorities, duties=duties)


def decide_part(folder: str, begin: int, end: int, packs: str, on: str,
                authorities: tuple[str, ...] = (), duties: tuple[str, ...] = ()) -> dict[str, tuple]:
    """One part of one archive: by duty, the counts of `moved` and the numbers of changed cases. The
    same arguments give the same result, so a part may be decided again when a worker was lost."""
    archive = Archive(folder)
    plan = _plan(packs, on, authorities, duties)
    outcomes = plan.decide(archive.columns(begin, end), units=archive.units, cases=end - begin)
    results = {}
    for duty, now in outcomes.items():
        kept = duty in archive.duties
        was = (archive.outcomes(duty, begin, end) if kept
               else numpy.full(len(now), len(OUTCOMES) - 1, numpy.uint8))
        if len(was) and was.max() >= len(OUTCOMES):
            raise ValueError(f'{folder}: "{duty}" holds a byte that is no outcome')
        counts = numpy.bincount(was.astype(numpy.int64) * len(OUTCOMES) + now,
                                minlength=len(OUTCOMES) ** 2)
        results[duty] = (counts.reshape(len(OUTCOMES), len(OUTCOMES)),
                         begin + numpy.nonzero((was != now) & kept)[0])
    return results


def redecide(client: Any, folders: Sequence[Union[str, Path]], packs: Mapping[str, str], on: str, *,
             authorities: Sequence[str] = (), duties: Sequence[str] = (), part: int = 1_000_000) -> Changes:
    """Decides every case of the archives again, `part` cases at a time, over the client's workers. A
    part whose worker is lost goes to another, as often as the scheduler's `allowed-failures` says."""
    from distributed import as_completed

    if part < 1:
        raise ValueError("a part holds one case at least")
    texts = json.dumps(dict(packs), sort_keys=True)
    # Here first: packs that cannot be used are told before anything is sent.
    plan = _plan(texts, on, tuple(authorities), tuple(duties))
    sent = client.scatter(texts, broadcast=True, hash=False)
    key = hashlib.sha256(repr((texts, on, authorities, duties)).encode()).hexdigest()[:16]
    changes = Changes(moved={duty: numpy.zeros((len(OUTCOMES),) * 2, numpy.int64)
                             for duty in plan.duties})
    found: dict[tuple[str, str], dict[int, numpy.ndarray]] = {}
    futures = {}
    for folder in map(str, folders):
        archive = Archive(folder)
        changes.cases += archive.cases
        for begin in range(0, archive.cases, part):
            end = min(begin + part, archive.cases)
            future = client.submit(
                decide_part, folder, begin, end, sent, on, tuple(authorities), tuple(duties),
                key=f"toprail-{key}-{folder}-{begin}-{end}")
            futures[future] = (folder, begin)
    for future, results in as_completed(list(futures), with_results=True):
        folder, begin = futures.pop(future)
        for duty, (counts, numbers) in results.items():
            changes.moved[duty] += counts
            found.setdefault((duty, folder), {})[begin] = numbers
        future.release()
    for (duty, folder), parts in sorted(found.items()):
        changes.changed.setdefault(duty, {})[folder] = numpy.concatenate(
            [parts[begin] for begin in sorted(parts)])
    return changes
