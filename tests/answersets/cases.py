"""Collects worked and published cases, and makes mutants of them."""

import datetime
import pathlib
import random

import figures
from program import Case
from shelf import load


def plain(facts):
    """Facts as text, without who they came from."""
    return {name: entry["value"] if isinstance(entry, dict) else entry
            for name, entry in facts.items()}


def worked_cases(shelf):
    for authority, editions in sorted(shelf.packs.items()):
        for edition in editions:
            for entry in edition.document.get("worked-cases") or []:
                on = entry.get("on", edition.document["edition"]["verified-through"])
                yield Case(f"{edition.path}: {entry['name']}", "worked", on, (authority,),
                           plain(entry["facts"]))


def published_cases(folder):
    for path in sorted(pathlib.Path(folder).glob("*.yaml")):
        for entry in load(path)["cases"]:
            yield Case(f"{path}: {entry['name']}", "published", entry["on"],
                       tuple(sorted(entry.get("authorities", []))), plain(entry["facts"]))


class Mutator:
    """Takes facts away, changes them and adds others, by a seed of its own for every case."""

    def __init__(self, shelf, seed):
        self.shelf = shelf
        self.seed = seed

    def mutant(self, case, program, number):
        chance = random.Random(f"{self.seed}/{case.label}/{number}")
        facts = {}
        for name, text in sorted(case.facts.items()):
            fate = chance.random()
            if fate < 0.3:
                continue
            facts[name] = (self.value(chance, program, name, case.facts) if fate < 0.5 else text)
        others = sorted(program.used_facts & set(self.shelf.facts) - set(facts) - {"work-date"})
        for name in chance.sample(others, min(len(others), chance.randrange(4))):
            facts[name] = self.value(chance, program, name, case.facts)
        return Case(f"{case.label}, mutant {number}", "mutant", case.on, case.authorities, facts)

    def value(self, chance, program, name, facts):
        """A sensible value as text; "not known" now and then."""
        fact = self.shelf.facts[name]
        if chance.random() < 0.1:
            return "not known"
        if fact.may_not_apply and chance.random() < 0.2:
            return "does not apply"
        if fact.values:
            return chance.choice(fact.values)
        if fact.kind == "date":
            return self.date(chance, program, name, facts)
        return self.figure(chance, program, name, facts)

    @staticmethod
    def compared_with(program, name, facts):
        """The figures that the rules compare a fact with, those of other facts included."""
        found = set()
        for number in program.compared:
            _, _, *sides = program.nodes.nodes[number]
            for one, (kind, other) in (sides, reversed(sides)):
                if one == ("fact", name):
                    found.add(other if kind == "figure" else figures.figure(facts.get(other, "")))
        return sorted(found - {None})

    def date(self, chance, program, name, facts):
        days = self.compared_with(program, name, facts) or [datetime.date(2020, 1, 1).toordinal()]
        picked = chance.choice(days) + chance.choice([-400, -1, 0, 1, 400])
        for authority in program.authorities:
            # Before the first edition there is no answer to compare.
            first = self.shelf.packs[authority][0]
            if first.picked_by == name:
                picked = max(picked, first.first)
        return datetime.date.fromordinal(picked).isoformat()

    def figure(self, chance, program, name, facts):
        fact = self.shelf.facts[name]
        near = self.compared_with(program, name, facts)
        ends = [end for end in (fact.lowest, fact.highest) if end is not None]
        picked = chance.choice(near if near and chance.random() < 0.8 else near + ends)
        units = sorted(figures.UNITS[fact.kind].items())
        if fact.kind in ("count", "ratio"):
            picked += chance.choice([-1, 0, 0, 1])
        else:
            picked += chance.choice([-1, 0, 0, 1]) * chance.choice(units)[1] / 10
        if fact.lowest is not None:
            picked = max(picked, fact.lowest)
        if fact.highest is not None:
            picked = min(picked, fact.highest)
        texts = [f"{text} {unit}".strip() for unit, size in units
                 if (text := figures.decimal(picked / size)) is not None]
        return chance.choice(texts)
