"""The pictures of the pages of text, drawn by the core from real poses of the invented example lifter."""

from __future__ import annotations

import functools
import json
import re
from collections.abc import Callable, Sequence
from html import escape
from typing import Any

from shortlever import Body, Setup, Tape, assess, view
from shortlever.draw import svg
from shortlever.lifts.bench.chest import chest_of
from shortlever.lifts.bench.limits import COMFORTS
from shortlever.lifts.deadlift.library import suggest as suggest_pull
from shortlever.lifts.legs import statics
from shortlever.lifts.squat.library import suggest as suggest_squat
from shortlever.units import degrees

WIDTH, HEIGHT, LEFT, RIGHT, TOP, BOTTOM = 320, 220, 56, 306, 34, 172
TAPE = {"arm_length": "62", "shoulder_breadth": "39", "chest_flat": "24"}
ARCHED = {"chest_arched": "29"}
NARROW_AND_LOW = {"current_grip": "55", "current_touch": "24"}


@functools.cache
def answered(arched: bool, present: bool = False) -> dict[str, Any]:
    """What the fit screen shows for the example lifter, flat or arched."""
    fields = TAPE | (ARCHED if arched else {}) | (NARROW_AND_LOW if present else {})
    found: dict[str, Any] = json.loads(view.answer(json.dumps({"unit": "cm", "fields": fields})))
    assert found["ok"], found["errors"]
    return found


def figure(name: str) -> str:
    """The HTML of one picture with its caption; the ids in it are its own."""
    drawn, caption = FIGURES[name]()
    drawn = re.sub(r'(id="|aria-labelledby="| )(fig-|trade-|chart-|card-)', rf"\1{name}-\2", drawn)
    drawn = re.sub(r' data-[a-z]+="[^"]*"', "", drawn)
    return f'<figure><div class="drawing">{drawn}</div><figcaption>{escape(caption)}</figcaption></figure>'


def _pose(key: str, arched: bool, caption: str, present: bool = False) -> tuple[str, str]:
    figure_ = answered(arched, present)["figure"]
    drawn = next(one["svg"] for one in figure_["views"] if one["key"] == key)
    return drawn, caption.format(**{n["key"]: f"{n['value']} {n['unit']}" for n in _numbers(arched, present)})


def _numbers(arched: bool, present: bool) -> list[dict[str, str]]:
    found = answered(arched, present)
    return [*found["headline"], *found["measures"]]


