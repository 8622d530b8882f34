#!/usr/bin/env python3
"""The JSON Schemas of rulepacks/schema, held against every shipped file and every bad input.

A shipped rulepack, vocabulary or facts file must be valid. A file of tests/bad whose expected
findings include a structural one must be refused by the schema too, since editors show only what
the schema knows. Texts are read as they stand, as toprail reads them: no word becomes true or false.
"""

import json
import pathlib
import re
import sys
import warnings

import jsonschema
import yaml

warnings.simplefilter("ignore", DeprecationWarning)

ROOT = pathlib.Path(__file__).resolve().parents[2]
PACKS = ROOT / "rulepacks"
SCHEMAS = PACKS / "schema"

# Kinds of findings that are about the shape of one file alone, so that a schema can see them.
STRUCTURAL = {
    "wrong-shape",
    "unknown-key",
    "missing-key",
    "empty-list",
    "bad-name",
    "bad-value",
    "bad-number",
    "bad-figure",
    "bad-sentence",
    "unknown-unit",
    "effect-count",
}


def load_schemas():
    schemas = {path.name: json.loads(path.read_text()) for path in SCHEMAS.glob("*.schema.json")}
    store = {(SCHEMAS / name).as_uri(): schema for name, schema in schemas.items()}
    validators = {}
    for name, schema in schemas.items():
        jsonschema.Draft7Validator.check_schema(schema)
        resolver = jsonschema.RefResolver((SCHEMAS / name).as_uri(), schema, store=store)
        validators[name.removesuffix(".schema.json")] = jsonschema.Draft7Validator(
            schema, resolver=resolver
        )
    return schemas, validators


def read(path):
    return yaml.load(path.read_bytes(), Loader=yaml.BaseLoader)


def kind_of(document):
    if isinstance(document, dict):
        for kind in ("rulepack", "vocabulary", "shelf"):
            if kind in document:
                return kind
    return "facts"


def described(schema, where, missing):
    """Collects the properties that have no description, here or behind their first reference."""
    if isinstance(schema, dict):
        for name, value in (schema.get("properties") or {}).items():
            refers = "$ref" in value or any("$ref" in part for part in value.get("allOf", []))
            if "if" not in where and "description" not in value and not refers:
                missing.append(f"{where}/{name}")
        for key, value in schema.items():
            described(value, f"{where}/{key}", missing)
    elif isinstance(schema, list):
        for item in schema:
            described(item, where, missing)


def shipped(validators):
    """Every shipped file is valid, and its first line leads editors to its schema."""
    troubles, count = [], 0
    for path in sorted(PACKS.rglob("*.yaml")):
        document = read(path)
        kind = kind_of(document)
        count += 1
        name = path.relative_to(ROOT)
        for error in validators[kind].iter_errors(document):
            place = "/".join(str(part) for part in error.absolute_path)
            troubles.append(f"{name}: {place}: {error.message[:300]}")
        first = path.read_text().splitlines()[0]
        match = re.fullmatch(r"# yaml-language-server: \$schema=(\S+)", first)
        wanted = SCHEMAS / f"{kind}.schema.json"
        if not match or (path.parent / match.group(1)).resolve() != wanted:
            troubles.append(f"{name}: the first line does not lead to {wanted.name}")
    return troubles, count


def bad(validators):
    """Every bad input with a structural finding is refused."""
    troubles, count = [], 0
    for path in sorted((ROOT / "tests/bad").glob("*.yaml")):
        codes = set(re.findall(rb"^.{0,3}# expects: (\S+)", path.read_bytes(), re.MULTILINE))
        names = {code.decode() for code in codes}
        # What stands for an alias is filled in before a schema sees it.
        if not names & STRUCTURAL or "alias" in names:
            continue
        count += 1
        document = read(path)
        kind = "facts" if path.name.startswith("facts-") else kind_of(document)
        if validators[kind].is_valid(document):
            troubles.append(f"tests/bad/{path.name}: {kind} schema takes it")
    return troubles, count


def main():
    schemas, validators = load_schemas()
    missing = []
    for name, schema in schemas.items():
        described(schema, name, missing)
    troubles = [f"{place} has no description" for place in missing]
    found, good_files = shipped(validators)
    troubles += found
    found, bad_files = bad(validators)
    troubles += found
    for trouble in troubles:
        print(trouble)
    print(f"{good_files} shipped files, {bad_files} bad inputs, {len(troubles)} troubles")
    # A folder that moved would leave nothing to look at.
    return 1 if troubles or good_files < 50 or bad_files < 50 else 0


if __name__ == "__main__":
    sys.exit(main())
