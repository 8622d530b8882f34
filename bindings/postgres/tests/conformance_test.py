"""The conformance cases in SQL: the receipts of the command, byte for byte."""

import json
import sys
from server import BUILD, ROOT, SqlError, quoted

sys.path.insert(0, str(ROOT / "tests" / "conformance"))
import run  # noqa: E402


def in_sql(value):
    words = {"yes": True, "no": False, "not known": None}
    plain, source = run.told(value)
    plain = words.get(plain, plain)
    return {"value": plain, "from": source} if source else plain


def test_receipts_are_those_of_the_command(server):
    plan = run.load(ROOT / "tests" / "conformance" / "cases.yaml")
    decided = list(run.cases_of(plan))
    assert len(decided) >= 12
    call = ("SELECT receipt FROM shelf, toprail_decide_pinned(packs, {}, {}, case_name => {}, "
            "authorities => {});\n")

    def sql(case):
        facts = json.dumps({name: in_sql(value) for name, value in case["facts"].items()})
        authorities = "{" + ",".join(case.get("authorities", [])) + "}"
        return call.format(quoted(facts), quoted(case["on"]), quoted(case["case"]), quoted(authorities))

    receipts = server.sql("".join(map(sql, decided)))
    assert len(receipts) == len(decided)
    for case, receipt in zip(decided, receipts):
        expected = run.by_command(BUILD / "toprail", case).decode()
        assert receipt == expected, case["case"]
    for case in plan["unusable"]:
        try:
            server.sql(sql(case))
        except SqlError as error:
            assert "the facts cannot be used" in str(error)
        else:
            raise AssertionError(f"{case['case']} was decided")
