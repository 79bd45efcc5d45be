"""What the figures of all lifts are drawn from: a frame to scale, limbs with volume, a wrench, dimensions.

Shapes carry classes only, as in ``draw.svg``; widths that are lengths of the body are attributes.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from shortlever.draw.svg import Drawing, Point, curve, dot, line, text
from shortlever.say import Text

EDGE = 3.0  # the ink round a limb, both sides together
LABEL, TICK = 19, 7  # height of a label's letters, half a dimension's end mark
RING = 7.0  # of the wrench
SIDE, HEAD, ABOVE = ((1, 1), (2, -1)), ((0, 1), (2, -1)), ((0, -1), (1, 1))  # (axis, sign) right and down


@dataclass(frozen=True)
class Frame:
    """From metres to one drawing: ``per_m`` units a metre, the origin's place, and which axes are drawn."""

    per_m: float
    x0: float
    y0: float
    axes: tuple[tuple[int, int], tuple[int, int]]  # (axis, sign) drawn to the right and downward

    def at(self, point: Sequence[float]) -> Point:
        """Drawing coordinates of (x, y, z) in m."""
        (right, sign_r), (down, sign_d) = self.axes
        return (
            round(self.x0 + self.per_m * sign_r * point[right], 1),
            round(self.y0 + self.per_m * sign_d * point[down], 1),
        )


def limb(kind: str, points: Iterable[Point], width: float, part: str = "") -> list[Drawing]:
    """A limb as thick as ``width``: its edge in ink and the limb on it, both through the same points."""
    through = list(points)
    return [
        curve(f"{kind}-edge", through, part, round(width + EDGE, 1)),
        curve(kind, through, part, round(width - EDGE, 1)),
    ]


def knee(hip: Point, ankle: Point, thigh: float, shank: float) -> Point:
    """The joint between two links, on the upper side; where they do not reach it lies on the line (y up)."""
    (y1, z1), (y2, z2) = hip, ankle
    far = math.hypot(y2 - y1, z2 - z1)
    along = (far * far + thigh * thigh - shank * shank) / (2 * far)
    off = math.sqrt(max(thigh * thigh - along * along, 0.0))
    uy, uz = (y2 - y1) / far, (z2 - z1) / far
    return y1 + along * uy - off * uz, z1 + along * uz + off * uy


def wrench(joint: Point, end: Point) -> list[Drawing]:
    """The moment arm as a wrench: its ring round the joint, its handle to where the load pulls."""
    return [line("fig-arm-line", joint, end, "moment-arm"), dot("fig-wrench", joint, RING, "wrench")]


def dimension(a: Point, b: Point) -> list[Drawing]:
    """A dimension line, upright or level, with its end marks."""
    dx, dy = (0.0, TICK) if a[1] == b[1] else (TICK, 0.0)
    ends: list[Drawing] = [line("fig-stroke", (x - dx, y - dy), (x + dx, y + dy)) for x, y in (a, b)]
    return [line("fig-stroke", a, b), *ends]


def label(at: Point, anchor: str, *lines: Text, part: str = "") -> list[Drawing]:
    """A label of one or more lines, the first at ``at``; the last carries ``part``."""
    last = len(lines) - 1
    return [
        text(
            "fig-label",
            (round(at[0], 1), round(at[1] + i * (LABEL + 3), 1)),
            anchor,
            said,
            part * (i == last),
        )
        for i, said in enumerate(lines)
    ]
