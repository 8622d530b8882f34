"""Archives: what is written is what is read, in place; and files that are none."""

import json

import numpy
import pandas
import pytest

from toprail.archive import Archive, write


def columns(cases):
    return {
        "height": numpy.arange(cases) * 0.5,
        "mechanism": pandas.Categorical.from_codes(numpy.arange(cases) % 2, ["boom", "scissor"]),
        "gate-open": numpy.arange(cases) % 3 == 0,
        "persons": numpy.arange(cases) % 4,
    }


def test_written_and_read(tmp_path):
    write(tmp_path / "a", columns(100), units={"height": "ft"},
          outcomes={"tie-off": numpy.full(100, 2, numpy.uint8)})
    archive = Archive(tmp_path / "a")
    assert archive.cases == 100 and archive.units == {"height": "ft"}
    part = archive.columns(10, 20)
    assert set(part) == set(columns(1))
    assert part["height"].tolist() == [i * 0.5 for i in range(10, 20)]
    assert isinstance(part["height"], numpy.memmap)
    codes, texts = part["mechanism"]
    assert [texts[code] for code in codes[:2]] == ["boom", "scissor"]
    assert archive.outcomes("tie-off", 5, 7).tolist() == [2, 2]
    with pytest.raises(KeyError):
        archive.outcomes("lookout", 0, 1)


def test_what_is_no_archive_is_refused(tmp_path):
    with pytest.raises(ValueError, match="holds no archive"):
        Archive(tmp_path)
    (tmp_path / "archive.json").write_text("{")
    with pytest.raises(ValueError, match="archive.json"):
        Archive(tmp_path)
    (tmp_path / "archive.json").write_text('{"format": 2}')
    with pytest.raises(ValueError, match="format 1"):
        Archive(tmp_path)
    with pytest.raises(FileExistsError):
        write(tmp_path, columns(3))
    with pytest.raises(TypeError, match="categorical"):
        write(tmp_path / "b", {"mechanism": ["boom"]})
    with pytest.raises(ValueError, match="no name"):
        write(tmp_path / "c", {"../height": numpy.zeros(3)})
    write(tmp_path / "d", columns(3), units={"height": "ft"})
    numpy.save(tmp_path / "d" / "fact.height.npy", numpy.zeros(4))
    with pytest.raises(ValueError, match="3"):
        Archive(tmp_path / "d").columns(0, 1)
    told = json.loads((tmp_path / "d" / "archive.json").read_text())
    told["facts"]["../../height"] = told["facts"].pop("height")
    (tmp_path / "d" / "archive.json").write_text(json.dumps(told))
    with pytest.raises(ValueError, match="no name"):
        Archive(tmp_path / "d").columns(0, 1)
    numpy.save(tmp_path / "d" / "fact.persons.npy", numpy.array([{}, 1, 2], dtype=object))
    with pytest.raises(ValueError):
        Archive(tmp_path / "d")._part("fact", "persons", 0, 1)
