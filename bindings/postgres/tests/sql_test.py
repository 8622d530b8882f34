"""The SQL functions, through psql."""

import json
import random
from pathlib import Path

import pytest

from server import SqlError, quoted
from small import PACK, packs

DAY = "date '2024-06-01'"


def decided(server, facts, columns="outcome", packs_sql=None, more="", function="toprail_decide_pinned"):
    (line,) = server.sql(f"SELECT {columns} FROM {function}({packs_sql or packs()}, "
                         f"{quoted(json.dumps(facts))}, {DAY}{more})")
    return line


def refused(server, sql, user="owner"):
    with pytest.raises(SqlError) as error:
        server.sql(sql, user)
    return str(error.value)


def mark_in(said):
    """What stands above the mark that psql sets below the line of an error, and after it."""
    line, mark = said.split("LINE 1: ")[1].splitlines()[:2]
    return line[mark.index("^") - len("LINE 1: "):]


def test_outcome_settling_facts_and_receipt(server):
    assert decided(server, {"mechanism": "boom"}) == "required"
    assert decided(server, {"height": {"value": "3 ft", "from": "tape"}, "mechanism": "scissor"},
                   "outcome, settled_by, ask_next IS NULL, provisions") == \
        "not required|{}|t|{yard/low}"
    assert decided(server, {"mechanism": None}, "outcome, possible, act_as_if, settled_by") == \
        'undetermined|{required,"not required","not addressed"}|required|{height,mechanism}'
    receipt = decided(server, {"mechanism": "boom"}, "receipt", more=", case_name => 'one'")
    assert json.loads(receipt)["digest"]
    assert decided(server, {}, "receipt IS NULL", more=", with_receipt => false") == "t"
    assert decided(server, {}, more=", duty => 'lookout'") == "not addressed"
    assert decided(server, {"persons": 2, "gate-open": False}) == "undetermined"
    assert server.sql(f"SELECT toprail_decide(NULL, '{{}}', {DAY}) IS NULL") == ["t"]
    assert server.sql("SELECT toprail_version() ~ '^[0-9]+[.][0-9]+[.][0-9]+$'") == ["t"]


def test_packs_are_pinned_by_their_text_or_named_by_a_folder(server):
    facts = {"mechanism": "scissor", "height": "5 ft"}
    assert decided(server, facts) == "not addressed"
    stricter = PACK.replace("less than 4 ft", "less than 6 ft")
    assert decided(server, facts, packs_sql=packs(**{"yard.yaml": stricter})) == "not required"
    assert decided(server, facts) == "not addressed"
    # Files that are neither rulepack nor vocabulary are left out.
    assert decided(server, facts, packs_sql=packs(**{"site.yaml": "site: x\ncases: []\n"})) == \
        "not addressed"
    folder = server.folder / "own"
    folder.mkdir()
    for name, text in json.loads(packs()[1:-8].replace("''", "'"))["texts"].items():
        (folder / name).write_text(text)
    named = f"jsonb_build_object('folders', jsonb_build_array('{folder}'))"
    assert decided(server, facts, packs_sql=named, function="toprail_decide") == "not addressed"
    # Within one session, the next statement sees what changed.
    call = f"SELECT outcome FROM toprail_decide({named}, {quoted(json.dumps(facts))}, {DAY});\n"
    change = f"\\! sed -i 's/less than 4 ft/less than 6 ft/' {folder}/yard.yaml\n"
    assert server.sql(call + change + call) == ["not addressed", "not required"]
    assert "no pinned packs" in refused(
        server, f"SELECT toprail_decide_pinned({named}, '{{}}', {DAY})")


def test_folders_are_for_those_who_may_read_files(server):
    server.sql("CREATE ROLE clerk LOGIN")
    named = '\'{"folders": ["/etc"]}\''
    assert "pg_read_server_files" in refused(
        server, f"SELECT toprail_decide({named}, '{{}}', {DAY})", user="clerk")
    assert "permission denied" in refused(server, "SELECT toprail_packs('/etc')", user="clerk")
    assert server.sql(f"SELECT outcome FROM toprail_decide_pinned({packs()}, '{{}}', {DAY})",
                      user="clerk") == ["undetermined"]
    assert "absolute path" in refused(
        server, f"SELECT toprail_decide('{{\"folders\": [\"etc\"]}}', '{{}}', {DAY})")


def test_errors_tell_their_place(server):
    misspelt = PACK.replace("height is", "hight is")
    line = next(number for number, text in enumerate(misspelt.splitlines(), 1) if "hight" in text)
    said = refused(
        server, f"SELECT toprail_decide_pinned({packs(**{'yard.yaml': misspelt})}, '{{}}', {DAY})")
    column = misspelt.splitlines()[line - 1].index("hight") + 1
    assert f"yard.yaml:{line}:{column}: " in said, said
    assert mark_in(said).startswith("hight is less"), said
    facts = '{"gate-open": true, "height": {"from": "\\"height\\": 1", "value": "14 stones"}}'
    said = refused(server, f"SELECT toprail_decide_pinned({packs()}, '{facts}', {DAY})")
    # The server writes the shorter keys of jsonb first; the mark stands below the key itself.
    assert mark_in(said).startswith('"height": {"from"'), said
    assert "HINT:" in said and "22023" not in said
    code = server.sql(f"""DO $do$ BEGIN PERFORM toprail_decide_pinned({packs()}, '{facts}', {DAY});
        EXCEPTION WHEN invalid_parameter_value THEN RAISE NOTICE 'caught'; END $do$; SELECT 'fine'""")
    assert code == ["fine"]


