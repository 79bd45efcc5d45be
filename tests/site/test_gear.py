"""The data of bars and rulebooks has the shape of its schema, which refuses what would be a slip."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

import shortlever

CORE = Path(shortlever.__file__).parent
SCHEMA = json.loads((CORE / "gear.schema.json").read_text("utf-8"))
DATA = json.loads((CORE / "gear.json").read_text("utf-8"))


def faults(data: object) -> list[str]:
    validator = jsonschema.Draft202012Validator(SCHEMA)
    return [f"{'.'.join(map(str, one.path))}: {one.message}" for one in validator.iter_errors(data)]


def test_the_data_has_its_shape() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert faults(DATA) == []


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("bars.power.rings_m", [81]),  # centimetres
        ("bars.power.source", ""),
        ("bars.power.colour", "red"),
        ("rulebooks.ipf.lifts.bench.max_grip_m", "81 cm"),
        ("rulebooks.ipf.lifts.bench.elbow_depth", None),
        ("rulebooks.ipf.lifts.curl", {}),
        ("rulebooks.ipf.label", "a label that is too long for a button on the form"),
        ("rulebooks.My Rules", DATA["rulebooks"]["ipf"]),
    ],
)
def test_a_slip_is_refused(path: str, value: object) -> None:
    data: dict[str, Any] = copy.deepcopy(DATA)
    *way, last = path.split(".")
    at = data
    for part in way:
        at = at[part]
    at[last] = value
    assert len(faults(data)) == 1
