import json

import pytest

import toprail

DAY = "2024-06-01"
BOOM = {"mechanism": "boom", "height": {"value": "20 ft", "from": "tape measure"}}

pytestmark = pytest.mark.skipif(not toprail.has_receipts, reason="made without receipts")


def test_equal_cases_give_equal_bytes(shelf):
    maker = toprail.ReceiptMaker(shelf)
    first = maker.make(BOOM, DAY, "lift")
    assert isinstance(first, bytes)
    assert first == toprail.ReceiptMaker(shelf).make(BOOM, DAY, "lift")
    assert b"\n" not in first
    receipt = json.loads(first)
    assert receipt["case"] == "lift" and receipt["on"] == DAY and "seed" not in receipt
    assert b"tape measure" in first


def test_a_seed_is_recorded(shelf):
    maker = toprail.ReceiptMaker(shelf)
    assert "seed" in json.loads(maker.make(BOOM, DAY, seed=bytes(range(32))))
    # Everybody knows the salts that all zeros give.
    assert "seed" not in json.loads(maker.make(BOOM, DAY, seed=bytes(32)))
    with pytest.raises(ValueError):
        maker.make(BOOM, DAY, seed=b"short")


def test_unusable_facts_give_no_receipt(shelf):
    with pytest.raises(toprail.FindingsError):
        toprail.ReceiptMaker(shelf).make({"mechanism": "hovercraft"}, DAY)