@pytest.mark.parametrize("packs_sql, facts, more, says", [
    ("'[]'", "{}", "", "are no object"),
    ("'{}'", "{}", "", "neither texts nor folders"),
    ("'{\"texts\": 3}'", "{}", "", "no object"),
    ("'{\"texts\": {\"a\": 3}}'", "{}", "", "no string"),
    ("'{\"folders\": {}}'", "{}", "", "no list"),
    (None, "[]", "", "facts are an object"),
    (None, '{"height": [1]}', "", 'fact "height" is a list'),
    (None, '{"height": {"value": {}}}', "", "has a list or an object"),
    (None, '{"height": {"vale": 1}}', "", "another key"),
    (None, '{"height": {"from": 1}}', "", "source that is no string"),
    (None, '{"hight": "1 ft"}', "", "hight"),
    (None, "{}", ", duty => 'tie-of'", "tie-of"),
    (None, "{}", ", authorities => '{nobody}'", "nobody"),
    (None, "{}", ", authorities => '{NULL}'", "null"),
])
def test_what_cannot_be_used_is_refused(server, packs_sql, facts, more, says):
    said = refused(server, f"SELECT toprail_decide({packs_sql or packs()}, {quoted(facts)}, {DAY}{more})")
    assert says in said and "ERROR" in said


def test_days(server):
    for day, says in (("infinity", "is no day"), ("1700-01-01", "1800"), ("0044-03-15 BC", "1800")):
        said = refused(server, f"SELECT toprail_decide({packs()}, '{{}}', '{day}')")
        assert says in said


def test_volatility_and_parallel_safety(server):
    assert server.sql("""SELECT proname, provolatile, proparallel, proisstrict FROM pg_proc
        WHERE proname LIKE 'toprail%' ORDER BY proname""") == [
        "toprail_decide|v|s|t", "toprail_decide_pinned|i|s|t", "toprail_packs|v|r|t",
        "toprail_version|s|s|t"]


def test_more_sets_of_packs_in_one_query_than_are_kept(server):
    # Long enough to lie out of line, and no shorter when it is compressed.
    padding = "".join(f"# {random.Random(i).randbytes(40).hex()}\n" for i in range(300))
    sets = ", ".join(
        f"({feet}, {packs(**{'yard.yaml': padding + PACK.replace('less than 4 ft', f'less than {feet} ft')})})"
        for feet in range(1, 7))
    lines = server.sql(f"""CREATE TABLE sets (feet int, packs jsonb);
        INSERT INTO sets VALUES {sets};
        SELECT pg_column_size(packs) > 8000 FROM sets LIMIT 1;
        SELECT feet, outcome FROM generate_series(1, 3) AS i CROSS JOIN LATERAL (
            SELECT feet, outcome FROM sets, LATERAL toprail_decide_pinned(packs,
                jsonb_build_object('height', '3.5 ft', 'mechanism', 'scissor', 'persons', i),
                {DAY}, with_receipt => false)) AS each;""")
    assert lines[0] == "t" and len(lines) == 19
    for line in lines[1:]:
        feet, outcome = line.split("|")
        assert outcome == ("not required" if int(feet) >= 4 else "not addressed"), line


def test_many_calls_keep_no_memory(server):
    lines = server.sql(f"""
        CREATE TEMP TABLE seen AS SELECT {packs()} AS packs;
        SELECT count(outcome) FROM seen, generate_series(1, 2000) AS i, LATERAL toprail_decide_pinned(
            packs, jsonb_build_object('height', (i % 9) || ' ft', 'mechanism', 'scissor'), {DAY});
        SELECT pg_size_bytes('0') + sum(total_bytes) FROM pg_backend_memory_contexts;
        SELECT count(outcome) FROM seen, generate_series(1, 4000) AS i, LATERAL toprail_decide_pinned(
            packs, jsonb_build_object('height', (i % 9) || ' ft', 'mechanism', 'scissor'), {DAY});
        SELECT sum(total_bytes) FROM pg_backend_memory_contexts;""")
    assert lines[0] == "2000" and lines[2] == "4000"
    assert int(lines[3]) - int(lines[1]) < 1 << 20


def test_example_in_parallel(server):
    example = (Path(__file__).parents[1] / "example.sql").read_text()
    assert example.count("\n") <= 30
    setup = """CREATE SCHEMA example; SET search_path = example, public;
        SET parallel_setup_cost = 0; SET parallel_tuple_cost = 0; SET min_parallel_table_scan_size = 0;
        SET max_parallel_workers_per_gather = 2;\n"""
    lines = server.sql(setup + example.replace(":rulepacks", quoted(f"{server.folder}/rulepacks")))
    plan = [line for line in lines if "Gather" in line or "Parallel Seq Scan" in line]
    assert any("Gather" in line for line in plan) and any("Parallel" in line for line in plan), lines
    changed = [line for line in lines if line.startswith("lift-")]
    assert changed == ["lift-b|not required|required|{}"], lines
