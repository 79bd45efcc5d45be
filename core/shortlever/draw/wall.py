"""Many lifters on one piece of gear, to scale: along the bar or the floor from the middle, or up the rack.

Shapes carry classes only, as in ``draw.svg``; a name stands in a row of its own, so none covers another.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shortlever.draw.svg import Drawing, Point, curve, dot, line, picture, text
from shortlever.say import Text

WIDTH, ROW, TOP, RIGHT = 500, 28.0, 46.0, 12.0
NAMES = 150.0  # what names take at the left
NAME_CHARACTERS = 17
HEIGHT, LEAST_APART = 380.0, 19.0


@dataclass(frozen=True)
class Spot:
    """One lifter's place: name, m from the middle or the floor, and what is said of it."""

    name: str
    at_m: float
    said: Text


@dataclass(frozen=True)
class Line:
    """A place of the gear itself, such as a ring: m, and its label."""

    at_m: float
    said: Text


def short(name: str) -> str:
    """A name that fits its place.

    >>> short("Maximiliane von Hohenfels"), short("Ann")
    ('Maximiliane von …', 'Ann')
    """
    return name if len(name) <= NAME_CHARACTERS else name[: NAME_CHARACTERS - 1] + "…"


def along(
    name: str, title: Text, said: Text, spots: Sequence[Spot], lines: Sequence[Line], to_m: float
) -> Drawing:
    """Half of a bar, or of the floor, from its middle out to ``to_m``: a row for each lifter, the nearest
    first. ``name`` makes ids."""
    per_m = (WIDTH - NAMES - RIGHT) / to_m
    rows = sorted(spots, key=lambda one: (one.at_m, one.name))
    bottom = TOP + ROW * len(rows) + 8

    def x(at_m: float) -> float:
        return round(NAMES + per_m * at_m, 1)

    shapes: list[Drawing] = [
        line("wall-middle", (x(0.0), TOP - 16), (x(0.0), bottom)),
        line("wall-bar", (x(0.0), TOP - 8), (x(to_m), TOP - 8)),
    ]
    for i, one in enumerate(sorted(lines, key=lambda one: one.at_m)):
        shapes.append(line("wall-line", (x(one.at_m), TOP - 16), (x(one.at_m), bottom)))
        shapes.append(text("wall-small", (x(one.at_m), TOP - 22), "start" if i else "end", one.said))
    for i, spot in enumerate(rows):
        y = TOP + ROW * (i + 0.7)
        shapes.append(line("wall-lead", (NAMES - 4, y), (x(spot.at_m), y)))
        shapes.append(dot("wall-spot", (x(spot.at_m), y), 6))
        shapes.append(text("wall-name", (NAMES - 10, y + 5), "end", short(spot.name)))
        shapes.append(text("wall-text", (NAMES + 6, y - 6), "start", spot.said))
    return picture(name, (WIDTH, bottom + 4), title, said, shapes)


def up(name: str, title: Text, said: Text, spots: Sequence[Spot], to_m: float) -> Drawing:
    """An upright from the floor to ``to_m``: every lifter's height at its place, names moved apart."""
    tall = max(HEIGHT, LEAST_APART * (len(spots) + 1))
    floor, per_m, at_x = tall + 10, tall / to_m, 60.0
    rows = sorted(spots, key=lambda one: (-one.at_m, one.name))
    wanted = [floor - per_m * one.at_m for one in rows]
    shapes: list[Drawing] = [
        line("wall-floor", (0.0, floor), (float(WIDTH), floor)),
        line("wall-upright", (at_x, 10.0), (at_x, floor)),
    ]
    for spot, y, shown in zip(rows, wanted, moved_apart(wanted, LEAST_APART, 20.0, floor - 8), strict=True):
        y, shown = round(y, 1), round(shown, 1)
        bend: list[Point] = [(at_x + 8, y), (at_x + 30, y), (at_x + 60, shown), (at_x + 74, shown)]
        shapes.append(line("wall-hook", (at_x - 4, y), (at_x + 22, y)))
        shapes.append(curve("wall-lead", bend))
        shapes.append(text("wall-name", (at_x + 80, shown + 5), "start", short(spot.name)))
        shapes.append(text("wall-text", (WIDTH - RIGHT, shown + 5), "end", spot.said))
    return picture(name, (WIDTH, round(floor + 8, 1)), title, said, shapes)


def moved_apart(wanted: Sequence[float], least: float, low: float, high: float) -> list[float]:
    """Places in rising order, ``least`` apart and from ``low`` to ``high``, with the least sum of squares
    from those wanted, which rise too: places that touch are pooled at the mean of what they want.

    >>> moved_apart([100.0, 101.0, 200.0], 10.0, 0.0, 300.0)
    [95.5, 105.5, 200.0]
    """
    pools: list[tuple[float, int]] = []  # mean of places less the room before them, how many
    for i, place in enumerate(wanted):
        mean, count = place - least * i, 1
        while pools and pools[-1][0] > mean:
            before, n = pools.pop()
            mean, count = (before * n + mean * count) / (n + count), n + count
        pools.append((mean, count))
    end = high - least * (len(wanted) - 1)
    firsts = [min(max(mean, low), end) for mean, count in pools for _ in range(count)]
    return [first + least * i for i, first in enumerate(firsts)]
