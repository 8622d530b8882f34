"""Writes a logic program for some authorities and a batch of cases.

The rules below are the semantics of a decision. A fact that nobody knows becomes a choice over its
values; a measured one a choice over points that stand for every order in which it can lie among the
figures it is compared with. So each answer set is one filling of the unknown facts.

Figures become whole numbers by rank: all figures of a batch are sorted, and the n-th has the rank
STEP * n. The ranks in between are points between two neighbouring figures.
"""

import collections
import itertools
from dataclasses import dataclass, field

import figures
from shelf import WORK_DATE, day

STEP = 16

RULES = """
1 { value(C,F,V) : domain(F,V) ; lacks(C,F) : may_lack(F) } 1 :- unknown_value(C,F).
1 { size(C,F,R) : point(C,F,R) ; lacks(C,F) : may_lack(F) } 1 :- unknown_size(C,F).

displaced(C,P) :- true(C,M), condition(P,M), displaces(Q,P), true(C,N), condition(Q,N),
    counts(C,Q), not displaced(C,Q).
stands(C,P) :- true(C,N), condition(P,N), not displaced(C,P).
falls(C,P) :- case(C), condition(P,N), not true(C,N).
binds(C,P) :- stands(C,P), counts(C,P).
counts(C,P) :- case(C), steers(P,_).
counts(C,P) :- issued(P,A), governs(C,A).
governs(C,A) :- case(C), named(A).
governs(C,A) :- stands(C,P), steers(P,A).

relaxed(C,P) :- binds(C,Q), relaxes(Q,P).
demand(C,D,"required") :- binds(C,P), requires(P,D), not relaxed(C,P).
demand(C,D,"required with exception") :- binds(C,P), requires(P,D), relaxed(C,P).
demand(C,D,"not required") :- binds(C,P), frees(P,D).
outcome(C,D,O) :- demand(C,D,O), not stricter(C,D,O).
stricter(C,D,O) :- demand(C,D,S), above(S,O).
outcome(C,D,"not addressed") :- case(C), duty(D), not demand(C,D,"required"),
    not demand(C,D,"required with exception"), not demand(C,D,"not required").
above("required","required with exception").
above("required","not required").
above("required with exception","not required").

removed(C,H,V) :- binds(C,P), bars(P,H,V).
removed(C,H,V) :- binds(C,P), admits(P,H), offers(H,V), not admits(P,H,V).
left(C,H) :- case(C), offers(H,V), not removed(C,H,V).
empty(C,H) :- case(C), offers(H,_), not left(C,H).

#show stands/2. #show falls/2. #show displaced/2. #show outcome/3. #show removed/3.
#show empty/2. #show governs/2. #show loose/2.
"""


@dataclass
class Case:
    """One question: the facts as the author wrote them, and what kind of case they come from."""
    label: str
    kind: str
    on: str
    authorities: tuple
    facts: dict
    number: int = 0
    decision: dict = field(default_factory=dict, repr=False)


def quoted(text):
    return '"' + text + '"'