def _chart(
    title: str,
    across: tuple[str, float, float],
    up: tuple[str, float, float],
    lines: Sequence[tuple[str, Any, str]],
) -> str:
    """Lines over two axes: (class, points in data units, label at the last point)."""
    (x_label, x0, x1), (y_label, y0, y1) = across, up

    def at(x: float, y: float) -> tuple[float, float]:
        return (
            round(LEFT + (RIGHT - LEFT) * (x - x0) / (x1 - x0), 1),
            round(BOTTOM - (BOTTOM - TOP) * (y - y0) / (y1 - y0), 1),
        )

    def label(x: float, y: float, anchor: str, said: str) -> str:
        return svg.text("trade-label", (x, y), anchor, said)

    shapes = [
        svg.line("trade-axis", (LEFT, BOTTOM), (RIGHT, BOTTOM)),
        svg.line("trade-axis", (LEFT, TOP), (LEFT, BOTTOM)),
        label(LEFT, BOTTOM + 18, "start", f"{x0:g}"),
        label(RIGHT, BOTTOM + 18, "end", f"{x1:g}"),
        label((LEFT + RIGHT) / 2, BOTTOM + 38, "middle", x_label),
        label(LEFT - 6, BOTTOM, "end", f"{y0:g}"),
        label(LEFT - 6, TOP + 10, "end", f"{y1:g}"),
        label(6, 18, "start", y_label),
    ]
    for kind, points, named in lines:
        places = [at(x, y) for x, y in points]
        shapes.append(svg.curve(kind, places))
        if named and kind == "fig-arm-line":  # the lower line: its name stands below it
            x, y = places[len(places) // 3]
            shapes.append(label(x, y + 22, "end", named))
        elif named:
            x, y = places[2 * len(places) // 5]
            shapes.append(label(x + 6, y - 8, "start", named))
    return svg.picture("chart", (WIDTH, HEIGHT), title, "", shapes)


def _flare() -> tuple[str, str]:
    """The flare that is allowed, by how deep the elbow hangs below the shoulder."""
    lines = []
    for key, kind, label in (
        ("careful", "fig-path", ""),
        ("usual", "fig-stroke", ""),
        ("loose", "fig-limit", "loose, usual, careful"),
    ):
        depths = [i / 100 for i in range(-5, 26)]
        caps = [degrees(COMFORTS[key].flare_cap_rad(depth)) for depth in depths]
        lines.append((kind, [(100 * d, c) for d, c in zip(depths, caps, strict=True)], label))
    drawn = _chart(
        "Flare allowed against the depth of the elbow, for three comfort settings",
        ("elbow below the shoulder, cm", -5, 25),
        ("flare allowed, °", 20, 90),
        lines,
    )
    return drawn, (
        "How far the upper arm may flare, by how deep the elbow hangs below the shoulder: the upper line "
        "for the loose setting, the middle one for the usual, the lower one for the careful. Deep and "
        "flared is where the cuff is pinched, so the limit falls with depth. "
        "Common practice, not an injury threshold."
    )


def _arms() -> tuple[str, str]:
    """The moment arm at every height of the press, suggested and present."""
    body = Body.from_tape(Tape(arm_length=0.62, shoulder_breadth=0.39, chest_flat=0.24, chest_arched=0.29))
    now = answered(True)
    grip, touch = (float(n["value"]) / 100 for n in now["headline"][:2])
    lines = []
    for kind, label, spacing, low in (
        ("fig-arm-line", "fitted", grip, touch),
        ("fig-path", "narrow and low", 0.55, 0.24),
    ):
        measured = assess(body, Setup(spacing, _touch_m(body, low)))
        lines.append((kind, [(100 * row.height_m, 100 * abs(row.y_m)) for row in measured.path], label))
    high = max(x for _, points, _ in lines for x, _ in points)
    drawn = _chart(
        "Moment arm at every height of the press, fitted setup against a narrow grip with a low touch",
        ("bar above the chest, cm", 0, round(high + 0.5)),
        ("moment arm, cm", 0, 20),
        lines,
    )
    return drawn, (
        "The moment arm from the chest to lockout. The fitted setup starts closer to the shoulders "
        "and its path goes back "
        "early; the dashed one holds a narrow grip and touches low."
    )


def _touch_m(body: Body, tape_m: float) -> float:
    return chest_of(body).y_at_tape_m(tape_m)


@functools.cache
def of_lift(lift: str) -> dict[str, Any]:
    """What the fit screen shows for the example of another lift."""
    found: dict[str, Any] = json.loads(view.answer(json.dumps(view.example_request(lift))))
    assert found["ok"], found["errors"]
    return found


def _of_lift(lift: str, key: str, caption: str) -> tuple[str, str]:
    """A view of a lift's example, or its trade-off or its card."""
    found = of_lift(lift)
    drawn = {one["key"]: one["svg"] for one in found["figure"]["views"]}
    drawn |= {"trade": found["tradeoff"]["svg"], "card": found["card"]["svg"]}
    numbers = [*found["headline"], *found["measures"]]
    said = {n["key"]: f"{n['value']}{'' if n['unit'] == '°' else ' '}{n['unit']}" for n in numbers}
    return drawn[key], caption.format(**said)


def _push() -> str:
    """What the suggestions become where the feet may push sideways less or more, of the middle man."""
    man = Tape(stature=1.756, body_mass=85.5, sex="male")
    before, rows = statics.PUSH, []
    try:
        for push in (0.0, 0.05, 0.10, 0.15):
            statics.PUSH = push
            squat = suggest_squat(man).measures
            pulls = [suggest_pull(man, style=style).measures for style in ("conventional", "sumo")]
            cells = [
                f"{100 * one.stance_m:.0f} cm, {one.turn_out_deg:.0f}°, {one.effort:.2f}"
                for one in (squat, *pulls)
            ]
            rows.append(f"| {100 * push:.0f} % | " + " | ".join(cells) + " |")
    finally:
        statics.PUSH = before
    head = "| a foot pushes sideways at most | squat | conventional | sumo |\n| --- | --- | --- | --- |"
    return "\n".join([head, *rows])


TABLES: dict[str, Callable[[], str]] = {"push": _push}
FIGURES: dict[str, Callable[[], tuple[str, str]]] = {
    "side": lambda: _pose(
        "side",
        True,
        "From the side, head left, bar on the chest: the invented lifter Mara Feld with an arch. Moment arm "
        "{moment_arm}, stroke {range_of_motion}. The dashed curve is the bar path.",
    ),
    "flat": lambda: _pose(
        "side",
        False,
        "The same lifter lying flat: moment arm {moment_arm}, stroke {range_of_motion}. The chest is lower, "
        "so the elbows hang deeper and may flare less, and the bar touches further from the shoulders.",
    ),
    "head": lambda: _pose("head", True, "From the head end: grip {grip} between the forefingers."),
    "above": lambda: _pose(
        "above",
        True,
        "From above. The dashed line is the flare that the comfort limit allows at this depth; tuck {tuck}.",
    ),
    "present": lambda: _pose(
        "side",
        True,
        "The fitted setup over the present one (dotted): a narrow grip that touches low.",
        present=True,
    ),
    "trade": lambda: (
        answered(True)["tradeoff"]["svg"],
        "Setups that no other beats in both: the mean moment arm against the stroke. The "
        "suggestion is filled.",
    ),
    "flare": _flare,
    "arms": _arms,
    "squat-side": lambda: _of_lift(
        "squat",
        "side",
        "The squat at the bottom, from the side, an invented lifter: the plumb line over the middle of the "
        "foot, hips {sit_back} behind it, knees {knee_arm} ahead of it, the bar {back_arm} ahead of the low "
        "back. The two dashes are the crease of the hip and the top of the knee.",
    ),
    "squat-trade": lambda: _of_lift(
        "squat", "trade", "Knees or hips: places of the dial for the same feet. The suggestion is filled."
    ),
    "pull-side": lambda: _of_lift(
        "deadlift",
        "side",
        "The deadlift at lift-off, {style}: hip arm {hip_arm}, back arm {back_arm}, hips {hip_height} over "
        "the floor. The upright strip behind the hips is the stretch that costs nearly the same.",
    ),
    "pull-card": lambda: _of_lift(
        "deadlift",
        "card",
        "The rack card: heels {heels} apart on tiles of 30 cm, hands {hands} from edge to edge.",
    ),
}
