"""Sentences with lengths are said in the unit that was chosen, on every way out."""

from __future__ import annotations

import json
import re
import string
from pathlib import Path
from typing import Any

import pytest

import shortlever
from shortlever import InputError, Tape, view
from shortlever.say import ENGLISH, Said
from tests.core.test_film_view import sent

CORE = Path(shortlever.__file__).parent
CODES = re.compile(r'(?:Said|\.say)\(\s*f?"([a-z_]+)(\{[^"]*)?"')


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


def test_every_sentence_is_in_the_catalogue_and_none_is_left_over() -> None:
    source = "".join(file.read_text("utf-8") for file in CORE.rglob("*.py"))
    used = set()
    for code, rest in CODES.findall(source):
        of_code = [one for one in ENGLISH if (one.startswith(code) if rest else one == code)]
        assert of_code, code
        used |= set(of_code)
    assert set(ENGLISH) == used


@pytest.mark.parametrize("code", ENGLISH)
def test_a_sentence_holds_its_lengths_in_either_unit(code: str) -> None:
    names = {name for _, name, _, _ in string.Formatter().parse(ENGLISH[code]) if name}
    said = Said(code, dict.fromkeys(names, 0.61))
    lengths = sum(name.endswith("_m") for name in names)
    assert len(re.findall(r"61(?:\.0)? cm", str(said))) == lengths
    assert len(re.findall(r"24\.0(?:2)? in", said.in_unit("in"))) == lengths
    assert "cm" not in said.in_unit("in")


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
    assert wrong["message"].endswith(
        "face at 45.0 in from the bar's middle is past the bar's end at 30.0 in."
    )


def test_an_error_is_in_cm_where_nobody_chose() -> None:
    with pytest.raises(InputError) as wrong:
        Tape(arm_length=0.66, upper_arm=0.25, forearm_to_grip=0.25)
    assert "66.0 cm" in wrong.value.message and "6 cm at most" in wrong.value.remedy
    assert "25.98 in" in wrong.value.plain("in")["message"] and "2.4 in" in wrong.value.plain("in")["remedy"]