class Program:
    """The rules of some authorities. They govern by name, or else by the `governs` provisions of
    the whole shelf. Those are then part of the program, and the remarks beside them."""

    def __init__(self, shelf, authorities, named=True):
        self.shelf = shelf
        self.nodes = shelf.nodes
        self.authorities = authorities
        self.named = named
        self.provisions = {provision.key: provision for authority in sorted(shelf.packs)
                           for provision in shelf.provisions(authority)
                           if authority in authorities or
                           (not named and self.speaks_of_governing(provision))}
        self.used_nodes, self.used_quantities, self.used_facts = set(), set(), set()
        for provision in self.provisions.values():
            self.use(provision.condition)
        self.compared = [number for number in sorted(self.used_nodes)
                         if self.nodes.nodes[number][0] == "compare"]
        # (displaces or relaxes, key) to the keys of the provisions that do so to it.
        self.linked = collections.defaultdict(list)
        self.text = "\n".join(self.lines())

    def speaks_of_governing(self, provision):
        """Whether it says who governs, or is a remark of a pack that names other authorities."""
        if "remarks-on" not in provision.entry:
            return "governs" in provision.entry
        return any(other.entry.get("governs", other.authority) != other.authority
                   for other in self.shelf.provisions(provision.authority))

    # --- what the provisions rest on ------------------------------------------------------------

    def use(self, number):
        if number not in self.used_nodes:
            self.used_nodes.add(number)
            kind, *parts = self.nodes.nodes[number]
            if kind in ("is", "is-not"):
                self.used_facts.add(parts[0])
            elif kind == "compare":
                self.use_operand(parts[1])
                self.use_operand(parts[2])
            else:
                for part in parts[0] if kind != "not" else parts:
                    self.use(part)

    def use_operand(self, operand):
        kind, thing = operand
        if kind == "fact":
            self.used_facts.add(thing)
        elif kind == "quantity" and thing not in self.used_quantities:
            self.used_quantities.add(thing)
            for where, _, operands in self.nodes.quantities[thing]:
                if where is not None:
                    self.use(where)
                for _, inner in operands:
                    self.use_operand(inner)

    # --- the part that all cases share ----------------------------------------------------------

    def lines(self):
        yield RULES
        for authority in self.authorities if self.named else ():
            yield f"named({quoted(authority)})."
        for duty in self.shelf.duties:
            yield f"duty({quoted(duty)})."
        for choice, values in self.shelf.choices.items():
            for value in values:
                yield f"offers({quoted(choice)},{quoted(value)})."
        for name in sorted(self.used_facts):
            fact = self.shelf.facts[name]
            if fact.may_not_apply:
                yield f"may_lack({quoted(name)})."
            for value in fact.values:
                yield f"domain({quoted(name)},{quoted(value)})."
        for number in sorted(self.used_nodes):
            yield from self.node_lines(number)
        for key, provision in self.provisions.items():
            yield from self.provision_lines(quoted(key), provision)

    def node_lines(self, number):
        kind, *parts = self.nodes.nodes[number]
        head = f"true(C,{number})"
        if kind == "is":
            for value in parts[1]:
                yield f"{head} :- value(C,{quoted(parts[0])},{quoted(value)})."
        elif kind == "is-not":
            others = "".join(f", V != {quoted(value)}" for value in parts[1])
            yield f"{head} :- value(C,{quoted(parts[0])},V){others}."
        elif kind == "not":
            yield f"{head} :- case(C), not true(C,{parts[0]})."
        elif kind == "all":
            yield f"{head} :- case(C){''.join(f', true(C,{part})' for part in parts[0])}."
        elif kind == "any":
            for part in parts[0]:
                yield f"{head} :- true(C,{part})."
        elif kind == "none":
            yield f"{head} :- case(C){''.join(f', not true(C,{part})' for part in parts[0])}."
        else:
            operator, left, right = parts
            (left_size, left_loose), (right_size, right_loose) = (
                self.operand_atoms(left, "L"), self.operand_atoms(right, "R"))
            yield f"{head} :- {left_size}, {right_size}, L {operator} R."
            # A formula on unknown facts has no size here. Both answers are tried, which can only
            # add outcomes; the case is then compared as far as that allows.
            for loose, other in ((left_loose, right), (right_loose, left)):
                if loose:
                    for atom in self.operand_atoms(other, "S"):
                        if atom:
                            yield f"loose(C,{number}) :- {loose}, {atom}."
            if left_loose or right_loose:
                yield f"{{ {head} }} :- loose(C,{number})."

    def operand_atoms(self, operand, variable):
        """The atom that gives an operand its size, and the one that says its size is loose."""
        kind, thing = operand
        if kind == "fact":
            return f"size(C,{quoted(thing)},{variable})", None
        if kind == "figure":
            return f"rank(C,{quoted(str(thing))},{variable})", None
        return f"quantity(C,{thing},{variable})", f"loose_quantity(C,{thing})"

    def targets(self, provision, references):
        """The keys that the references of a provision mean."""
        for reference in references:
            authority, _, name = reference.rpartition("/")
            for key, other in self.provisions.items():
                if other.name == name and (other.authority == authority if authority else
                                           (other.authority, other.edition) ==
                                           (provision.authority, provision.edition)):
                    yield key

    def provision_lines(self, key, provision):
        entry = provision.entry
        yield f"condition({key},{provision.condition})."
        yield f"issued({key},{quoted(provision.authority)})."
        for effect in ("displaces", "relaxes"):
            for target in self.targets(provision, entry.get(effect, [])):
                self.linked[effect, target].append(provision.key)
                yield f"{effect}({key},{quoted(target)})."
        if "duty" in entry:
            effect = {"required": "requires", "not required": "frees"}[entry["calls-for"]]
            yield f"{effect}({key},{quoted(entry['duty'])})."
        if "choice" in entry:
            choice = quoted(entry["choice"])
            if "admits" in entry:
                yield f"admits({key},{choice})."
            for effect in ("admits", "bars"):
                for value in entry.get(effect, []):
                    yield f"{effect}({key},{choice},{quoted(value)})."
        if "governs" in entry and not self.named:
            yield f"steers({key},{quoted(entry['governs'])})."

    # --- the cases ------------------------------------------------------------------------------

    def case_text(self, cases):
        """The facts of the cases, and the rules that hang on them."""
        sketches = [CaseSketch(self, case) for case in cases]
        sizes = sorted({size for sketch in sketches for size in sketch.sizes()})
        ranks, rank, last = {}, -STEP, None
        for size in sizes:
            if last is None or size - last > figures.NEARLY:
                rank += STEP
            ranks[size] = rank
            last = size
        lines = [line for sketch in sketches for line in sketch.lines(ranks)]
        constants = {operand[1] for number in self.compared
                     for operand in self.nodes.nodes[number][2:] if operand[0] == "figure"}
        lines += [f"rank(C,{quoted(str(value))},{ranks[value]}) :- case(C)."
                  for value in sorted(constants)]
        return "\n".join(lines)


