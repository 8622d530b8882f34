#!/usr/bin/env python3
"""Writes an invented shelf of many provisions, the same on every machine.

    make_shelf.py PROVISIONS FOLDER

Each authority has 50 provisions. Two of them are at fault, so that whoever looks through the shelf
has something to find: one can never stand, and one frees from what another requires.
"""

import pathlib
import random
import sys

PER_AUTHORITY = 50
CHOICES = {f"kind-{i}": [f"v{i}-{j}" for j in range(3 + i % 3)] for i in range(8)}
HEIGHTS = [f"height-{i}" for i in range(8)]
FLAGS = [f"flag-{i}" for i in range(16)]
DUTIES = [f"duty-{i}" for i in range(6)]
WORDS = "reads: r, ask: a, why: w"


def vocabulary():
    lines = ["vocabulary: large", "title: Words of an invented shelf", "standings:",
             "  regulation: {rank: 1, may: [require, relax, limit, explain]}", "facts:"]
    lines += [f"  {name}: {{type: choice, values: [{', '.join(values)}], {WORDS}}}"
              for name, values in CHOICES.items()]
    lines += [f"  {name}: {{type: length, unit: ft, from: 0 ft, to: 100 ft, {WORDS}}}"
              for name in HEIGHTS]
    lines += [f"  {name}: {{type: yes-no, {WORDS}}}" for name in FLAGS]
    lines += [f"  rope: {{type: length, unit: ft, from: 0 ft, to: 90 ft, plan: yes, {WORDS}}}",
              "choices:", "  means: {values: [restraint, positioning, arrest], reads: r, ask: a, "
              "why: w}", "duties:"]
    lines += [f"  {name}: {{asks: a, reads: r}}" for name in DUTIES]
    return "\n".join(lines) + "\n"


def sentence(dice):
    kind = dice.randrange(3)
    if kind == 0:
        name = dice.choice(list(CHOICES))
        return f"{name} is {dice.choice(['', 'not '])}{dice.choice(CHOICES[name])}"
    if kind == 1:
        verb = dice.choice(["more than", "at least", "less than"])
        return f"{dice.choice(HEIGHTS)} is {verb} {dice.randrange(4, 60)} ft"
    return dice.choice(["", "not "]) + dice.choice(FLAGS)


def sentences(dice, count):
    return "[" + ", ".join(f'"{sentence(dice)}"' for _ in range(count)) + "]"


def effect(dice):
    kind = dice.randrange(4)
    if kind < 2:
        return f"duty: {dice.choice(DUTIES[1:])}, calls-for: required"
    if kind == 2:
        return f"choice: means, bars: [{dice.choice(['restraint', 'positioning'])}]"
    return f"limit: rope, at-most: {dice.randrange(2, 60)} ft"


def pack(number):
    dice = random.Random(number)
    name = f"large.a{number:03}"
    lines = [f"rulepack: {name}", "title: t", "format: 1", "standing: regulation",
             "vocabulary: [large]",
             "edition: {from: 2000-01-01, verified-through: 2020-01-01, picked-by: work-date}",
             "conditions:"]
    conditions = [f"c{i}" for i in range(12)]
    for i, condition in enumerate(conditions):
        below = [] if i < 4 else [dice.choice(conditions[:i])]
        parts = sentences(dice, 2)[:-1] + "".join(f", {c}" for c in below) + "]"
        lines.append(f"  {condition}: {{reads: r, {dice.choice(['all-of', 'any-of'])}: {parts}}}")
    lines.append("provisions:")

    def provision(key, where, what):
        lines.append(f"  - {{id: {key}, cite: c, source: read, gist: g, where: {where}, {what}}}")

    for i in range(PER_AUTHORITY - 4):
        where = f"{{all-of: [{dice.choice(conditions)}, \"{sentence(dice)}\"]}}"
        if i < len(conditions):
            where = f"{{all-of: [{conditions[i]}, \"{sentence(dice)}\"]}}"
        provision(f"p{i}", where, effect(dice))
    provision("never", '{all-of: ["height-0 is more than 50 ft", "height-0 is less than 40 ft"]}',
              "duty: duty-1, calls-for: required")
    provision("asks", "flag-0", "duty: duty-0, calls-for: required")
    provision("frees", "flag-1", "duty: duty-0, calls-for: not required")
    provision("note", "flag-2", "remarks-on: duty-0")
    return name, "\n".join(lines) + "\n"


def write(provisions, folder):
    folder = pathlib.Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "vocabulary.yaml").write_text(vocabulary())
    names = []
    for number in range(provisions // PER_AUTHORITY):
        name, text = pack(number)
        (folder / f"{name}.yaml").write_text(text)
        names.append(name)
    return names


if __name__ == "__main__":
    write(int(sys.argv[1]), sys.argv[2])
