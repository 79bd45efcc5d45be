"""Sentences with lengths are said in the unit that was chosen, on every way out."""

from __future__ import annotations

import ast
import json
import re
import string
from pathlib import Path
from typing import Any

import pytest

import shortlever
from shortlever import InputError, Tape, view
from shortlever.say import ENGLISH, Said, english
from tests.core.test_film_view import sent

CORE = Path(shortlever.__file__).parent


def texts(value: Any) -> list[str]:
    if isinstance(value, dict):
        return [text for one in value.values() for text in texts(one)]
    if isinstance(value, list):
        return [text for one in value for text in texts(one)]
    return [value] if isinstance(value, str) else []


def answer(**request: Any) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(view.answer(json.dumps(request)))
    return found


def in_cm(found: dict[str, Any]) -> list[str]:
    return [text for text in texts(found) if re.search(r"\d ?cm\b", text)]


class Codes(ast.NodeVisitor):
    """The codes that a source says, and every text in it that may be one; of an f-string a pattern."""

    def __init__(self) -> None:
        self.said: list[str] = []
        self.maybe: set[str] = set()

    def visit_Call(self, node: ast.Call) -> None:
        if isinstance(node.func, ast.Name) and node.func.id == "Said" and node.args:
            first = node.args[0]
            self.said += map(
                pattern, (first.body, first.orelse) if isinstance(first, ast.IfExp) else (first,)
            )
        self.generic_visit(node)

    def visit_Constant(self, node: ast.Constant) -> None:
        self.maybe.add(pattern(node))

    def visit_JoinedStr(self, node: ast.JoinedStr) -> None:
        self.maybe.add(pattern(node))
        self.generic_visit(node)


def pattern(node: ast.AST) -> str:
    if isinstance(node, ast.JoinedStr):
        return "".join(pattern(one) if isinstance(one, ast.Constant) else "[a-z_]+" for one in node.values)
    return re.escape(node.value) if isinstance(node, ast.Constant) and isinstance(node.value, str) else ""


@pytest.mark.sweep
def test_every_code_is_in_the_catalogue_and_none_is_left_over() -> None:
    codes = Codes()
    for file in CORE.rglob("*.py"):
        codes.visit(ast.parse(file.read_text("utf-8")))
    for file, name in (("gear.json", "label"), ("roster/lifters-2.schema.json", "title")):
        codes.maybe |= set(re.findall(rf'"{name}": "(\w+)"', (CORE / file).read_text("utf-8")))
    missing = [
        one for one in codes.said if one and not any(re.fullmatch(one, code) for code in ENGLISH.texts)
    ]
    assert missing == []
    spread = [re.compile(one) for one in codes.maybe if re.search("[a-z]{2}", one.replace("[a-z_]+", "?"))]
    left = set(ENGLISH.texts) - codes.maybe
    assert [code for code in left if not any(one.fullmatch(code) for one in spread)] == []


SAYERS = {
    "InputError",
    "Said",
    "Field",
    "Measure",
    "Choice",
    "Result",
    "text",
    "_fail",
    "_bad",
    "_error",
    "_refused",
}


def worded(node: ast.AST) -> bool:
    """Whether it is a text with words in it."""
    parts = node.values if isinstance(node, ast.JoinedStr) else [node]
    texts = [one.value for one in parts if isinstance(one, ast.Constant) and isinstance(one.value, str)]
    return any(re.search("[A-Za-z]{2,} +[a-z]{2,}", one) and "|" not in one for one in texts)  # aliases: a|b


@pytest.mark.sweep
def test_no_sentence_stands_in_a_source() -> None:
    found = []
    for file in CORE.rglob("*.py"):
        name = file.relative_to(CORE).as_posix()
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") in SAYERS:
                found += [f"{name}:{one.lineno}" for one in node.args if worded(one)]
    assert found == []


def test_no_sentence_stands_twice() -> None:
    subjects = [english.read(name) for part in english.SUBJECTS.values() for name in part]
    texts = [str(entry) for part in subjects for entry in part.values() if " " in str(entry)]
    assert [text for text in set(texts) if texts.count(text) > 1] == []
    assert sum(map(len, subjects)) == len(ENGLISH.texts), "a code stands in two subjects"


LENGTHS = [(code, text) for code, text in ENGLISH.texts.items() if "_m}" in str(text)]


@pytest.mark.parametrize(("code", "text"), LENGTHS, ids=[code for code, _ in LENGTHS])
def test_a_sentence_holds_its_lengths_in_either_unit(code: str, text: str) -> None:
    lengths = re.findall(r"\{\w+_m(?::margin)?\}", text)
    parts = [(name, spec) for _, name, spec, _ in string.Formatter().parse(text) if name]
    others = {name: "arm" if spec == "inside" else 2.0 for name, spec in parts}
    said = Said(code, others | {name: 0.61 for name in others if name.endswith("_m")})
    assert len(re.findall(r"61\.0 cm", str(said))) == len(lengths)
    assert len(re.findall(r"24 in", said.in_unit("in"))) == len(lengths)
    assert "cm" not in said.in_unit("in")


@pytest.mark.sweep
@pytest.mark.parametrize(
    "fields",
    [
        {"span": "55 in"},  # two arms need more
        {"upper_arm": "10 in", "forearm_to_grip": "15 in"},  # an unusual pair
        {"joint_width": "17 in"},
        {"chest_flat": "11 in", "chest_arched": "10 in"},
        {"upper_arm": "9 in", "forearm_to_grip": "9 in"},  # no whole arm of 26 in
        {"upper_arm": "17 in"},
        {"current_grip": "43 in"},  # out of reach
        {"shoulder_height": "1 in", "chest_arched": "23 in"},  # no setup fits
        {"current_touch": "15 in", "current_grip": "20 in", "chest_flat": "9 in", "chest_arched": "13 in"},
    ],
    ids=str,
)
@pytest.mark.parametrize(
    "chosen", [{}, {"comfort": "careful"}, {"rules": "none", "preference": 0.0}], ids=str
)
def test_who_measures_in_inches_reads_no_centimetre(fields: dict[str, str], chosen: dict[str, Any]) -> None:
    request = {"unit": "in", "fields": {"arm_length": "26", "shoulder_breadth": "16"} | fields, **chosen}
    for want in ({}, {"want": "doubt"}):
        assert in_cm(answer(**request, **want)) == []
    row = {"row": 2, "name": "A", "request": request}
    assert in_cm(answer(want="team/fit", rows=[row])) == []


def test_a_film_in_inches_says_no_centimetre() -> None:
    request = sent(reps=2, partial=0.8) | {"unit": "in"}
    request["fit"] = request["fit"] | {"unit": "in", "fields": {"arm_length": "26", "shoulder_breadth": "16"}}
    assert in_cm(answer(**request)) == []
    beyond = {"plate_middle": "45", "bar_length": "60"}
    wrong = answer(**request | {"fields": beyond})["errors"][0]
    assert wrong["message"].endswith("face is 45 in from the middle of the bar, but the bar ends at 30 in.")


def test_an_error_is_in_cm_where_nobody_chose() -> None:
    with pytest.raises(InputError) as wrong:
        Tape(arm_length=0.66, upper_arm=0.25, forearm_to_grip=0.25)
    assert "66.0 cm" in wrong.value.message and "6 cm at most" in wrong.value.remedy
    assert "26 in" in wrong.value.plain("in")["message"] and "2 3/8 in" in wrong.value.plain("in")["remedy"]
