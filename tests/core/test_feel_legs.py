"""The grids of squat and deadlift that a finger goes between: their setups keep the limits, what lies between
them is near what the core says of it, and every handle is a part of its figure."""

from __future__ import annotations

import functools
import json
import math
import random
import re
from itertools import product
from typing import Any

import pytest

from shortlever import view
from shortlever.fitting.request import read_request
from shortlever.lifts import LIFTS
from shortlever.lifts.deadlift.setup import Setup as PullSetup
from shortlever.lifts.squat.measure import Setup as SquatSetup

MAN = {"stature": "178", "body_mass": "85"}
ASKED: dict[str, dict[str, Any]] = {
    "squat": {"lift": "squat", "fields": MAN, "sex": "male"},
    "stiff ankle": {
        "lift": "squat",
        "fields": {"stature": "165", "body_mass": "68", "knee_to_wall": "4"},
        "sex": "female",
        "hips": "careful",
    },
    "conventional": {"lift": "deadlift", "fields": MAN, "sex": "male", "style": "conventional"},
    "sumo": {"lift": "deadlift", "fields": MAN, "sex": "male", "style": "sumo"},
}
# What a lifter can set or see (m; deg), and how far beyond a limit still counts as at it (deg; m)
NEAR = {
    "heels": 0.003,
    "trunk_lean": 1.5,
    "knee_arm": 0.007,
    "hip_arm": 0.006,
    "back_arm": 0.006,
    "stroke": 0.006,
    "hip_height": 0.006,
}
AT_LIMIT = {"deg": 3.0, "m": 0.003}


def request(name: str, **more: Any) -> dict[str, Any]:
    return {"unit": "cm", **ASKED[name], **more}


@functools.cache
def asked(name: str, want: str = "") -> Any:
    got = json.loads(view.answer(json.dumps(request(name, **({"want": want} if want else {})))))
    assert got["ok"], got["errors"]
    return got


def measured(name: str, parts: dict[str, float]) -> Any:
    lift = LIFTS[ASKED[name]["lift"]]
    setup = SquatSetup(**parts) if lift.key == "squat" else PullSetup(ASKED[name]["style"], **parts)
    return lift.measure(lift.case(read_request(request(name))), setup).got


def between(feel: dict[str, Any], at: list[float]) -> tuple[dict[str, float], dict[str, float]]:
    """Parts and numbers between the grid's points (multilinear), as a page takes them."""
    steps = [axis["steps"] for axis in feel["axes"]]
    low = [min(int(u * (n - 1)), n - 2) for u, n in zip(at, steps, strict=True)]
    share = [u * (n - 1) - i for u, n, i in zip(at, steps, low, strict=True)]
    found: tuple[dict[str, float], dict[str, float]] = ({}, {})
    for corner in product((0, 1), repeat=len(steps)):
        index, weight = 0, 1.0
        for up, i, n, s in zip(corner, low, steps, share, strict=True):
            index, weight = index * n + i + up, weight * (s if up else 1 - s)
        point = feel["points"][index]
        for into, values in zip(found, (point["parts"], point["numbers"]), strict=True):
            for key, value in values.items():
                into[key] = into.get(key, 0.0) + weight * value
    return found


@pytest.mark.parametrize("name", ASKED)
def test_every_point_keeps_the_limits(name: str) -> None:
    feel, broken = asked(name, "feel")["feel"], []
    for point in feel["points"][:: 1 if "squat" in name else 3]:
        got = measured(name, point["parts"])
        broken += [
            (one.name, one.margin)
            for one in got.limits
            if one.broken and one.margin < -AT_LIMIT[one.unit] and one.name not in ("path", "pressure")
        ]
    assert broken == []


@pytest.mark.parametrize("name", ASKED)
def test_what_lies_between_the_points_is_near_the_core(name: str) -> None:
    feel, rng = asked(name, "feel")["feel"], random.Random(7)
    off: dict[str, list[float]] = {}
    for _ in range(30):
        parts, numbers = between(feel, [0.05 + 0.9 * rng.random() for _ in feel["axes"]])
        got = measured(name, parts)
        for key in NEAR.keys() & numbers.keys():
            value = got.marks.heels_m if key == "heels" else getattr(got, KEYS.get(key, f"{key}_m"))
            off.setdefault(key, []).append(abs(numbers[key] - value))
    assert len(off) >= 5
    for key, found in off.items():  # a pull may jump from one way to hold a start to another
        assert sorted(found)[int(0.9 * len(found))] <= NEAR[key], (key, found)


KEYS = {"trunk_lean": "trunk_lean_deg"}


