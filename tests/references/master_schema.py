#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""The documented form of the master data against the program that reads them: a document with one thing
spoiled, in every place that it has, is right by the schema (JSON Schema 2020-12, as the library jsonschema
reads it) if and only if 'lastlook station check' takes it. Ids are left alone: the schema cannot say what
they refer to.

    master_schema.py PROGRAM ASSETS
"""
import copy
import json
import pathlib
import subprocess
import sys
import tempfile

import jsonschema

program, assets = sys.argv[1], pathlib.Path(sys.argv[2])
schema = json.loads((assets / "plant/plant.schema.json").read_text())
jsonschema.Draft202012Validator.check_schema(schema)
validator = jsonschema.Draft202012Validator(schema)
whole = json.loads((assets / "plant/coolant-pumps.json").read_text())
whole.setdefault("revision_approval", "two_people")
whole.setdefault("picture_sample", 0.02)
whole["variants"][0]["checklist"][0] |= {"by": "touch", "answer_first": True}
for sample in whole["limit_samples"]:
    sample["picture"] = "/9j/4AAQ"

REFERS = {"id", "component", "variant", "components", "faults", "tag_pattern", "serial", "day_starts_with", "defect"}


def places(value, path=()):
    yield path
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from places(inner, path + (key,))
    elif isinstance(value, list) and value:
        yield from places(value[0], path + (0,))


def put(document, path, value):
    at = document
    for step in path[:-1]:
        at = at[step]
    at[path[-1]] = value


def spoiled():
    for path in places(whole):
        at = whole
        for step in path:
            at = at[step]
        if isinstance(at, dict):
            document = copy.deepcopy(whole)
            inner = document
            for step in path:
                inner = inner[step]
            inner["kee"] = 1
            yield path, "has a strange key", document
        if not path:
            continue
        others = [7, "word", True, [], {}, None, 1.5, -1]
        if not REFERS & {step for step in path if isinstance(step, str)}:
            for other in others:
                document = copy.deepcopy(whole)
                put(document, path, other)
                yield path, f"is {other!r}", document
        if isinstance(path[-1], str) and path[-1] not in REFERS:
            document = copy.deepcopy(whole)
            at = document
            for step in path[:-1]:
                at = at[step]
            del at[path[-1]]
            yield path, "is missing", document


# Right by the form, and wrong by what it says: the program alone can know.
def contradicts_itself(message):
    return any(words in message for words in (
        "is not among the", "lacks 'something_else'", "has no good challenge part",
        "has no faulty challenge part", "starts no later", "is there twice", "is no step of",
        "is not a known", "of the units"))


differ, asked, refused = [], 0, 0
with tempfile.TemporaryDirectory() as folder:
    file = pathlib.Path(folder) / "plant.json"
    for path, what, document in [((), "as it is", whole), *spoiled()]:
        file.write_text(json.dumps(document))
        ran = subprocess.run([program, "station", "check", "--master", file], capture_output=True, text=True)
        taken, right = ran.returncode == 0, validator.is_valid(document)
        asked += 1
        refused += not taken
        if taken != right and not (right and contradicts_itself(ran.stderr)):
            differ.append(f"{'.'.join(map(str, path))} {what}: schema {right}, program {ran.stderr.strip() or taken}")
print(f"{asked} documents, {refused} of them refused, {len(differ)} read differently")
print("\n".join(differ))
sys.exit(1 if differ or refused < 100 else 0)