class CaseSketch:
    """One case while it is written: what is known, and the points of what is not."""

    def __init__(self, program, case):
        self.program, self.case = program, case
        self.nodes = program.nodes
        self.facts = program.shelf.facts
        self.known = {**{name: self.read(name, text) for name, text in case.facts.items()
                         if text != "not known"},
                      WORK_DATE: day(case.on)}
        self.quantities = {}
        for number in program.used_quantities:
            self.alternatives(number)
        self.clusters = self.points()

    def read(self, name, text):
        kind = self.facts[name].kind
        if text == "does not apply":
            return None
        if kind in ("yes-no", "choice"):
            return text
        return day(text) if kind == "date" else figures.figure(text)

    def measured(self, name):
        return self.facts[name].kind not in ("yes-no", "choice")

    def operand_results(self, operand):
        """What an operand can come to: (guards, result). A result is a figure, ("fact", name) for
        the size of an unknown fact, None where it does not apply, or "loose"."""
        kind, thing = operand
        if kind == "figure":
            return [((), thing)]
        if kind == "quantity":
            return self.alternatives(thing)
        if thing in self.known:
            return [((), self.known[thing])]
        name = quoted(thing)
        results = [((f"size({self.case.number},{name},_)",), ("fact", thing))]
        if self.facts[thing].may_not_apply:
            results.append(((f"lacks({self.case.number},{name})",), None))
        return results

    def alternatives(self, number):
        if number not in self.quantities:
            results, earlier = [], ()
            for where, tree, operands in self.nodes.quantities[number]:
                guard = earlier
                if where is not None:
                    guard += (f"true({self.case.number},{where})",)
                    earlier += (f"not true({self.case.number},{where})",)
                results += [(guard + guards, result)
                            for guards, result in self.formula_results(tree, operands)]
            self.quantities[number] = results
        return self.quantities[number]

    def formula_results(self, tree, operands):
        for picks in itertools.product(*(self.operand_results(inner) for _, inner in operands)):
            guards = tuple(dict.fromkeys(guard for guards, _ in picks for guard in guards))
            values = {name: result for (name, _), (_, result) in zip(operands, picks)}
            if None in values.values():
                yield guards, None
            elif tree[0] == "name":
                yield guards, values[tree[1]]
            elif any(isinstance(value, (str, tuple)) for value in values.values()):
                yield guards, "loose"
            else:
                try:
                    yield guards, figures.evaluate(tree, values)
                except figures.Undefined:
                    yield guards, "loose"

    # --- points of unknown measured facts -------------------------------------------------------

    def points(self):
        """Clusters of unknown facts that are compared with each other: (names, figures)."""
        unknown = sorted(name for name in self.program.used_facts
                         if self.measured(name) and name not in self.known)
        cluster = {name: ({name}, set()) for name in unknown}
        for number in self.program.compared:
            sides = [{result for _, result in self.operand_results(operand)}
                     for operand in self.nodes.nodes[number][2:]]
            for one, other in (sides, reversed(sides)):
                for name in (result[1] for result in one if isinstance(result, tuple)):
                    for result in other:
                        if isinstance(result, tuple):
                            self.join(cluster, name, result[1])
                        elif result is not None and result != "loose":
                            cluster[name][1].add(result)
        for name in unknown:
            fact = self.facts[name]
            cluster[name][1].update(end for end in (fact.lowest, fact.highest) if end is not None)
        return cluster

    @staticmethod
    def join(cluster, one, other):
        if cluster[one] is not cluster[other]:
            both = (cluster[one][0] | cluster[other][0], cluster[one][1] | cluster[other][1])
            for name in both[0]:
                cluster[name] = both

    def whole(self, name):
        return self.facts[name].kind in ("date", "count")

    def candidates(self, name):
        """Points of one unknown fact as (figure, steps above it)."""
        fact = self.facts[name]
        members, sizes = self.clusters[name]
        count = len(members)
        if count >= STEP:
            raise ValueError(f"too many facts are compared with each other: {members}")
        sizes = sizes or {0}
        if self.whole(name):
            found = {(size + step, 0) for size in sizes if size == int(size)
                     for step in range(-count, count + 1)}
        else:
            found = {(size, step) for size in sizes for step in range(count + 1)}
            if fact.lowest is None:
                found |= {(min(sizes) - 1, step) for step in range(count)}
        return sorted((size, step) for size, step in found
                      if (fact.lowest is None or size >= fact.lowest) and
                      (fact.highest is None or size < fact.highest or
                       (size == fact.highest and step == 0)))

    def sizes(self):
        for number in self.program.compared:
            for operand in self.nodes.nodes[number][2:]:
                for _, result in self.operand_results(operand):
                    if result is not None and result != "loose" and not isinstance(result, tuple):
                        yield result
        for name in self.clusters:
            yield from (size for size, _ in self.candidates(name))

    # --- text -----------------------------------------------------------------------------------

    def lines(self, ranks):
        number = self.case.number
        yield f"case({number})."
        for name in sorted(self.program.used_facts):
            fact = quoted(name)
            if name not in self.known:
                if self.measured(name):
                    yield f"unknown_size({number},{fact})."
                    for size, step in self.candidates(name):
                        yield f"point({number},{fact},{ranks[size] + step})."
                else:
                    yield f"unknown_value({number},{fact})."
            elif self.known[name] is None:
                yield f"lacks({number},{fact})."
            elif not self.measured(name):
                yield f"value({number},{fact},{quoted(self.known[name])})."
            elif self.known[name] in ranks:
                yield f"size({number},{fact},{ranks[self.known[name]]})."
        for quantity, results in sorted(self.quantities.items()):
            for guards, result in results:
                if result is None:
                    continue
                body = ", ".join(guards)
                if result == "loose":
                    head = f"loose_quantity({number},{quantity})"
                elif isinstance(result, tuple):
                    head = f"quantity({number},{quantity},R)"
                    body = ", ".join((*guards, f"size({number},{quoted(result[1])},R)"))
                elif result in ranks:
                    head = f"quantity({number},{quantity},{ranks[result]})"
                else:
                    continue
                yield f"{head} :- {body}." if body else f"{head}."