@pytest.mark.parametrize("name", ASKED)
def test_what_is_shown_is_a_place_of_the_grid(name: str) -> None:
    """Axis for axis, to what can be set."""
    feel, shown = asked(name, "feel")["feel"], asked(name)["setup"]
    at = [0.0] * len(feel["axes"])
    for i, axis in enumerate(feel["axes"]):
        ends = [between(feel, [*at[:i], end, *at[i + 1 :]])[0][axis["part"]] for end in (0.0, 1.0)]
        wanted = shown[axis["part"]]
        slack = max(1.0 if axis["part"].endswith("deg") else 0.005, 0.06 * (ends[1] - ends[0]))
        assert ends[0] - slack <= wanted <= ends[1] + slack, axis["key"]
        at[i] = min(max((wanted - ends[0]) / max(ends[1] - ends[0], 1e-9), 0.0), 1.0)


@pytest.mark.parametrize("name", ASKED)
def test_handles_are_parts_of_their_figures_and_move_with_their_axis(name: str) -> None:
    feel, figure = asked(name, "feel")["feel"], asked(name)["figure"]
    views = {one["key"]: one for one in figure["views"]}
    keys = {one["key"] for one in feel["numbers"]}
    steps = [axis["steps"] for axis in feel["axes"]]
    moved = set()
    for handle in feel["handles"]:
        assert f'data-part="{handle["part"]}"' in views[handle["view"]]["svg"]
        assert feel["axes"][handle["axis"]]["key"] in keys
        stride = math.prod(steps[handle["axis"] + 1 :])
        far = []
        for start in range(0, len(feel["points"]), stride):
            if start // stride % steps[handle["axis"]] == 0:
                last = feel["points"][start + stride * (steps[handle["axis"]] - 1)]
                points = (
                    re.findall(r"-?[0-9.]+", str(one["places"][handle["view"]][handle["part"]]))
                    for one in (feel["points"][start], last)
                )
                i = 2 * max(handle["point"], 0)
                far.append(math.dist(*([float(v) for v in one[i : i + 2]] for one in points)))
        assert max(far) > 5.0, handle
        moved.add(handle["axis"])
    assert moved == set(range(len(steps))), "every axis has a handle"
    headline = {one["key"] for one in asked(name)["headline"]}
    assert headline <= keys, "no number of the setup stands still under the finger"


def across(points: str) -> list[float]:
    return [float(one.split(",")[0]) for one in points.split()]


HEELS, TURNS = ("90", "105", "120"), {"squat": ("35", "45"), "sumo": ("25", "35")}  # that can be held
TYPED = [(name, heels, turn) for name, turns in TURNS.items() for heels in HEELS for turn in turns]


@pytest.mark.parametrize(("name", "heels", "turn"), TYPED)
def test_the_picture_from_above_holds_the_widest_feet_that_can_be_typed(
    name: str, heels: str, turn: str
) -> None:
    typed = {"stature": "195", "body_mass": "110", "current_heels": heels, "current_turn_out": turn}
    got = json.loads(view.answer(json.dumps(request(name, fields=typed))))
    svg = next(one["svg"] for one in got["figure"]["views"] if one["key"] == "above")
    ghosts = re.findall(r'class="fig-ghost" points="([^"]*)"', svg)
    assert len(ghosts) == 2, "both of the present feet"
    assert all(0 <= x <= 500 for points in ghosts for x in across(points))


@pytest.mark.parametrize("name", ASKED)
def test_feet_stay_in_the_picture_from_above_wherever_a_finger_brings_them(name: str) -> None:
    for point in asked(name, "feel")["feel"]["points"]:
        for part in ("shoe", "other-shoe", "toe-line", "other-toe-line"):
            assert all(0 <= x <= 500 for x in across(point["places"]["above"][part])), part


@pytest.mark.parametrize("name", ASKED)
def test_every_end_says_what_stops_it(name: str) -> None:
    feel, places = asked(name, "feel")["feel"], 1
    for axis in feel["axes"]:
        for said in (axis["low"], axis["high"]):
            assert len(said) in (1, places) and all(len(one) > 20 for one in said)
        places *= axis["steps"]
    assert len(feel["points"]) == places


def test_the_hips_of_a_stiff_ankle_are_stopped_by_it() -> None:
    feel = asked("stiff ankle", "feel")["feel"]
    back = next(axis for axis in feel["axes"] if axis["key"] == "sit_back")
    assert any("heel down" in one for one in back["low"])
    turn = next(axis for axis in feel["axes"] if axis["key"] == "turn_out")
    assert any("25°" in one for one in turn["high"]), "the careful setting's limit"
