"""The evidence of a trial as a picture: a dot for every set, and how far each setup is from the reference.

One band for each setup, masses to the right. The dots of a band run downward in the order the sets were done.
Under them lies the 90 % interval of what the setup gives more or less than the reference, drawn from the
reference's own one-rep max. Shapes carry classes only; the page's stylesheet colours them.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from shortlever.draw.svg import Drawing, box, dot, line, picture, text

WIDTH = 340
LEFT, RIGHT, TOP, BOTTOM = 34, 12, 30, 44
BAND, DOTS = 84, 44  # height of a band, and of the part of it that holds the dots
STEPS = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0)
MOST_MARKS = 5
RADIUS = 4.5


@dataclass(frozen=True)
class Dot:
    """One set: its estimated one-rep max, and its kind: "counts", "elsewhere" (did not touch where planned)
    or "pain" (left out)."""

    value: float
    kind: str


@dataclass(frozen=True)
class Band:
    """One setup: its letter, its sets in order, and the low end, middle and high end of its one-rep max as
    compared with the reference (all in the unit of the picture; None: nothing known). ``off`` marks one that
    is off the list."""

    letter: str
    dots: tuple[Dot, ...]
    interval: tuple[float, float, float] | None
    off: bool = False


def _marks(low: float, high: float) -> list[float]:
    """Round values between two masses, at most MOST_MARKS of them."""
    step = next((s for s in STEPS if (high - low) / s <= MOST_MARKS - 1), STEPS[-1])
    first = math.ceil(low / step - 1e-9)
    return [round(step * i, 6) for i in range(first, math.floor(high / step + 1e-9) + 1)]


def draw(bands: Sequence[Band], reference: float | None, unit: str, title: str, said: str) -> Drawing:
    """The picture as SVG text. ``reference`` is the one-rep max that intervals start from."""
    values = [d.value for b in bands for d in b.dots] + [v for b in bands for v in b.interval or ()]
    values += [reference] if reference is not None else []
    low, high = (min(values), max(values)) if values else (80.0, 120.0)
    room = max(0.06 * (high - low), 0.01 * high)
    low, high = low - room, high + room
    base = TOP + BAND * len(bands)
    height = base + BOTTOM

    def x(value: float) -> float:
        return round(LEFT + (WIDTH - LEFT - RIGHT) * (value - low) / (high - low), 1)

    shapes: list[Drawing] = []
    for mark in _marks(low, high):
        shapes.append(line("ev-grid", (x(mark), TOP), (x(mark), base)))
        shapes.append(text("ev-label", (x(mark), base + 17), "middle", f"{mark:g}"))
    middle = (LEFT + WIDTH - RIGHT) / 2
    shapes.append(text("ev-label", (middle, base + 36), "middle", f"estimated one-rep max, {unit}"))
    if reference is not None:
        shapes.append(line("ev-reference", (x(reference), TOP - 6), (x(reference), base)))
    for i, band in enumerate(bands):
        shapes += _band(band, TOP + BAND * i, x)
    return picture("evidence-figure", (WIDTH, height), title, said, shapes)


def _band(band: Band, top: float, x: Callable[[float], float]) -> list[Drawing]:
    bottom = top + BAND
    off = " ev-off" if band.off else ""
    shapes = [
        line("ev-floor", (LEFT, bottom), (WIDTH - RIGHT, bottom)),
        text(f"ev-letter{off}", (4, top + BAND / 2 + 9), "start", band.letter),
    ]
    count = len(band.dots)
    for place, one in enumerate(band.dots):
        y = round(top + 10 + (DOTS * (place + 0.5) / count if count > 1 else DOTS / 2), 1)
        shapes.append(_set(one, x(one.value), y))
    if band.interval:
        at = bottom - 16
        start, middle, end = (x(value) for value in band.interval)
        if end > start:
            shapes.append(line(f"ev-bar{off}", (start, at), (end, at)))
            shapes += [line(f"ev-end{off}", (side, at - 8), (side, at + 8)) for side in (start, end)]
        shapes.append(box(f"ev-middle{off}", (middle - 4, at - 8), 8, 16))
    return shapes


def _set(one: Dot, x: float, y: float) -> str:
    if one.kind == "pain":
        a, b, c, d = x - RADIUS, y - RADIUS, x + RADIUS, y + RADIUS
        return f'<path class="ev-pain" d="M{a:g} {b:g}L{c:g} {d:g}M{a:g} {d:g}L{c:g} {b:g}"/>'
    return dot("ev-set" if one.kind == "counts" else "ev-elsewhere", (x, y), RADIUS)
