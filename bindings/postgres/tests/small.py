"""A vocabulary and a pack of a few lines."""

import json

VOCABULARY = """vocabulary: small
title: A few words
standings:
  regulation: {rank: 2, may: [require, relax, limit, explain]}
facts:
  mechanism: {type: choice, values: [boom, scissor], reads: the mechanism, ask: "What?", why: w}
  gate-open: {type: yes-no, reads: the gate is open, ask: "Open?", why: w}
  height: {type: length, unit: ft, from: 0 ft, to: 500 ft, reads: the height, ask: "High?", why: w}
  persons: {type: count, from: 0, to: 20, reads: the persons aboard, ask: "How many?", why: w}
duties:
  tie-off: {asks: "Must the person be tied off?", reads: tie-off}
  lookout: {asks: "Must somebody look out?", reads: a lookout}
"""

PACK = """rulepack: yard
title: Rules of the yard
format: 1
vocabulary: small
standing: regulation
edition: {from: 2000-01-01, verified-through: 2030-01-01, picked-by: work-date}
provisions:
  - {id: boom, cite: Yard 1, source: read, gist: Tie off in a boom., duty: tie-off,
     calls-for: required, where: mechanism is boom}
  - {id: low, cite: Yard 2, source: read, gist: None below four feet., duty: tie-off,
     calls-for: not required, where: height is less than 4 ft}
"""


def packs(**others):
    """The SQL of a set of packs."""
    texts = {"small.yaml": VOCABULARY, "yard.yaml": PACK, **others}
    return "'" + json.dumps({"texts": texts}).replace("'", "''") + "'::jsonb"
