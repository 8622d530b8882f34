"""Figures with units and the formulas built from them, in exact fractions.

Written from the language page. A figure is turned into the base unit of its kind (m, kg, N, s, m/s,
deg), so two figures of one kind compare as plain fractions.
"""

import math
import re
from fractions import Fraction

INCH = Fraction(254, 10000)
POUND = Fraction("0.45359237")
GRAVITY = Fraction("9.80665")
MILE = 63360 * INCH

UNITS = {
    "length": {"in": INCH, "ft": 12 * INCH, "yd": 36 * INCH, "mm": Fraction(1, 1000),
               "cm": Fraction(1, 100), "m": Fraction(1), "km": Fraction(1000)},
    "mass": {"lb": POUND, "kg": Fraction(1), "g": Fraction(1, 1000)},
    "force": {"lbf": POUND * GRAVITY, "kN": Fraction(1000), "N": Fraction(1)},
    "time": {"s": Fraction(1), "min": Fraction(60), "h": Fraction(3600), "day": Fraction(86400)},
    "speed": {"ft/s": 12 * INCH, "m/s": Fraction(1), "mph": MILE / 3600,
              "km/h": Fraction(1000, 3600), "ft/min": 12 * INCH / 60},
    "angle": {"deg": Fraction(1)},
    "acceleration": {"gn": GRAVITY},
    "count": {"": Fraction(1)},
    "ratio": {"": Fraction(1)},
}
SIZES = {unit: size for units in UNITS.values() for unit, size in units.items()}

FIGURE = re.compile(r"(-?\d+(?:\.\d+)?)(?: (\S+))?$")
TOKEN = re.compile(
    r"\s*(?:(?P<figure>\d+(?:\.\d+)?(?: (?:"
    + "|".join(sorted((re.escape(unit) for unit in SIZES if unit), key=len, reverse=True))
    + r")(?![A-Za-z0-9/-]))?)|(?P<name>[a-z][a-z0-9]*(?:-[a-z0-9]+)*)|(?P<sign>[-+*/(),]))")

# Roots are cut off after this many decimal places; figures nearer to each other than NEARLY are
# taken as equal. Two different exact figures of a rulepack never lie that close together.
ROOT_SCALE = 10**45
NEARLY = Fraction(1, 10**35)


class Undefined(Exception):
    """A formula divides by zero or takes the root of a negative number."""


def figure(text):
    """The exact value of "10 ft"; None for text that is no figure."""
    match = FIGURE.match(text)
    if not match or (match.group(2) or "") not in SIZES:
        return None
    return Fraction(match.group(1)) * SIZES[match.group(2) or ""]


def decimal(value):
    """The value as a finite decimal number, or None when it has none."""
    places = 0
    while value.denominator != 1 and places < 18:
        value *= 10
        places += 1
    if value.denominator != 1:
        return None
    digits = str(abs(value.numerator)).rjust(places + 1, "0")
    whole, part = (digits[:-places], digits[-places:]) if places else (digits, "")
    return ("-" if value < 0 else "") + whole + ("." + part if part else "")


def root(value):
    if value < 0:
        raise Undefined
    top, bottom = math.isqrt(value.numerator), math.isqrt(value.denominator)
    if top * top == value.numerator and bottom * bottom == value.denominator:
        return Fraction(top, bottom)
    return Fraction(math.isqrt(value.numerator * ROOT_SCALE**2 // value.denominator), ROOT_SCALE)


class FormulaReader:
    """Reads a formula into ("figure", x), ("name", n), (operator, left, right) or (call, args)."""

    def __init__(self, text):
        self.tokens = []
        at = 0
        text = text.strip()
        while at < len(text):
            match = TOKEN.match(text, at)
            if not match:
                raise ValueError(f"cannot read the formula {text!r} at {text[at:]!r}")
            self.tokens.append((match.lastgroup, match.group(match.lastgroup)))
            at = match.end()
        self.at = 0

    def read(self):
        tree = self.sum()
        if self.at != len(self.tokens):
            raise ValueError(f"left over in a formula: {self.tokens[self.at:]}")
        return tree

    def sign(self, signs):
        if self.at < len(self.tokens):
            group, text = self.tokens[self.at]
            if group == "sign" and text in signs:
                self.at += 1
                return text
        return None

    def sum(self):
        tree = self.product()
        while sign := self.sign("+-"):
            tree = (sign, tree, self.product())
        return tree

    def product(self):
        tree = self.atom()
        while sign := self.sign("*/"):
            tree = (sign, tree, self.atom())
        return tree

    def atom(self):
        if self.sign("("):
            tree = self.sum()
        else:
            group, text = self.tokens[self.at]
            self.at += 1
            if group == "figure":
                return ("figure", figure(text))
            if group != "name":
                raise ValueError(f"a formula cannot go on with {text!r}")
            if text not in ("min", "max", "sqrt") or not self.sign("("):
                return ("name", text)
            arguments = [self.sum()]
            while self.sign(","):
                arguments.append(self.sum())
            tree = (text, *arguments)
        if not self.sign(")"):
            raise ValueError("a bracket stays open in a formula")
        return tree


def names(tree):
    if tree[0] == "name":
        return [tree[1]]
    if tree[0] == "figure":
        return []
    return [name for part in tree[1:] for name in names(part)]


def evaluate(tree, values):
    """The value of a formula whose names all have one; raises Undefined."""
    if tree[0] == "figure":
        return tree[1]
    if tree[0] == "name":
        return values[tree[1]]
    parts = [evaluate(part, values) for part in tree[1:]]
    if tree[0] == "+":
        return parts[0] + parts[1]
    if tree[0] == "-":
        return parts[0] - parts[1]
    if tree[0] == "*":
        return parts[0] * parts[1]
    if tree[0] == "/":
        if parts[1] == 0:
            raise Undefined
        return parts[0] / parts[1]
    if tree[0] == "sqrt":
        return root(parts[0])
    return min(parts) if tree[0] == "min" else max(parts)
