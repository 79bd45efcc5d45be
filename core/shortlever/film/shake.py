"""A phone that is not still: how its picture moved from moment to moment, taken out of all that was seen.

The page says of a picture how the background moved in it against the first one: a shift, a turn and a growth
about the picture's middle. Every place is brought back into the first picture. A hand also carries the phone
aside, and then the background, which is further away, moves less than the plate: what that leaves is smooth
and cannot be seen, so it is drawn world by world as waves (``Waver``), in proportion to how much was taken
out. px, s, rad.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from shortlever.film.ellipse import Ellipse

Point = tuple[float, float]

STILL_PX = 0.5  # RMS of shifts under which the phone counts as still: nothing is taken out
LEFT_SHARE = 0.2  # of the shift that the plate may have moved more or less, 1 SD (tests/core/film_gym.py)
WAVES_HZ = (0.3, 0.8, 1.8)  # of a hand


@dataclass(frozen=True)
class Moved:
    """How the background lies at a time against the first picture: p' = middle + shift + grow R(turn) (p -
    middle); ``sd`` is the error of the shift."""

    t: float
    x: float = 0.0
    y: float = 0.0
    turn: float = 0.0
    grow: float = 1.0
    sd: float = 0.0


@dataclass(frozen=True)
class Shaken:
    """How a picture moved over a clip, from at least one picture on."""

    middle: Point
    rows: Sequence[Moved]

    def at(self, t: float) -> Moved:
        """Between pictures in proportion."""
        rows = self.rows
        j = min(max(bisect_left([r.t for r in rows], t), 1), len(rows) - 1) if len(rows) > 1 else 0
        a, b = rows[max(j - 1, 0)], rows[j]
        s = min(max((t - a.t) / (b.t - a.t), 0.0), 1.0) if b.t > a.t else 0.0
        x, y, turn, grow = (
            p + s * (q - p)
            for p, q in ((a.x, b.x), (a.y, b.y), (a.turn, b.turn), (a.grow, b.grow))
        )  # fmt: skip
        return Moved(t, x, y, turn, grow, max(a.sd, b.sd))

    def back(self, at: Point, t: float) -> Point:
        """A place in the picture of a time, in the first picture."""
        m = self.at(t)
        x, y = (at[0] - self.middle[0] - m.x) / m.grow, (at[1] - self.middle[1] - m.y) / m.grow
        c, s = math.cos(m.turn), math.sin(m.turn)
        return self.middle[0] + c * x + s * y, self.middle[1] - s * x + c * y

    def outline(self, e: Ellipse, t: float) -> Ellipse:
        """An outline, brought back."""
        m = self.at(t)
        x, y = self.back((e.x, e.y), t)
        return replace(e, x=x, y=y, a=e.a / m.grow, b=e.b / m.grow, tilt=e.tilt - m.turn)

    def taken_out(self, places: Sequence[tuple[float, Point]]) -> float:
        """By how much places were moved, the RMS of one coordinate about its mean."""
        off = [(p[0] - q[0], p[1] - q[1]) for t, p in places for q in [self.back(p, t)]]
        means = [sum(o[i] for o in off) / len(off) for i in (0, 1)]
        return math.sqrt(sum((o[i] - means[i]) ** 2 for o in off for i in (0, 1)) / (2 * len(off)))


@dataclass(frozen=True)
class Waver:
    """What was not taken out, in one world: waves of x and of y, departures (SD) of their two parts each."""

    parts: Sequence[tuple[Point, Point]]

    @staticmethod
    def of(draw: Callable[[], Point]) -> Waver:
        """Drawn anew."""
        return Waver([(draw(), draw()) for _ in WAVES_HZ])

    def at(self, t: float) -> Point:
        """By how much a place is off at a time, in SD of a coordinate."""
        x = y = 0.0
        for hz, ((ax, bx), (ay, by)) in zip(WAVES_HZ, self.parts, strict=True):
            c, s = math.cos(2 * math.pi * hz * t), math.sin(2 * math.pi * hz * t)
            x, y = x + ax * c + bx * s, y + ay * c + by * s
        share = 1 / math.sqrt(len(WAVES_HZ))
        return share * x, share * y


# RMS: the speed of what was not taken out is 2 pi times it times its size
WAVER_HZ = math.sqrt(sum(hz * hz for hz in WAVES_HZ) / len(WAVES_HZ))
