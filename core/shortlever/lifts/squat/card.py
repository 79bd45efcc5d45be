"""The rack card of a squat: feet on the floor, heights in the rack, and the numbers to set them by."""

from __future__ import annotations

from typing import Any

from shortlever.draw.chart import Frame, label, limb
from shortlever.draw.svg import Drawing, Point, box, dot, line, picture
from shortlever.lifts.legs import scene
from shortlever.lifts.legs.card import feet, tiles
from shortlever.lifts.legs.words import TILE_M
from shortlever.lifts.squat.setting import Measured
from shortlever.lifts.squat.squat import Squat
from shortlever.say import Said, Text

WIDTH, HEIGHT = 500, 220
FLOOR, TOP = 206.0, 18.0  # of the rack beside the feet
RACK = 352.0  # where it begins
UNDER_BAR_M = 0.02  # how far the safeties are drawn under the bar at the bottom


def card_of(
    squat: Squat, shown: Measured, marks: list[dict[str, Text]], clocks: tuple[Text, Text], heels_m: float
) -> dict[str, Any]:
    """See ``card`` in ``lifts.lift.MORE``. ``marks``: as the screen lists them; ``clocks``: of the left foot
    and of the right; ``heels_m``: rounded to what can be set."""
    m, got = shown.got.marks, shown.got
    texts = {str(one["key"]): one for one in marks}
    heels = Said("length", {"x_m": heels_m})
    lines: list[tuple[str, Text, Text]] = [
        (
            "heels",
            heels,
            Said(
                "legs_card_heels", {"hands": m.heels_in_hands, "tiles": m.heels_m / TILE_M, "tile_m": TILE_M}
            ),
        ),
        (
            "toes",
            Said("degrees", {"x_deg": m.turn_out_deg}),
            Said("legs_card_toes", {"left": clocks[0], "right": clocks[1]}),
        ),
        ("hooks", Said("length", {"x_m": m.hook_m}), Said("squat_card_hooks")),
        ("box", Said("length", {"x_m": m.box_m}), Said("squat_card_box")),
    ]
    big = [
        {"key": key, "label": texts[key]["label"], "value": value, "text": text} for key, value, text in lines
    ]
    done = {key for key, _, _ in lines}
    small = [
        {"key": one["key"], "label": one["label"], "value": "", "text": one["text"]}
        for one in marks
        if one["key"] not in done
    ]
    said = Said(
        "squat_card_said",
        {"heels_m": heels_m, "turn_deg": m.turn_out_deg, "hook_m": m.hook_m, "box_m": m.box_m},
    )
    safeties_m = got.bar_standing_m - got.stroke_m - squat.bar_diameter_m / 2 - UNDER_BAR_M
    svg = _draw(shown, heels, clocks, said, safeties_m)
    return {"svg": svg, "lines": big + small}


def _draw(shown: Measured, heels: Text, clocks: tuple[Text, Text], said: Text, safeties_m: float) -> Drawing:
    leg, m = shown.stance.leg, shown.got.marks
    per = min(300.0, (RACK - 90.0) / m.toes_m)  # room for the clock at each foot
    frame = Frame(per, (RACK - 12) / 2, HEIGHT - 50.0 - 0.25 * leg.body.foot_m * per, scene.OVER)
    shapes = tiles(leg, frame, (RACK - 12, HEIGHT)) + feet(leg, frame, heels, clocks)
    return picture(
        "card",
        (WIDTH, HEIGHT),
        Said("squat_card_title"),
        said,
        [*shapes, *_rack(m.hook_m, safeties_m, m.box_m)],
    )


def _rack(hook_m: float, safeties_m: float, box_m: float) -> list[Drawing]:
    """The upright from the side with its hook and the bar on it, the safeties, a box; to one scale."""
    per = (FLOOR - TOP) / (hook_m + 0.12)
    post = RACK + 14

    def at(x: float, z: float) -> Point:
        return round(post + x, 1), round(FLOOR - per * z, 1)

    shapes: list[Drawing] = [line("fig-floor", (RACK, FLOOR), (WIDTH, FLOOR))]
    shapes += limb("card-bar", (at(0, 0), at(0, hook_m + 0.1)), 10.0)
    shapes.append(line("fig-iron", at(0, hook_m), at(22, hook_m)))
    shapes.append(line("fig-iron", at(22, hook_m), at(22, hook_m + 0.05)))
    shapes.append(dot("fig-bar", at(13, hook_m + 0.035), 4))
    shapes.append(line("fig-iron", at(0, safeties_m), at(60, safeties_m)))
    shapes.append(box("card-box", at(18, box_m), 36, per * box_m))
    right = WIDTH - 4.0
    for z, name, value in (
        (hook_m, Said("squat_mark_hooks"), hook_m),
        (safeties_m, Said("squat_mark_safeties"), None),
        (box_m, Said("squat_mark_box"), box_m),
    ):
        texts: list[Text] = [name] if value is None else [name, Said("length", {"x_m": value})]
        shapes += label((right, at(0, z)[1] - 4 if value is None else at(0, z)[1] + 2), "end", *texts)
    return shapes
