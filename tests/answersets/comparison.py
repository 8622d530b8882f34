"""Compares what clasp found for one case with what the command said."""

OUTCOMES = ["required", "required with exception", "not required", "not addressed"]


class Solved:
    """The answers of the logic program for one case."""

    def __init__(self, program, case, some, every):
        self.program = program
        self.some = self.of_case(case, some)
        self.every = self.of_case(case, every)
        # Comparisons that some filling could not weigh, and all nodes that rest on one.
        self.loose = {atom[1] for atom in self.some if atom[0] == "loose"}
        self.memory = {}

    @staticmethod
    def of_case(case, atoms):
        return {(atom[0], *atom[2:]) for atom in atoms if atom[1] == case.number}

    def rests_on_loose(self, number):
        if number not in self.memory:
            kind, *parts = self.program.nodes.nodes[number]
            if kind == "compare":
                self.memory[number] = number in self.loose or any(
                    self.quantity_is_loose(operand) for operand in parts[1:])
            elif kind in ("is", "is-not"):
                self.memory[number] = False
            else:
                self.memory[number] = any(self.rests_on_loose(part) for part in
                                          (parts[0] if kind != "not" else parts))
        return self.memory[number]

    def quantity_is_loose(self, operand):
        return operand[0] == "quantity" and any(
            (where is not None and self.rests_on_loose(where)) or
            any(self.quantity_is_loose(inner) for _, inner in operands)
            for where, _, operands in self.program.nodes.quantities[operand[1]])

    def status(self, key):
        for status in ("stands", "falls", "displaced"):
            if (status, key) in self.every:
                return status
        return "open"

    def perhaps(self, *atom):
        return "yes" if atom in self.every else "possibly" if atom in self.some else "no"

    def provision_is_loose(self, key):
        """Whether the status of a provision may hang on a comparison that was not weighed."""
        if not self.loose:
            return False
        if self.rests_on_loose(self.program.provisions[key].condition):
            return True
        return any(self.provision_is_loose(other)
                   for other in self.program.linked["displaces", key])

    def some_loose(self, effect, name):
        """Whether an answer rests on such a provision."""
        if not self.loose:
            return False
        rests = [key for key, provision in self.program.provisions.items()
                 if provision.entry.get(effect) == name]
        if effect == "duty":
            rests += [other for key in rests for other in self.program.linked["relaxes", key]]
        return any(self.provision_is_loose(key) for key in rests)


def differences(solved, decision, counts):
    found = []
    for part in (governing_differences, provision_differences, duty_differences,
                 choice_differences):
        found += part(solved, decision, counts)
    return found


def governing_differences(solved, decision, counts):
    told = {entry["authority"]: entry["governs"] for entry in decision["governing"]}
    for authority in solved.program.shelf.packs:
        ours = solved.perhaps("governs", authority)
        counts["authorities compared"] += 1
        if told.get(authority, "no") != ours:
            yield f"{authority}: governs {told.get(authority, 'no')} by the command, " \
                  f"{ours} by the solver"


def provision_differences(solved, decision, counts):
    # Where several editions may count, the trail adds the edition to the key.
    editions = {authority: packs[-1].name
                for authority, packs in solved.program.shelf.packs.items()}
    editions.update((pack["authority"], pack["edition"]) for pack in decision["packs"])
    told = {}
    for step in decision["trail"]:
        key = step["provision"]
        told[key if "@" in key else f"{key}@{editions[key.rpartition('/')[0]]}"] = step["status"]
    for key in sorted(set(told) - set(solved.program.provisions)):
        yield f"{key}: the trail has it, the packs do not"
    for key in solved.program.provisions:
        status = solved.status(key)
        if key not in told:
            # An edition that cannot count is left out of the trail.
            if status != "falls":
                yield f"{key}: {status} by the solver, not in the trail"
            continue
        counts["provisions compared"] += 1
        if told[key] == status:
            continue
        if status == "open" and solved.provision_is_loose(key):
            counts["provisions compared one way, a formula hangs on unknown facts"] += 1
            continue
        yield f"{key}: {told[key]} by the command, {status} by the solver"


def duty_differences(solved, decision, counts):
    for duty in solved.program.shelf.duties:
        ours = [outcome for outcome in OUTCOMES if ("outcome", duty, outcome) in solved.some]
        answer = decision["duties"].get(duty, {"possible": ["not addressed"],
                                               "outcome": "not addressed"})
        theirs = answer["possible"]
        counts["duties compared"] += 1
        if len(theirs) > 1:
            counts["duties undetermined"] += 1
        if answer["outcome"] != (theirs[0] if len(theirs) == 1 else "undetermined"):
            yield f"{duty}: outcome {answer['outcome']} beside possible {theirs}"
        if set(ours) == set(theirs):
            continue
        if set(theirs) < set(ours) and solved.some_loose("duty", duty):
            counts["duties compared one way, a formula hangs on unknown facts"] += 1
        elif set(ours) < set(theirs) and not answer.get("exact", True):
            counts["duties compared one way, the command says it is not exact"] += 1
        else:
            yield f"{duty}: {theirs} by the command, {ours} by the solver"


def choice_differences(solved, decision, counts):
    for choice, values in solved.program.shelf.choices.items():
        answer = decision["choices"].get(choice, {"admissible": values, "barred": {}, "open": {},
                                                  "empty": "no"})
        loose = solved.some_loose("choice", choice)
        for value in values:
            counts["values compared"] += 1
            removed = ("removed", choice, value)
            ours = ("admissible" if removed not in solved.some else
                    "barred" if removed in solved.every else "open")
            theirs = [part for part in ("admissible", "barred", "open") if value in answer[part]]
            if theirs == [ours]:
                continue
            if ours == "open" and loose:
                counts["values compared one way, a formula hangs on unknown facts"] += 1
            else:
                yield f"{choice} {value}: {theirs} by the command, {ours} by the solver"
        ours = solved.perhaps("empty", choice)
        counts["choices compared"] += 1
        if answer["empty"] != ours and not (ours == "possibly" and loose):
            yield f"{choice}: empty {answer['empty']} by the command, {ours} by the solver"
