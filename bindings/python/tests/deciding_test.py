import datetime
import json
import threading
from decimal import Decimal

import pytest

import toprail

DAY = "2024-06-01"
BOOM = {"mechanism": "boom", "height": "20 ft", "gate-open": False}



def test_a_case_is_decided_from_a_dict(shelf):
    decision = shelf.decide(BOOM, DAY)
    duty = decision.duty("tie-off")
    assert duty.outcome == "required"
    assert duty.provisions == ["yard/boom"]
    assert not decision.undetermined
    assert decision.on == DAY


def test_the_day_may_be_a_date(shelf):
    assert shelf.decide(BOOM, datetime.date(2024, 6, 1)).json() == shelf.decide(BOOM, DAY).json()


def test_none_is_not_known(shelf):
    duty = shelf.decide({**BOOM, "mechanism": None}, DAY).duty("tie-off")
    assert duty.outcome == "undetermined"
    assert duty.settled_by == ["mechanism"]
    assert duty.act_as_if == "required"


@pytest.mark.parametrize(
    "given, as_text",
    [
        ({"gate-open": True}, {"gate-open": "yes"}),
        ({"gate-open": False}, {"gate-open": "no"}),
        ({"persons": 2}, {"persons": "2"}),
        ({"made-on": datetime.date(2020, 2, 29)}, {"made-on": "2020-02-29"}),
        ({"persons": Decimal("2")}, {"persons": "2"}),
    ],
)
def test_values_are_told_as_a_person_would_write_them(shelf, given, as_text):
    assert shelf.decide(given, DAY).json() == shelf.decide(as_text, DAY).json()


def test_the_trail_is_iterated(shelf):
    trail = shelf.decide(BOOM, DAY).trail
    assert {(step.provision, step.status) for step in trail} == {
        ("yard/boom", "stands"), ("yard/low", "falls"), ("yard/gate", "falls"),
    }
    boom = next(step for step in trail if step.provision == "yard/boom")
    assert boom.cite == "Yard 1" and boom.effect == "tie-off: required"
    assert [reason.truth for reason in boom.because] == ["true"]


def test_text_and_json(shelf):
    decision = shelf.decide(BOOM, DAY)
    assert json.loads(decision.json("lift"))["duties"]["tie-off"]["outcome"] == "required"
    assert "Yard 1" in decision.text("lift", "everything")
    with pytest.raises(ValueError):
        decision.text("lift", "endless")


def test_many_cases_keep_their_order_and_their_errors(shelf):
    answers = shelf.decide_many([BOOM, {"mechanism": "hovercraft"}, {"height": "3 ft"}], DAY)
    assert answers[0].duty("tie-off").outcome == "required"
    assert isinstance(answers[1], toprail.FindingsError)
    assert answers[2].json() == shelf.decide({"height": "3 ft"}, DAY).json()
    assert shelf.decide_many([], DAY) == []


@pytest.mark.parametrize(
    "case, says",
    [
        ({"height": float("nan")}, "no finite number"),
        ({"height": ["3 ft"]}, "of type list"),
        ({"mechanism": "\ud800"}, "surrogates not allowed"),
        ({"height": {"value": "3 ft", "seen": "today"}}, 'a key "seen"'),
        (7, "a mapping of names to values"),
    ],
)
def test_values_that_are_no_facts_hold_up_no_other_case(shelf, case, says):
    wrong, right = shelf.decide_many([case, BOOM], DAY)
    assert isinstance(wrong, toprail.FindingsError)
    assert [finding.code for finding in wrong.findings] == ["unreadable-fact"]
    assert says in wrong.findings[0].message
    assert right.duty("tie-off").outcome == "required"


def test_threads_share_a_shelf(shelf):
    expected = shelf.decide(BOOM, DAY).json()
    seen = []

    def run():
        for _ in range(50):
            seen.append(shelf.decide(BOOM, DAY).json())

    threads = [threading.Thread(target=run) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert seen == [expected] * 200
