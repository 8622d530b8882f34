import datetime

import pytest

import toprail
from conftest import TEXTS

DAY = "2024-06-01"


def test_unusable_facts_are_told_with_code_and_help(shelf):
    with pytest.raises(toprail.FindingsError) as caught:
        shelf.decide({"mechanism": "hovercraft", "height": "20 stones"}, DAY)
    findings = caught.value.findings
    assert len(findings) == 2
    assert all(finding.severity == "error" and finding.code for finding in findings)
    assert any("hovercraft" in finding.message for finding in findings)
    assert "hovercraft" in str(caught.value)


def test_unusable_packs_are_told_with_their_places():
    texts = {**TEXTS, "bad.yaml": "rulepack: bad\ntitel: Misspelt\n"}
    with pytest.raises(toprail.FindingsError) as caught:
        toprail.load_texts(texts)
    (misspelt,) = [f for f in caught.value.findings if "titel" in f.message]
    assert (misspelt.file, misspelt.line, misspelt.column, misspelt.length) == ("bad.yaml", 2, 1, 5)
    assert misspelt.source_line == "titel: Misspelt"


def test_a_shelf_tells_what_was_found_when_it_was_loaded():
    texts = {**TEXTS, "list.yaml": "shelf: A list\nrulepacks: []\nin-all: 0\n"}
    (unlisted,) = [f for f in toprail.load_texts(texts).findings if f.code == "list-behind"]
    assert (unlisted.severity, unlisted.file) == ("note", "yard.yaml")


def test_a_folder_that_is_not_there():
    with pytest.raises(toprail.FindingsError):
        toprail.load("no-such-folder")


@pytest.mark.parametrize(
    "facts, error",
    [
        ({"height": float("nan")}, ValueError),
        ({"height": float("inf")}, ValueError),
        ({"height": [20]}, TypeError),
        ({"made-on": datetime.datetime(2024, 6, 1)}, TypeError),
        ({"height": {"value": "20 ft", "form": "typo"}}, ValueError),
        ({3: "boom"}, TypeError),
        ([("mechanism", "boom")], TypeError),
        (None, TypeError),
        ({"mechanism": "\ud800"}, UnicodeEncodeError),
    ],
)
def test_wrong_values_are_refused(shelf, facts, error):
    with pytest.raises(error):
        shelf.decide(facts, DAY)


@pytest.mark.parametrize("day, error", [("2023-02-29", ValueError), (20240601, TypeError),
                                        (datetime.datetime(2024, 6, 1), TypeError)])
def test_wrong_days_are_refused(shelf, day, error):
    with pytest.raises(error):
        shelf.decide({}, day)


def test_what_is_read_cannot_be_changed(shelf):
    duty = shelf.decide({}, DAY).duty("tie-off")
    with pytest.raises(AttributeError):
        duty.outcome = "not required"
    with pytest.raises(KeyError, match="no provision that may govern"):
        shelf.decide({}, DAY).duty("vest")
    for near in ("tieoff", "tie_off"):
        with pytest.raises(KeyError, match='did you mean "tie-off"'):
            shelf.decide({}, DAY).duty(near)
