"""The trade-off as a picture: what one choice costs against what another does, each place to pick."""

from __future__ import annotations

from collections.abc import Sequence

from shortlever.draw.svg import Drawing, dot, line, picture, text
from shortlever.say import Said, Text

WIDTH, HEIGHT = 320, 220
LEFT, RIGHT, TOP, BOTTOM = 56, 14, 34, 48
SHARE, LEAST_M = 0.08, 0.002  # room beside the outermost places


def tradeoff(
    places: Sequence[tuple[float, float]],
    at: int,
    suggested: int,
    title: Said,
    across: Said,
    upward: Said,
) -> Drawing:
    """SVG text of places (m across, m upward), with what is across and upward named; each carries data-choice
    with its number. ``at``: which is shown, ``suggested``: which is suggested."""

    def scale(values: list[float]) -> tuple[float, float]:
        room = max(SHARE * (max(values) - min(values)), LEAST_M)
        return min(values) - room, max(values) + room

    (low_x, high_x), (low_y, high_y) = (scale([place[axis] for place in places]) for axis in (0, 1))
    base = HEIGHT - BOTTOM

    def label(x: float, y: float, anchor: str, said: Text) -> Drawing:
        return text("trade-label", (x, y), anchor, said)

    def end(value_m: float) -> Said:
        return Said("end_of_axis", {"x_m": value_m})

    shapes = [
        line("trade-axis", (LEFT, base), (WIDTH - RIGHT, base)),
        line("trade-axis", (LEFT, TOP), (LEFT, base)),
        label(LEFT, base + 18, "start", end(low_x)),
        label(WIDTH - RIGHT, base + 18, "end", end(high_x)),
        label((LEFT + WIDTH - RIGHT) / 2, base + 38, "middle", across),
        label(LEFT - 6, base, "end", end(low_y)),
        label(LEFT - 6, TOP + 10, "end", end(high_y)),
        label(6, TOP - 16, "start", upward),
    ]
    for i, (x, y) in enumerate(places):
        kind = "trade-at" if i == at else "trade-suggested" if i == suggested else "trade-point"
        where = (
            round(LEFT + (WIDTH - LEFT - RIGHT) * (x - low_x) / (high_x - low_x), 1),
            round(TOP + (HEIGHT - TOP - BOTTOM) * (high_y - y) / (high_y - low_y), 1),
        )
        shapes.append(dot(kind, where, 9 if i == at else 6, choice=i))
    return picture("trade", (WIDTH, HEIGHT), title, "", shapes)
