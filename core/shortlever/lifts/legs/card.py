"""The picture of the rack card of a lift from the legs: the floor under this lifter, from above and to scale.

Tiles, both soles, how far the heels are apart, and where each foot points on a clock whose twelve is straight
ahead. What stands on the floor beside it is each lift's own.
"""

from __future__ import annotations

import math

from shortlever.draw.chart import Frame, dimension, label
from shortlever.draw.svg import Drawing, Point, arc, line
from shortlever.lifts.legs import scene
from shortlever.lifts.legs.leg import Leg
from shortlever.lifts.legs.words import TILE_M
from shortlever.say import Text

HAND_OF_FOOT = 0.55  # where on the foot its direction is read, from the heel


def tiles(leg: Leg, frame: Frame, size: Point) -> list[Drawing]:
    """Joints between tiles; one lies midway between the feet, one under both heels."""
    (width, height), step = size, TILE_M * frame.per_m
    x0, y0 = frame.at((0.0, scene.heel_of(leg)[1], 0.0))
    shapes: list[Drawing] = []
    for i in range(-6, 7):
        x, y = round(x0 + i * step, 1), round(y0 + i * step, 1)
        if 0 < x < width:
            shapes.append(line("card-tile", (x, 0), (x, height)))
        if 0 < y < height:
            shapes.append(line("card-tile", (0, y), (width, y)))
    return shapes


def feet(
    leg: Leg, frame: Frame, heels: Text, clocks: tuple[Text, Text], under: float = 22.0
) -> list[Drawing]:
    """Both soles with their directions (``clocks``: of the left foot and of the right), and the distance of
    the heels, ``under`` units below them."""
    x, y = scene.heel_of(leg)
    ahead = leg.body.foot_m
    shapes = scene.soles(leg, frame)
    for sign, said in ((-1.0, clocks[0]), (1.0, clocks[1])):
        heel = frame.at((sign * x, y, 0.0))
        toe = frame.at((sign * (x + ahead * leg.sin), y + ahead * leg.cos, 0.0))
        straight = frame.at((sign * x, y + ahead, 0.0))
        shapes.append(line("card-ring-line", heel, straight))
        shapes.append(line("card-toes", heel, toe))
        turn = leg.feet.turn_rad
        if turn > math.radians(2):
            ends = sorted((-math.pi / 2, -math.pi / 2 + sign * turn))
            shapes.append(arc("fig-arc", heel, HAND_OF_FOOT * ahead * frame.per_m, *ends))
        end = "start" if sign > 0 else "end"
        shapes += label((toe[0] - sign * 8, toe[1] - 9), end, said)
    a, b = (frame.at((sign * x, y, 0.0)) for sign in (-1.0, 1.0))
    low = round(a[1] + under, 1)
    shapes += dimension((a[0], low), (b[0], low))
    return shapes + label((b[0] + 12, low + 7), "start", heels)
