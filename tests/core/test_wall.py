"""Lifters on one bar and one rack, and side by side."""

from __future__ import annotations

import json
from itertools import pairwise
from typing import Any
from xml.etree import ElementTree

import pytest

from shortlever.lifts import LIFTS
from shortlever.person.tape import MEASURES
from shortlever.view import answer
from shortlever.view.wall import TELLING_M

BODIES = {
    "tall": {"arm_length": "72", "shoulder_breadth": "45", "stature": "190", "body_mass": "95"},
    "small": {"arm_length": "57", "shoulder_breadth": "36", "stature": "160", "body_mass": "60"},
}


def ask(want: str, **more: Any) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(answer(json.dumps({"want": want, "unit": "cm"} | more)))
    return found


def person(name: str, lift: str = "bench", unit: str = "cm", **fields: str) -> dict[str, Any]:
    known = {one.key for one in LIFTS[lift].fields}
    typed = {key: text for key, text in (BODIES.get(name, {}) | fields).items() if key in known}
    return {"id": name[:3], "name": name, "request": {"unit": unit, "fields": typed, "lift": lift}}


@pytest.mark.parametrize("lift", LIFTS)
def test_each_one_is_fitted_as_on_the_fit_screen(lift: str) -> None:
    asked = [person(name, lift) for name in BODIES]
    found = ask("wall/fit", people=asked)["people"]
    for one, was in zip(found, asked, strict=True):
        alone = json.loads(answer(json.dumps(was["request"])))
        assert one["ok"] and (one["id"], one["name"]) == (was["id"], was["name"])
        assert (one["headline"], one["marks"]) == (alone["headline"], alone["marks"])
        assert one["card"] in (None, alone["card"])
        opened = ask("open", fragment=one["fragment"])["request"]
        assert opened.pop("who") == was["id"], "a printed code says whose it is"
        assert json.loads(answer(json.dumps(opened)))["headline"] == alone["headline"]
        assert {spot["gear"] for spot in one["spots"]} <= {"bar", "hooks", "floor"} and len(one["spots"]) == 2
    tall, small = ({spot["gear"]: spot["at_m"] for spot in one["spots"]} for one in found)
    assert all(tall[gear] > small[gear] for gear in tall), "a taller lifter needs more of everything here"


def test_one_who_cannot_be_fitted_says_why_and_stops_no_other() -> None:
    bad = person("nobody", arm_length="700")
    found = ask("wall/fit", people=[bad, person("tall")])["people"]
    assert not found[0]["ok"] and "Arm length" in found[0]["errors"][0]["message"]
    assert found[1]["ok"]
    assert ask("wall/fit", people="none")["people"] == []
    assert not ask("wall/none")["ok"]


@pytest.mark.parametrize("lift", LIFTS)
def test_all_stand_on_one_scale(lift: str) -> None:
    people = ask("wall/fit", people=[person(name, lift) for name in BODIES])["people"]
    pictures = {one["gear"]: one["svg"] for one in ask("wall/draw", people=people)["pictures"]}
    assert set(pictures) == {spot["gear"] for spot in people[0]["spots"]}
    for gear, drawn in pictures.items():
        at = {spot["said"]: spot["at_m"] for one in people for spot in one["spots"] if spot["gear"] == gear}
        root = ElementTree.fromstring(drawn)
        shapes = [one for one in root if one.get("class")]
        if gear == "hooks":
            floor = next(float(one.get("y1", 0)) for one in shapes if one.get("class") == "wall-floor")
            drawn_at = sorted(
                floor - float(one.get("y1", 0)) for one in shapes if one.get("class") == "wall-hook"
            )
        else:
            middle = next(float(one.get("x1", 0)) for one in shapes if one.get("class") == "wall-middle")
            drawn_at = sorted(
                float(one.get("cx", 0)) - middle for one in shapes if one.get("class") == "wall-spot"
            )
        low, high = sorted(at.values())
        assert drawn_at[1] / drawn_at[0] == pytest.approx(high / low, abs=0.01)
        texts = "".join(root.itertext())
        assert "tall" in texts and "small" in texts and all(said in texts for said in at)
    assert "81 cm rings" in pictures.get("bar", "81 cm rings")


def test_names_are_text_and_never_cover_each_other() -> None:
    name = "<b>&" + "W" * 40
    spots = [{"gear": "hooks", "at_m": 1.0 + i / 1000, "said": f"{i}"} for i in range(30)]
    people = [{"name": name, "spots": [one]} for one in spots]
    (drawn,) = ask("wall/draw", people=people)["pictures"]
    root = ElementTree.fromstring(drawn["svg"])
    names = [one for one in root if one.get("class") == "wall-name"]
    places = sorted(float(one.get("y", 0)) for one in names)
    assert len(names) == 30 and all(b - a >= 18.9 for a, b in pairwise(places))
    assert str(names[0].text).startswith("<b>&W") and len(str(names[0].text)) < 20
    assert name in "".join(root.itertext()), "whole for who cannot see it"


def test_odd_spots_are_left_out() -> None:
    odd = [{"gear": "bar", "at_m": at, "said": ""} for at in (None, -1, 9, "0.4", float("inf"))]
    people = [{"name": "a", "spots": [*odd, {"gear": "roof", "at_m": 0.4, "said": ""}]}, 7]
    assert ask("wall/draw", people=people)["pictures"] == []


def test_two_are_compared_in_one_table_and_in_words() -> None:
    wide = person("wide", arm_length="66", shoulder_breadth="45")
    other = person("other", arm_length="66", shoulder_breadth="41")
    found = ask("wall/compare", people=[other, wide])
    assert [one["name"] for one in found["people"]] == ["other", "wide"]
    grip = next(row for row in found["rows"] if row["label"] == "Grip")
    assert float(grip["cells"][1]["value"]) > float(grip["cells"][0]["value"])
    (told,) = found["told"]
    assert told.startswith("wide against other: shoulder breadth 4.0 cm more.") and "instead of" in told
    views = found["views"]
    assert all(view["scale"]["per_m"] > 0 and view["svg"].startswith("<svg") for view in views)


def test_what_the_tape_cannot_tell_is_no_difference() -> None:
    one = person("one", arm_length="66", shoulder_breadth="41")
    near = person("near", arm_length=f"{66 + 100 * TELLING_M - 0.1:.1f}", shoulder_breadth="41")
    (told,) = ask("wall/compare", people=[one, near])["told"]
    assert "no tape number" in told
    assert set(MEASURES) >= {"arm_length", "shoulder_breadth"}


def test_nobody_to_compare_is_told() -> None:
    found = ask("wall/compare", people=[person("tall")])
    assert not found["ok"] and "two to 6" in found["errors"][0]["remedy"]
