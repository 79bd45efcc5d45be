"""The schema of lifters read three ways: by the core, by jsonschema, and by the page's check that Ajv wrote.

Records are made from the schema by Hypothesis and then spoiled at one place; all three must say the same.
"""

from __future__ import annotations

import copy
import json
import random
import re
import subprocess
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from shortlever.errors import InputError
from shortlever.roster.schema import SCHEMA, check_of

ROOT = Path(__file__).parents[2]
LETTERS = st.text(st.characters(exclude_categories=("Cs",)), max_size=12)
ODD: list[Any] = [
    None, True, False, 0, -1, 1.0, 0.5, 2.0, 1e300, 2**60, "", " ", "x" * 201, "a\n", "\ud800", "guest", [],
    {}, [[]], [0], {"a": 1}, {"toString": 1}, {"__proto__": None}, "2031-02-29", "2031-02-28", "2032-02-29",
    "0000-01-01", "2031-05-05T24:00:00Z", "2031-05-05T18:00:00.000Z", "constructor", "left.arm_length",
    "lifts/bench/choice", "tapes/2031-05-30/bogus/x", "\u0661\u0662", "é" * 60, "😀" * 60, "😀" * 61,
]  # fmt: skip


@cache
def named(name: str) -> st.SearchStrategy[Any]:
    """Values that fit a shape by its name; a shape may hold itself."""
    return st.deferred(lambda: made_from(SCHEMA["$defs"][name]))


def made_from(shape: dict[str, Any]) -> st.SearchStrategy[Any]:
    """Values that fit a shape of the schema."""
    if "$ref" in shape:
        most = shape.get("maxLength", 10**6)
        return named(shape["$ref"].rpartition("/")[2]).filter(lambda one: len(str(one)) <= most)
    if "const" in shape:
        return st.just(shape["const"])
    if "enum" in shape:
        return st.sampled_from(shape["enum"])
    if "anyOf" in shape:
        return st.one_of([made_from(one) for one in shape["anyOf"]])
    kinds = shape["type"] if isinstance(shape["type"], list) else [shape["type"]]
    return st.one_of([of_kind(kind, shape) for kind in kinds])


def of_kind(kind: str, shape: dict[str, Any]) -> st.SearchStrategy[Any]:
    if kind == "null":
        return st.none()
    if kind == "boolean":
        return st.booleans()
    if kind == "integer":
        return st.integers(shape["minimum"], shape["maximum"])
    if kind == "number":
        low, high = shape["minimum"], shape["maximum"]
        return st.integers(int(low), int(high)) | st.floats(low, high)
    if kind == "string":
        if shape["pattern"].startswith("^[^\\ud800"):  # any text
            return LETTERS.filter(lambda text: bool(re.search(shape["pattern"], text)))
        return st.from_regex(shape["pattern"], fullmatch=True)
    if kind == "array":
        return st.lists(made_from(shape["items"]), max_size=2)
    known = {name: made_from(one) for name, one in shape.get("properties", {}).items()}
    needed = set(shape.get("required", ()))
    fixed = st.fixed_dictionaries(
        {name: one for name, one in known.items() if name in needed},
        optional={name: one for name, one in known.items() if name not in needed},
    )
    if shape.get("additionalProperties") is False:
        return fixed
    more = st.dictionaries(
        made_from(shape["propertyNames"]), made_from(shape["additionalProperties"]), max_size=1
    )
    return st.builds(lambda extra, whole: {**extra, **whole}, more, fixed)


LIFTERS = named("lifter")


def places_in(node: Any) -> list[tuple[Any, Any]]:
    keys = list(node) if isinstance(node, dict) else range(len(node)) if isinstance(node, list) else ()
    return [place for key in keys for place in [(node, key), *places_in(node[key])]]


def spoiled(record: Any, source: random.Random) -> Any:
    """The record with one part that is another, gone, new or under another name."""
    record = copy.deepcopy(record)
    node, key = source.choice(places_in(record))
    how = source.randrange(4)
    if how == 0 or isinstance(node, list):
        node[key] = copy.deepcopy(source.choice(ODD))
    elif how == 1:
        del node[key]
    else:
        name = source.choice([one for one in ODD if isinstance(one, str)])
        node[name] = node.pop(key) if how == 2 else 1
    return record


def by_core(record: Any) -> bool:
    try:
        check_of("lifter")(record, "record")
    except InputError as wrong:
        assert wrong.message.endswith(".") and wrong.remedy and wrong.field.startswith("record")
        return False
    return True


def by_jsonschema() -> Any:
    """The validator of the package jsonschema; ``$`` is the end of a text for it, as ECMAScript has it."""
    from jsonschema import Draft202012Validator

    text = json.dumps(SCHEMA)
    schema = json.loads(re.sub(r'("pattern": "(?:[^"\\]|\\.)*)\$"', r'\1\\\\Z"', text))
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(
        {"$schema": schema["$schema"], "$ref": "#/$defs/lifter", "$defs": schema["$defs"]}
    )


BY_PAGE = """
import { readFileSync } from 'node:fs';
import { isLifter } from %s;
const lines = readFileSync(0, 'utf8').split('\\n').filter(Boolean);
process.stdout.write(JSON.stringify(lines.map((line) => isLifter(JSON.parse(line)))));
"""


def by_page(found: list[Any], check: Path) -> list[bool]:
    """What the page's check says of these records."""
    node = ROOT / ".venv" / "bin" / "node"
    script = BY_PAGE % json.dumps(check.as_uri())
    lines = "\n".join(map(json.dumps, found))
    argv = [str(node), "--input-type=module", "-e", script]
    done = subprocess.run(argv, input=lines, capture_output=True, text=True, check=True)
    return list(json.loads(done.stdout))


def agree(count: int, check: Path) -> None:
    """All three on this many records: of ten, one as it was made and nine spoiled."""
    validator = by_jsonschema()
    seen: list[Any] = []

    @settings(
        max_examples=count // 10,
        deadline=None,
        database=None,
        derandomize=True,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(LIFTERS, st.integers(0, 2**32))
    def look(record: Any, seed: int) -> None:
        assert by_core(record)
        source = random.Random(seed)
        seen.extend([record, *(spoiled(record, source) for _ in range(9))])

    look()
    by_schema = [validator.is_valid(record) for record in seen]
    for record, sound in zip(seen, by_schema, strict=True):
        assert by_core(record) == sound, record
    assert by_page(seen, check) == by_schema
    assert len(seen) >= count * 0.9 and 0.2 < sum(by_schema) / len(seen) < 0.8, "both kinds are tried"


@pytest.fixture(scope="module")
def check(dist: Path) -> Path:
    return dist / "page" / "shared" / "shapes.mjs"


def test_three_readings_of_the_schema_agree(check: Path) -> None:
    agree(500, check)


@pytest.mark.slow
def test_three_readings_of_the_schema_agree_on_100000(check: Path) -> None:
    agree(100_000, check)
