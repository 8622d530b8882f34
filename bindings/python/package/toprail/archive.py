"""Archives of cases in files: a folder with a column of each fact, and one of each duty's outcomes as
they were decided then.

`archive.json` names the columns; each stands beside it as a NumPy file, read in place, so a part of an
archive costs what that part holds. Needs NumPy.
"""

import json
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Optional, Union

import numpy

from . import _columns

__all__ = ["Archive", "write"]

_MARK = "archive.json"
_FORMAT = 1
# A name becomes part of a file's.
_NAME = re.compile(r"[a-z0-9][a-z0-9-]*")


def _file_of(folder: Path, kind: str, name: str) -> Path:
    if not _NAME.fullmatch(name):
        raise ValueError(f'"{name}" is no name of a fact or a duty')
    return folder / f"{kind}.{name}.npy"


def write(folder: Union[str, Path], columns: Any, *, units: Mapping[str, str] = {},
          outcomes: Optional[Mapping[str, Any]] = None) -> None:
    """Writes columns, as Plan.decide takes them, and outcomes to a new folder. Lists of texts are not
    kept: give categories. FileExistsError when the folder holds an archive."""
    folder = Path(folder)
    read, cases = _columns.read(columns, units, None)
    folder.mkdir(parents=True, exist_ok=True)
    if (folder / _MARK).exists():
        raise FileExistsError(f"{folder} holds an archive")
    told = {}
    for name, kind, values, unit, texts in read:
        if kind == "texts":
            raise TypeError(f'"{name}" is a list of texts; make a categorical of it')
        array = numpy.asarray(values).view(numpy.int8) if kind == "codes" else numpy.asarray(values)
        numpy.save(_file_of(folder, "fact", name), array)
        told[name] = {"kind": kind, "unit": unit, "texts": texts}
    for duty, each in (outcomes or {}).items():
        if len(each) != cases:
            raise ValueError(f'the outcomes of "{duty}" are {len(each)} and not {cases}')
        numpy.save(_file_of(folder, "duty", duty), numpy.asarray(each, dtype=numpy.uint8))
    # Last: what has no mark is no archive, but a folder that was not finished.
    (folder / _MARK).write_text(json.dumps({
        "format": _FORMAT, "cases": cases, "facts": told, "duties": sorted(outcomes or {})}))


class Archive:
    """An archive that was written. Immutable, and cheap to open: files are mapped when they are read.
    ValueError when the folder holds none, or another format."""

    def __init__(self, folder: Union[str, Path]) -> None:
        self.folder = Path(folder)
        try:
            told = json.loads((self.folder / _MARK).read_text())
        except FileNotFoundError:
            raise ValueError(f"{self.folder} holds no archive: {_MARK} is missing") from None
        except ValueError as wrong:
            raise ValueError(f"{self.folder / _MARK}: {wrong}") from None
        if not isinstance(told, dict) or told.get("format") != _FORMAT:
            raise ValueError(f"{self.folder / _MARK}: not of format {_FORMAT}")
        self.cases: int = told["cases"]
        self.facts: dict[str, dict[str, Any]] = told["facts"]
        self.duties: list[str] = told["duties"]
        self.units = {name: fact["unit"] for name, fact in self.facts.items() if fact["unit"]}

    def _part(self, kind: str, name: str, begin: int, end: int) -> numpy.ndarray:
        path = _file_of(self.folder, kind, name)
        # Never objects: reading those runs code out of the file.
        whole = numpy.load(path, mmap_mode="r", allow_pickle=False)
        if whole.shape != (self.cases,):
            raise ValueError(f"{path} holds {whole.shape} values and not {self.cases}")
        return whole[begin:end]

    def columns(self, begin: int, end: int) -> dict[str, Any]:
        """The cases from `begin` and before `end`, as Plan.decide takes them."""
        return {
            name: (part, fact["texts"]) if fact["kind"] == "codes"
            else _columns.ClassBytes(part) if fact["kind"] == "classes" else part
            for name, fact in self.facts.items()
            for part in [self._part("fact", name, begin, end)]
        }

    def outcomes(self, duty: str, begin: int, end: int) -> numpy.ndarray:
        """The outcomes that were kept. KeyError for a duty without."""
        if duty not in self.duties:
            raise KeyError(duty)
        return self._part("duty", duty, begin, end)
