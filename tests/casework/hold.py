#!/usr/bin/env python3
"""The gate on worked cases, run as people run it: exit status, text and JSON.

usage: hold.py TOPRAIL
"""

import json
import pathlib
import subprocess
import sys
import tempfile

VOCABULARY = """vocabulary: small
title: A few words
standings:
  regulation: {rank: 1, may: [require, relax, limit, explain]}
facts:
  height: {type: length, unit: ft, from: 0 ft, to: 20 ft, reads: r, ask: a, why: w}
duties:
  tie-off: {asks: a, reads: tie-off}
"""
PACK = """rulepack: small.law
title: t
format: 1
standing: regulation
vocabulary: [small]
edition: {from: 2000-01-01, verified-through: 2020-01-01, picked-by: work-date}
provisions:
  - id: tied
    cite: c
    source: read
    gist: g
    where: height is at least 10 ft
    duty: tie-off
    calls-for: required
worked-cases:
  - {name: nine, facts: {height: 9 ft}, answers: {tie-off: not addressed}}
  - {name: eleven, facts: {height: 11 ft}, answers: {tie-off: required}}
"""
ON_THE_POINT = "  - {name: ten, facts: {height: 10 ft}, answers: {tie-off: required}}\n"
SLIPS = ['"height is at least 10 ft" is more than', '"height is at least 10 ft" with 11 ft']


def explained(changes):
    return "unnoticed:\n" + "".join(f"  - {{change: '{c}', why: w}}\n" for c in changes)


def main():
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        (folder / "small.yaml").write_text(VOCABULARY, encoding="utf-8")

        def run(pack, *options):
            (folder / "law.yaml").write_text(pack, encoding="utf-8")
            return subprocess.run(
                [sys.argv[1], "prove", name, "--worked-cases", *options],
                capture_output=True,
                text=True,
                check=False,
            )

        def expect(pack, status, *options):
            done = run(pack, *options)
            assert done.returncode == status, (status, done)
            return done.stdout

        # Told, but no gate unless a threshold is given.
        text = expect(PACK, 0)
        for slip in SLIPS:
            assert f"not noticed: {slip}\n" in text, text
        expect(PACK, 1, "--threshold", "0")
        expect(PACK, 1, "--threshold", "1")
        expect(PACK, 0, "--threshold", "2")
        expect(PACK + ON_THE_POINT, 0, "--threshold", "0")

        # An explanation opens the gate; one that nothing needs closes it.
        expect(PACK + explained(SLIPS), 0, "--threshold", "0")
        expect(PACK + explained(SLIPS[:1]), 1, "--threshold", "0")
        text = expect(PACK + ON_THE_POINT + explained(SLIPS[:1]), 1, "--threshold", "0")
        assert "law.yaml:20: explained, but nothing to explain: " + SLIPS[0] in text, text

        answer = json.loads(expect(PACK + explained(SLIPS[:1]), 0, "--format", "json"))
        (pack,) = answer["packs"]
        assert [each["change"] for each in pack["unnoticed"]] == SLIPS[1:], pack
        assert pack["explained"] == [
            {"file": pack["unnoticed"][0]["file"], "line": 12, "change": SLIPS[0], "why": "w"}
        ], pack
        assert pack["proved-alike"] == [] and pack["explained-for-nothing"] == [], pack


main()
