"""Reads vocabularies and rulepacks into nodes of conditions and flat lists of provisions.

Written from the language page, apart from the library. Nodes are shared by number; see Nodes.
"""

import datetime
import pathlib
import re
from dataclasses import dataclass, field

import yaml

import figures

COMPARISONS = [("is more than", ">"), ("is at least", ">="), ("is at most", "<="),
               ("is less than", "<"), ("is exactly", "="), ("is on or before", "<="),
               ("is on or after", ">="), ("is before", "<"), ("is after", ">"), ("is on", "=")]
NAME = r"[a-z][a-z0-9]*(?:-[a-z0-9]+)*"
ONE_OF = re.compile(rf"({NAME}) is (not )?one of \[(.*)\]$", re.DOTALL)
COMPARED = re.compile(rf"({NAME}) ({'|'.join(words for words, _ in COMPARISONS)}) (.+)$")
HAS_VALUE = re.compile(rf"({NAME}) is (not )?(\S+)$")
TRUTH = re.compile(rf"(not )?({NAME})$")
WORK_DATE = "work-date"


def load(path):
    # BaseLoader keeps every scalar as text: no, 2000-01-01 and 10 are read by kind, not by looks.
    with open(path, encoding="utf-8") as stream:
        return yaml.load(stream, Loader=getattr(yaml, "CBaseLoader", yaml.BaseLoader))


def day(text):
    return datetime.date.fromisoformat(text).toordinal()


@dataclass
class Fact:
    kind: str
    values: list
    may_not_apply: bool
    lowest: object
    highest: object


class Nodes:
    """Numbered nodes of conditions and quantities; equal ones share a number.

    A node is ("is", fact, values), ("is-not", fact, values), ("not", n), ("all", ns), ("any", ns),
    ("none", ns) or ("compare", operator, left, right) over ("fact", name), ("quantity", number) and
    ("figure", value). A quantity is a tuple of pieces (node or None, formula, operands by name).
    """

    def __init__(self):
        self.nodes, self.quantities = [], []
        self.node_numbers, self.quantity_numbers = {}, {}

    def node(self, *parts):
        return self.number(parts, self.nodes, self.node_numbers)

    def quantity(self, pieces):
        return self.number(pieces, self.quantities, self.quantity_numbers)

    @staticmethod
    def number(thing, things, numbers):
        if thing not in numbers:
            numbers[thing] = len(things)
            things.append(thing)
        return numbers[thing]


class Scope:
    """Names that one file may use: its own, those it adopts, and the words of the vocabularies."""

    def __init__(self, shelf, document, adopted):
        self.shelf = shelf
        self.conditions = document.get("conditions") or {}
        self.quantities = document.get("quantities") or {}
        self.adopted = adopted
        self.known = {}

    def find(self, name):
        """The meaning of a name: ("fact", f), ("quantity", number) or ("node", number)."""
        if name not in self.known:
            self.known[name] = self.look_up(name)
        if self.known[name] is None:
            raise KeyError(name)
        return self.known[name]

    def look_up(self, name):
        if name in self.conditions:
            return ("node", self.form(self.conditions[name]))
        if name in self.quantities:
            return ("quantity", self.pieces(self.quantities[name]))
        for scope, left_out in self.adopted:
            if name not in left_out:
                try:
                    return scope.find(name)
                except KeyError:
                    pass
        if self is not self.shelf.words:
            return self.shelf.words.find(name)
        return ("fact", name) if name in self.shelf.facts else None

    def form(self, form):
        """The node of a sentence, a map of lists, or the body of a named condition."""
        nodes = self.shelf.nodes
        if isinstance(form, str):
            return self.sentence(" ".join(form.split()))
        forms = {"all-of": "all", "any-of": "any", "none-of": "none"}
        parts = [nodes.node(forms[key], tuple(sorted({self.form(item) for item in form[key]})))
                 for key in forms if key in form]
        if "is" in form:
            parts.append(self.form(form["is"]))
        if len(parts) != 1:
            raise ValueError(f"a condition has one form: {form}")
        return parts[0]

    def sentence(self, text):
        nodes = self.shelf.nodes
        if match := ONE_OF.match(text):
            values = tuple(sorted(value.strip() for value in match.group(3).split(",")))
            return self.value_node(match.group(1), match.group(2), values)
        if match := COMPARED.match(text):
            return self.comparison(match.group(1), dict(COMPARISONS)[match.group(2)],
                                   match.group(3))
        if match := HAS_VALUE.match(text):
            return self.value_node(match.group(1), match.group(2), (match.group(3),))
        match = TRUTH.match(text)
        if not match:
            raise ValueError(f"cannot read the sentence {text!r}")
        kind, thing = self.find(match.group(2))
        node = thing if kind == "node" else nodes.node("is", thing, ("yes",))
        return nodes.node("not", node) if match.group(1) else node

    def value_node(self, name, negated, values):
        kind, fact = self.find(name)
        known = self.shelf.facts[fact] if kind == "fact" else None
        if not known or not set(values) <= set(known.values):
            raise ValueError(f"{name} is never {values}")
        return self.shelf.nodes.node("is-not" if negated else "is", fact, values)

    def comparison(self, name, operator, other):
        left = self.find(name)
        if re.fullmatch(r"\d{4}-\d\d-\d\d", other):
            right = ("figure", day(other))
        elif (value := figures.figure(other)) is not None:
            right = ("figure", value)
        else:
            right = self.find(other)
        if "node" in (left[0], right[0]):
            raise ValueError(f"a condition has no size: {name}, {other}")
        return self.shelf.nodes.node("compare", operator, left, right)

    def pieces(self, quantity):
        pieces = []
        for piece in quantity.get("pieces") or [quantity]:
            tree = figures.FormulaReader(piece["equals"]).read()
            where = self.form(piece["where"]) if "where" in piece else None
            operands = tuple(sorted((name, self.find(name)) for name in set(figures.names(tree))))
            pieces.append((where, tree, operands))
        return self.shelf.nodes.quantity(tuple(pieces))


