"""The bar as pictures show it from the front or from above, to scale."""

from __future__ import annotations

from shortlever.draw.chart import Frame
from shortlever.draw.svg import Drawing, Point, line
from shortlever.gear import PLATE_DIAMETER_M, Bar

SLEEVE_M, PLATE_WIDTH_M, COLLAR_M = 0.415, 0.054, 0.03  # IWF equipment (memory)
RING = 5.0  # half of what is drawn of a ring
Line = tuple[Point, Point]


def bar_parts(bar: Bar, frame: Frame, y: float, z: float, ends: bool = True) -> dict[str, Line]:
    """The bar across the picture: the bar, its rings, and with ``ends`` its sleeves and a plate a side; its
    centre at y, z (m)."""
    inner, radius = bar.between_collars_m / 2, round(PLATE_DIAMETER_M / 2 * frame.per_m, 1)

    def at(x: float) -> Point:
        return frame.at((x, y, z))

    def upright(x: float, half: float) -> Line:
        a, b = at(x)
        return (a, round(b - half, 1)), (a, round(b + half, 1))

    parts = {"bar-across": (at(-inner), at(inner))}
    for side_of, word in ((1, "right"), (-1, "left")):
        if ends:
            parts[f"sleeve-{word}"] = at(side_of * inner), at(side_of * (inner + SLEEVE_M))
            parts[f"disc-{word}"] = upright(side_of * (inner + COLLAR_M + PLATE_WIDTH_M / 2), radius)
        for i, rings in enumerate(bar.rings_m):
            parts[f"ring-{word}-{i}"] = upright(side_of * rings / 2, RING)
    return parts


def bar_across(bar: Bar, frame: Frame, y: float, z: float, ends: bool = True) -> list[Drawing]:
    """The drawn ``bar_parts``."""
    parts = bar_parts(bar, frame, y, z, ends)
    return [line(f"fig-{name.split('-')[0]}", a, b, name) for name, (a, b) in parts.items()]
