"""Plans: NumPy and pandas columns, without copies and without the lock."""

import subprocess
import sys
import threading
from pathlib import Path

import numpy
import pandas
import pytest

import toprail

DAY = "2024-06-01"
MECHANISMS = ["boom", "scissor", "scissor", None, "scissor", "boom"]
HEIGHTS = [20.0, 3.0, 3.9, float("nan"), 4.0, 0.1]
GATES = ["no", "no", "yes", None, "no", "no"]


@pytest.fixture(scope="module")
def plan(shelf):
    return shelf.plan(DAY)


def words(outcomes):
    return [toprail.OUTCOMES[byte] for byte in outcomes["tie-off"]]


def one_by_one(shelf):
    facts = [{"mechanism": m, "height": None if h != h else f"{h} ft", "gate-open": g}
             for m, h, g in zip(MECHANISMS, HEIGHTS, GATES)]
    return [shelf.decide(each, DAY).duty("tie-off").outcome for each in facts]


def ways(plan):
    categories = pandas.Series(MECHANISMS, dtype="category")
    many = pandas.Categorical(MECHANISMS, categories=["boom", "scissor", *(f"x{i}" for i in range(300))])
    codes = numpy.array([1, 0, 0, -1, 0, 1], numpy.int8)
    yield "mechanism", [
        MECHANISMS, categories, pandas.Series(MECHANISMS), many, (codes, ["scissor", "boom"]),
        numpy.array(["not known" if m is None else m for m in MECHANISMS], dtype=object),
        toprail.ClassBytes(numpy.array(
            [plan.class_of("mechanism", m or "not known") for m in MECHANISMS], numpy.uint8))]
    tenths = numpy.array([-1 if h != h else round(h * 10) for h in HEIGHTS])
    inches = numpy.where(tenths < 0, toprail.NUMBER_NOT_KNOWN, tenths * 12)
    yield "height", [
        (numpy.array(HEIGHTS), "ft"), (pandas.Series(HEIGHTS), "ft"),
        (["not known" if h != h else f"{h} ft" for h in HEIGHTS], ""),
        # A tenth of an inch has no unit: ten times the height does it, where only 4 ft counts.
        (numpy.where(tenths < 0, inches, inches // 10), "in")]
    yield "gate-open", [GATES, pandas.Series(GATES, dtype="category")]


def test_every_kind_of_column_comes_to_what_one_case_comes_to(shelf, plan):
    expected = one_by_one(shelf)
    assert len(set(expected)) >= 3
    (_, mechanisms), (_, heights), (_, gates) = ways(plan)
    for mechanism in mechanisms:
        for height, unit in heights:
            for gate in gates:
                outcomes = plan.decide(
                    {"mechanism": mechanism, "height": height, "gate-open": gate},
                    units={"height": unit} if unit else {})
                assert words(outcomes) == expected
    frame = pandas.DataFrame({"mechanism": pandas.Categorical(MECHANISMS), "height": HEIGHTS})
    frame["gate-open"] = pandas.Categorical(GATES)
    for threads in (1, 3):
        outcomes = plan.decide(frame, units={"height": "ft"}, threads=threads)
        assert words(outcomes) == expected
        assert outcomes.no_answer == 0 and list(outcomes) == plan.duties
    known = numpy.array([False, False, True, False, False, False])
    assert words(plan.decide({"gate-open": known}))[2] == "required"


def test_a_plan_says_what_it_is(plan):
    assert plan.duties == ["tie-off"]
    height = next(each for each in plan.facts if each.fact == "height")
    assert height.used and height.classes == 2
    assert len(plan.decide({})["tie-off"]) == 0
    assert words(plan.decide({}, cases=2)) == ["undetermined"] * 2
    outcomes = plan.decide({"height": ["3 ft", "high up", "600 ft"]})
    assert words(outcomes)[1:] == ["no answer"] * 2 and outcomes.no_answer == 2


@pytest.mark.parametrize("column, error", [
    (numpy.zeros(3, numpy.float32), TypeError), (numpy.zeros(3, numpy.int32), TypeError),
    (numpy.zeros(3, numpy.uint8), TypeError),
    (numpy.zeros(3, ">f8"), TypeError), (numpy.zeros(3, "U4"), TypeError),
    (numpy.zeros(3, "M8[D]"), TypeError), (numpy.zeros((3, 1)), ValueError),
    (numpy.zeros(6)[::2], ValueError), (pandas.array([1, None, 2], dtype="Int64"), TypeError),
    ([1, 2, 3], TypeError), (3, TypeError), ("abc", TypeError), (None, TypeError),
    ((numpy.zeros(3, numpy.int8), [1]), TypeError), ((1, 2, 3), TypeError),
    (["a", "b", "\ud800"], UnicodeEncodeError), (numpy.zeros(2), ValueError),
])
def test_what_would_have_to_be_copied_or_guessed_is_refused(plan, column, error):
    with pytest.raises(error):
        units = {} if isinstance(column, list) else {"height": "ft"}
        plan.decide({"height": column}, units=units, cases=3)


def test_wrong_names_and_units(shelf, plan):
    column = numpy.zeros(3)
    with pytest.raises(KeyError, match='"hight"; did you mean "height"'):
        plan.decide({"hight": column})
    with pytest.raises(ValueError, match="stones"):
        plan.decide({"height": column}, units={"height": "stones"})
    with pytest.raises(ValueError, match="height have no unit; give a unit such as ft"):
        plan.decide({"height": column})
    with pytest.raises(KeyError, match="width"):
        plan.decide({"height": column}, units={"height": "ft", "width": "ft"})
    with pytest.raises(ValueError, match='"height" holds texts: a text names its own unit'):
        plan.decide({"height": ["3", "4 m"]}, units={"height": "ft"})
    with pytest.raises(ValueError, match="two columns"):
        plan.decide(pandas.DataFrame([[1.0, 2.0]], columns=["height", "height"]))
    with pytest.raises(KeyError):
        plan.decide({})["no-such-duty"]
    with pytest.raises(toprail.FindingsError):
        shelf.plan(DAY, duties=["no-such-duty"])
    with pytest.raises(TypeError):
        plan.decide(column)


def test_a_part_of_an_array_is_read_where_it_lies(plan):
    whole = numpy.array([99.0, 3.0, 20.0, 99.0])
    whole.setflags(write=False)
    known = {"mechanism": (numpy.zeros(2, numpy.int8), ["scissor"]),
             "gate-open": numpy.zeros(2, bool)}
    outcomes = plan.decide({**known, "height": whole[1:3]}, units={"height": "ft"})
    assert words(outcomes) == ["not required", "not addressed"]


def test_what_the_columns_hand_over_is_the_memory_of_the_caller():
    heights = pandas.Series(numpy.arange(1000.0))
    categories = pandas.Series(pandas.Categorical(["a", "b"] * 500))
    gates = pandas.Series(numpy.zeros(1000, bool))
    frame = pandas.DataFrame({"h": heights, "c": categories, "g": gates})
    read, cases = toprail._columns.read(frame, {"h": "ft"}, None)
    assert cases == 1000
    for name, _, values, *_ in read:
        own = frame[name].array
        own = own.codes if hasattr(own, "codes") else own.to_numpy()
        assert numpy.shares_memory(numpy.asarray(values), own)


MEASURE = """
import resource, sys
import numpy, toprail
sys.path.insert(0, {tests!r})
from conftest import TEXTS
cases = 24_000_000
heights = numpy.zeros(cases)
heights[::2] = 20.0
codes = numpy.zeros(cases, numpy.int8)
plan = toprail.load_texts(TEXTS).plan("2024-06-01")
columns = {{"height": heights, "mechanism": (codes, ["scissor"]), "gate-open": codes.view(bool)}}
peak = lambda: resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024
before = peak()
outcomes = plan.decide(columns, units={{"height": "ft"}})
grown = peak() - before
assert outcomes["tie-off"][1] != outcomes["tie-off"][0]
print(grown, outcomes.bytes.nbytes, heights.nbytes)
"""


def test_deciding_takes_no_memory_but_the_outcomes():
    done = subprocess.run(
        [sys.executable, "-c", MEASURE.format(tests=str(Path(__file__).parent))],
        capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    grown, outcomes, heights = map(int, done.stdout.split())
    assert grown < outcomes + (heights - outcomes) / 4, "a column of doubles was copied"


def test_the_lock_is_free_while_columns_are_decided(shelf):
    plan = shelf.plan(DAY)
    heights = numpy.zeros(20_000_000)
    before = sys.getswitchinterval()
    # Nobody is asked for the lock any more: another thread runs only when it is given up.
    sys.setswitchinterval(1000)
    try:
        for _ in range(20):
            begun, ended = threading.Event(), []

            def work():
                begun.set()
                plan.decide({"height": heights}, units={"height": "ft"})
                ended.append(True)

            worker = threading.Thread(target=work)
            worker.start()
            begun.wait()
            ran_meanwhile = not ended
            worker.join()
            if ran_meanwhile:
                break
    finally:
        sys.setswitchinterval(before)
    assert ran_meanwhile


def test_texts_that_go_while_cases_are_decided(plan):
    texts = numpy.array([f"{i % 500} ft" for i in range(100_000)], dtype=object)

    def clear():
        texts[:] = None

    worker = threading.Thread(target=lambda: plan.decide({"height": texts}))
    worker.start()
    clear()
    worker.join()


def test_shipped_packs_by_columns_and_by_case():
    shelf = toprail.load(str(Path(__file__).resolve().parents[3] / "rulepacks"))
    plan = shelf.plan(DAY, authorities=["us.federal.construction"], duties=["tie-off"])
    heights = [3.0, 5.9, 6.0, 9.99, 10.0, 14.1, float("nan")]
    rails = ["complete", "removed", "complete", "removed", "removed", "removed", "removed"]
    outcomes = plan.decide(
        {"platform-height": numpy.array(heights), "guardrail": pandas.Categorical(rails),
         "lift-mechanism": pandas.Categorical(["scissor"] * len(rails)),
         "elevated": numpy.ones(len(rails), bool)}, units={"platform-height": "ft"})
    expected = [
        shelf.decide({"platform-height": None if h != h else f"{h} ft", "guardrail": r,
                      "lift-mechanism": "scissor", "elevated": True}, DAY,
                     authorities=["us.federal.construction"]).duty("tie-off").outcome
        for h, r in zip(heights, rails)]
    assert words(outcomes) == expected
