#!/usr/bin/env python3
"""Holds what `toprail lint --format sarif` prints against the published schema of SARIF 2.1.0.

Usage: sarif.py TOPRAIL SCHEMA. Every file of tests/bad that is no facts file is linted, and so are
the shipped rulepacks; each log must be valid.
"""

import json
import pathlib
import subprocess
import sys
import tempfile
import warnings

import jsonschema

warnings.simplefilter("ignore", DeprecationWarning)

ROOT = pathlib.Path(__file__).resolve().parents[2]
BAD = ROOT / "tests/bad"


def log_of(toprail, paths):
    # The folder of the shipped packs is kept away from the bad inputs.
    command = [toprail, "lint", *map(str, paths), "--format", "sarif", "--notes"]
    with tempfile.TemporaryDirectory() as none:
        run = subprocess.run(
            [*command, "--packs", none], capture_output=True, cwd=ROOT, check=False, timeout=120
        )
    if run.returncode not in (0, 1):
        raise SystemExit(f"{command} ended with {run.returncode}: {run.stderr.decode()}")
    return json.loads(run.stdout)


def main():
    toprail, schema = sys.argv[1:]
    validator = jsonschema.Draft4Validator(json.loads(pathlib.Path(schema).read_text()))
    inputs = [[ROOT / "rulepacks"]]
    for path in sorted(BAD.glob("*.yaml")):
        if not path.name.startswith(("facts-", "common-")):
            inputs.append([path, BAD / "common-vocabulary.yaml"])
    results = troubles = 0
    for paths in inputs:
        log = log_of(toprail, paths)
        results += len(log["runs"][0]["results"])
        for error in validator.iter_errors(log):
            place = "/".join(str(part) for part in error.absolute_path)
            print(f"{paths[0].name}: {place}: {error.message[:300]}")
            troubles += 1
    print(f"{len(inputs)} logs with {results} results, {troubles} troubles")
    # Logs without results would prove nothing.
    return 1 if troubles or results < 100 else 0


if __name__ == "__main__":
    sys.exit(main())
