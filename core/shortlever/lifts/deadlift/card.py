"""The rack card of a deadlift: feet, bar and hands from above, and the numbers to set them by."""

from __future__ import annotations

from typing import Any

from shortlever.draw.chart import Frame, dimension, label, limb
from shortlever.draw.svg import Drawing, Point, line, picture
from shortlever.lifts.deadlift.setting import Measured
from shortlever.lifts.deadlift.setup import Puller
from shortlever.lifts.legs import scene
from shortlever.lifts.legs.card import feet, tiles
from shortlever.lifts.legs.words import TILE_M
from shortlever.say import Said, Text

WIDTH, HEIGHT = 500, 220
MARGIN_M, SLEEVE_M = 0.04, 0.025  # beside the collars; half of a sleeve's thickness
FINGER_LONG, SHADE = 46.0, 0.86  # drawn length of a finger across the bar; its share of a finger's breadth
HANDS_Y = 24.0


def card_of(
    puller: Puller,
    shown: Measured,
    marks: list[dict[str, Text]],
    clocks: tuple[Text, Text],
    heels_m: float,
    hands_m: float,
) -> dict[str, Any]:
    """See ``card`` in ``lifts.lift.MORE``. ``marks``: as the screen lists them; ``clocks``: of the left foot
    and of the right; ``heels_m`` and ``hands_m``: rounded to what can be set."""
    m = shown.got.marks
    texts = {str(one["key"]): one for one in marks}
    heels, hands = Said("length", {"x_m": heels_m}), Said("length", {"x_m": hands_m})
    tile = {"hands": m.heels_in_hands, "tiles": m.heels_m / TILE_M, "tile_m": TILE_M}
    lines: list[tuple[str, Text, Text]] = [
        ("heels", heels, Said("legs_card_heels", tile)),
        (
            "toes",
            Said("degrees", {"x_deg": m.turn_out_deg}),
            Said("legs_card_toes", {"left": clocks[0], "right": clocks[1]}),
        ),
        ("hands", hands, texts["hands"]["text"]),
        ("string", Said("length", {"x_m": m.string_m}), Said("pull_card_string", {"box_m": m.box_m})),
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
        "pull_card_said",
        {"heels_m": heels_m, "turn_deg": m.turn_out_deg, "hands_m": hands_m, "string_m": m.string_m},
    )
    return {"svg": _draw(puller, shown, heels, hands, clocks, said), "lines": big + small}


def _draw(
    puller: Puller, shown: Measured, heels: Text, hands: Text, clocks: tuple[Text, Text], said: Text
) -> Drawing:
    bar, leg, m = puller.gear.bar, shown.pull.leg, shown.got.marks
    inner = bar.between_collars_m / 2
    per = WIDTH / (2 * (inner + MARGIN_M))
    frame = Frame(per, WIDTH / 2, HEIGHT - 44.0 - 0.25 * leg.body.foot_m * per, scene.OVER)
    y = shown.rep.poses[0].bar[0]

    def at(x: float, down: float = 0.0) -> Point:
        a, b = frame.at((x, y, 0.0))
        return a, round(b + down, 1)

    shapes = tiles(leg, frame, (WIDTH, HEIGHT)) + feet(leg, frame, heels, clocks)
    thick = bar.diameter_m * per
    shapes += limb("card-bar", (at(-inner), at(inner)), thick)
    for sign in (-1, 1):
        shapes += limb("card-knurl", (at(sign * 0.08), at(sign * (inner - 0.03))), thick)
        shapes += limb(
            "card-sleeve", (at(sign * inner), at(sign * (inner + 2 * MARGIN_M))), 2 * SLEEVE_M * per
        )
        for apart in bar.rings_m:
            x = sign * apart / 2
            shapes.append(line("card-ring", at(x, -thick / 2 - 1), at(x, thick / 2 + 1)))
            shapes.append(line("card-ring-line", at(x, -36), at(x, 36)))
        finger = puller.body.hand_breadth_m / 4
        for i in range(4):
            x = sign * (shown.pull.grip_m / 2 + (1.5 - i) * finger)
            kind = "card-forefinger" if i == 3 else "card-finger"  # the forefingers are nearest to the middle
            shapes += limb(kind, (at(x, -FINGER_LONG / 2), at(x, FINGER_LONG / 2)), SHADE * finger * per)
    a, b = ((frame.at((sign * m.hands_m / 2, 0.0, 0.0))[0], HANDS_Y) for sign in (-1, 1))
    shapes += dimension(a, b)
    for x, _ in (a, b):
        shapes.append(line("fig-leader", (x, HANDS_Y), (x, at(0.0, -FINGER_LONG / 2)[1])))
    shapes += label((b[0] + 12, HANDS_Y + 7), "start", hands)
    return picture("card", (WIDTH, HEIGHT), Said("pull_card_title"), said, shapes)
