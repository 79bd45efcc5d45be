"""The grid a finger goes between: its setups are the core's own, what lies between them is near enough."""

from __future__ import annotations

import json
import random
import re
from itertools import product
from typing import Any

import pytest

from shortlever import view
from shortlever.fitting.request import read_request
from shortlever.lifts import LIFTS
from shortlever.lifts.bench.figure import drawn_at, frames
from shortlever.lifts.bench.measure import Setup
from shortlever.lifts.bench.press import Press
from shortlever.lifts.bench.setting import Measured, measured

FIELDS = [
    {"arm_length": "62", "shoulder_breadth": "39"},
    {"arm_length": "48", "shoulder_breadth": "34", "current_grip": "60"},
    {"arm_length": "76", "shoulder_breadth": "46", "chest_flat": "26", "chest_arched": "32"},
]


def asked(fields: dict[str, str], **more: Any) -> dict[str, Any]:
    got: dict[str, Any] = json.loads(view.answer(json.dumps({"unit": "cm", "fields": fields, **more})))
    assert got["ok"], got["errors"]
    return got


def between(feel: dict[str, Any], at: tuple[float, float]) -> tuple[dict[str, float], dict[str, list[float]]]:
    """Numbers and the places of one view between the grid's points (bilinear), as a page takes them."""
    steps = [axis["steps"] for axis in feel["axes"]]
    low = [min(int(u * (n - 1)), n - 2) for u, n in zip(at, steps, strict=True)]
    share = [u * (n - 1) - i for u, n, i in zip(at, steps, low, strict=True)]
    numbers: dict[str, float] = {}
    places: dict[str, list[float]] = {}
    for di, dj in product((0, 1), (0, 1)):
        weight = (share[0] if di else 1 - share[0]) * (share[1] if dj else 1 - share[1])
        point = feel["points"][(low[0] + di) * steps[1] + low[1] + dj]
        for key, value in point["numbers"].items():
            numbers[key] = numbers.get(key, 0.0) + weight * value
        for name, where in point["places"]["side"].items():
            values = [float(v) for v in re.findall(r"-?[0-9.]+", str(where))]
            places[name] = [
                a + weight * b for a, b in zip(places.get(name, [0.0] * 99), values, strict=False)
            ]
    return numbers, places


def press_of(fields: dict[str, str]) -> Press:
    press: Press = LIFTS["bench"].case(read_request({"unit": "cm", "fields": fields}))
    return press


def at_setup(press: Press, grip_m: float, touch_m: float) -> Measured:
    return measured(press, Setup(grip_m, touch_m, press.load_kg))


@pytest.mark.parametrize("fields", FIELDS, ids=["example", "small", "arched"])
def test_what_lies_between_the_points_is_within_what_can_be_set(fields: dict[str, str]) -> None:
    """Against the core's own answer for the same grip and touch: lengths to 1.5 mm, angles to 1.5 degrees."""
    feel, press, rng = asked(fields, want="feel")["feel"], press_of(fields), random.Random(7)
    for _ in range(12):
        numbers, _ = between(feel, (rng.random(), rng.random()))
        got = at_setup(press, numbers["grip"], numbers["moment_arm"]).got
        for key, value in (("touch", got.touch_tape_m), ("range_of_motion", got.range_of_motion_m)):
            assert numbers[key] == pytest.approx(value, abs=0.0015), key
        assert numbers["tuck"] == pytest.approx(got.tuck_deg, abs=1.5)


@pytest.mark.parametrize("fields", FIELDS, ids=["example", "small", "arched"])
def test_the_parts_between_the_points_are_drawn_where_the_core_draws_them(fields: dict[str, str]) -> None:
    feel, press, rng = asked(fields, want="feel")["feel"], press_of(fields), random.Random(8)
    shown = asked(fields)
    now = float(fields["current_grip"]) / 100 if "current_grip" in fields else None
    tallest = at_setup(press, shown["setup"]["grip_m"], shown["setup"]["touch_m"]).rep.heights_m[-1]
    if now:
        tallest = max(tallest, at_setup(press, now, shown["setup"]["touch_m"]).rep.heights_m[-1])
    frame = frames(press, tallest)["side"]
    still = shown["figure"]["views"][0]["rows"][0]
    for _ in range(8):
        numbers, places = between(feel, (rng.random(), rng.random()))
        rep = at_setup(press, numbers["grip"], numbers["moment_arm"]).rep
        for name, where in drawn_at(press, rep, 0, "side", frame).items():
            values = [float(v) for v in re.findall(r"-?[0-9.]+", str(where))]
            there = places.get(name, still[name])
            assert there == pytest.approx(values, abs=2.0), name


@pytest.mark.parametrize("comfort", ["careful", "usual", "loose"])
def test_every_point_keeps_the_limits_and_every_end_says_what_stops_it(comfort: str) -> None:
    feel = asked(FIELDS[0], want="feel", comfort=comfort)["feel"]
    grips, touches = feel["axes"]
    assert len(feel["points"]) == grips["steps"] * touches["steps"]
    assert len(touches["low"]) == grips["steps"] and len(grips["low"]) == len(grips["high"]) == 1
    press = LIFTS["bench"].case(read_request({"unit": "cm", "fields": FIELDS[0], "comfort": comfort}))
    for point in feel["points"]:
        got = at_setup(press, point["parts"]["grip_m"], point["parts"]["touch_m"]).got
        assert [limit.name for limit in got.limits if limit.broken] == []
    expected = {"careful": "careful setting", "usual": "rulebook", "loose": "rulebook"}[comfort]
    assert expected in grips["high"][0]


def test_the_load_felt_is_100_at_what_is_shown() -> None:
    shown = asked(FIELDS[0])
    feel = asked(FIELDS[0], want="feel", choice=shown["setup"])["feel"]
    touch = shown["setup"]["touch_m"]
    near = min(feel["points"], key=lambda p: abs(p["parts"]["touch_m"] - touch))
    numbers = near["numbers"]
    assert numbers["shoulder_load"] == pytest.approx(100 * numbers["moment_arm"] / touch, rel=0.06)


def test_handles_are_parts_of_their_figures() -> None:
    feel, figure = asked(FIELDS[0], want="feel")["feel"], asked(FIELDS[0])["figure"]
    views = {one["key"]: one for one in figure["views"]}
    keys = {one["key"] for one in feel["numbers"]}
    for handle in feel["handles"]:
        assert handle["part"] in views[handle["view"]]["rows"][0]
        assert f'data-part="{handle["part"]}"' in views[handle["view"]]["svg"]
        assert feel["axes"][handle["axis"]]["key"] in keys


def test_a_lift_without_a_figure_to_move_says_none(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(LIFTS["bench"], "feel", lambda _fit: None)
    assert asked(FIELDS[0], want="feel")["feel"] is None