@dataclass
class Provision:
    """One provision as an authority holds it. Its condition takes in dates and adoption."""
    authority: str
    edition: str
    name: str
    condition: int
    entry: dict = field(repr=False)

    @property
    def key(self):
        return f"{self.authority}/{self.name}@{self.edition}"


@dataclass
class Edition:
    path: str
    document: dict = field(repr=False)
    first: int = 0
    last: object = None

    @property
    def name(self):
        return self.document["edition"]["from"]

    @property
    def picked_by(self):
        return self.document["edition"]["picked-by"]


class Shelf:
    def __init__(self, folder):
        self.facts = {WORK_DATE: Fact("date", [], False, None, None)}
        self.choices, self.duties = {}, []
        self.nodes = Nodes()
        words = {"conditions": {}, "quantities": {}}
        packs = {}
        for path in sorted(pathlib.Path(folder).rglob("*.yaml")):
            document = load(path)
            if "rulepack" in document:
                edition = Edition(str(path), document, day(document["edition"]["from"]))
                packs.setdefault(document["rulepack"], []).append(edition)
            elif "vocabulary" in document:
                self.add_words(document)
                for part, entries in words.items():
                    entries.update(document.get(part) or {})
        self.words = None
        self.words = Scope(self, words, [])
        self.packs = packs
        for editions in packs.values():
            editions.sort(key=lambda edition: edition.first)
            for edition, following in zip(editions, editions[1:] + [None]):
                until = edition.document["edition"].get("until")
                edition.last = day(until) if until else following and following.first - 1
        self.scopes, self.provision_lists = {}, {}

    def add_words(self, document):
        for name, entry in (document.get("facts") or {}).items():
            values = ["yes", "no"] if entry["type"] == "yes-no" else entry.get("values", [])
            self.facts[name] = Fact(entry["type"], values, entry.get("may-not-apply") == "yes",
                                    *(figures.figure(entry[end]) if end in entry else None
                                      for end in ("from", "to")))
        for name, entry in (document.get("choices") or {}).items():
            self.choices[name] = entry["values"]
            self.facts[name] = Fact("choice", entry["values"], entry.get("may-not-apply") == "yes",
                                    None, None)
        self.duties += list(document.get("duties") or {})

    @staticmethod
    def adoptions(document):
        adopts = document.get("adopts") or []
        return [adopts] if isinstance(adopts, dict) else adopts

    def scope(self, edition):
        if edition.path not in self.scopes:
            adopted = [(self.scope(self.packs[adoption["rulepack"]][-1]),
                        set(adoption.get("leaves-out", [])))
                       for adoption in self.adoptions(edition.document)]
            self.scopes[edition.path] = Scope(self, edition.document, adopted)
        return self.scopes[edition.path]

    def span(self, fact, first, last):
        """Nodes that together say: the date lies between two days, either of which may be open."""
        return [self.nodes.node("compare", operator, ("fact", fact), ("figure", bound))
                for operator, bound in ((">=", first), ("<=", last)) if bound is not None]

    def held(self, edition):
        """(name, nodes that must all be true, entry) of everything a file holds or adopts."""
        scope = self.scope(edition)
        for entry in edition.document.get("provisions") or []:
            nodes = [scope.form(entry["where"])] if "where" in entry else []
            if span := entry.get("in-force"):
                nodes += self.span(span.get("picked-by", WORK_DATE),
                                   *(day(span[end]) if end in span else None
                                     for end in ("from", "until")))
            yield entry["id"], nodes, entry
        for adoption in self.adoptions(edition.document):
            narrowed = [scope.form(adoption["where"])] if "where" in adoption else []
            for name, nodes, entry in self.held(self.packs[adoption["rulepack"]][-1]):
                if name not in adoption.get("leaves-out", []):
                    yield name, nodes + narrowed, entry

    def provisions(self, authority):
        if authority not in self.provision_lists:
            self.provision_lists[authority] = self.all_provisions(authority)
        return self.provision_lists[authority]

    def all_provisions(self, authority):
        found = {}
        for edition in self.packs[authority]:
            counts = self.span(edition.picked_by, edition.first, edition.last)
            for name, nodes, entry in self.held(edition):
                condition = self.nodes.node("all", tuple(sorted(set(nodes + counts))))
                provision = Provision(authority, edition.name, name, condition, entry)
                if provision.key in found:
                    raise ValueError(f"{provision.key} is there twice")
                found[provision.key] = provision
        return list(found.values())
