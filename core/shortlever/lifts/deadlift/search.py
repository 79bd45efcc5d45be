"""The search for feet and hands, in one style.

Hands hang plumb where the legs leave room; conventional hands go outside the legs, as near as they clear.
Effort, stroke and the room inside each limit change smoothly with stance and turn-out: they are worked out at
NODES x NODES places (``tried``) and read between them from the polynomial through these. Of all that keeps
the limits within SLACK of the least effort, what comes within STROKE_SLACK of the shortest stroke is as good
as free; the suggestion is the middle of that, first of the stances, then of the turn-outs there. How far
trunk and thigh fold is told, but sets no feet: ten degrees of turn-out take one off it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from shortlever.errors import InfeasibleError
from shortlever.lifts.deadlift.setup import AHEAD_M, Puller
from shortlever.lifts.deadlift.tried import LIMITS, Tried, tried
from shortlever.numerics import crossing, minimum
from shortlever.say import Said

SLACK = 0.03  # of effort, given up for a shorter stroke: less than sets can tell (assumption)
STROKE_SLACK = 0.01  # of stroke: about half a centimetre, less than a lifter notices (assumption)
NODES = 5
PLACES = [0.5 - 0.5 * math.cos(math.pi * i / (NODES - 1)) for i in range(NODES)]
LOOKED = [i / 8 for i in range(9)]
# What is looked at: ankles apart beyond the narrowest, at REFERENCE_STATURE_M (m); the least turn-out, and
# how far beyond it
REACHES = {"conventional": 0.26, "sumo": 0.30}
TURNS_RAD = {"conventional": (0.0, math.radians(30)), "sumo": (math.radians(24), math.radians(36))}
CLOSE = 1e-5  # of effort, stroke (m) and room
EDGE = 1e-8  # of room, as near as counts as inside
BEYOND = 1e3  # effort and stroke (m) of what keeps no limit
APART = 1e-4  # of a turn-out, as a share of what is looked at
COARSE = 3e-3  # of where a least lies: what it is is known to the square of that
SHRINK, LEAST_REACH_M = 0.6, 0.01
AMPLE = 0.05  # room everywhere (rad or tenths of a metre), beyond which a limit is left out


def weights(x: float) -> list[float]:
    """What each node counts at x (0 to 1), so that the polynomial through all of them is read there."""
    found = []
    for i, a in enumerate(PLACES):
        product = 1.0
        for j, b in enumerate(PLACES):
            if i != j:
                product *= (x - b) / (a - b)
        found.append(product)
    return found


def read(row: list[float], at: list[float]) -> float:
    """A polynomial by its values at the nodes and what these count."""
    return sum([a * b for a, b in zip(row, at, strict=True)])


LOOKED_AT = [weights(u) for u in LOOKED]


@dataclass(frozen=True)
class Line:
    """One stance: effort, stroke (m) and room inside each limit at the nodes of turn-out."""

    effort: list[float]
    stroke: list[float]
    rooms: list[list[float]]

    def room(self, at: list[float]) -> float:
        """Room inside the nearest limit (rad or tenths of a metre)."""
        return min([read(row, at) for row in self.rooms], default=1.0)


@dataclass(frozen=True)
class Best:
    """The turn-outs that keep every limit at a stance, and of those the one of least effort (shares of what
    is looked at); its effort and stroke (m). Where none keeps them, ``room`` says how far the best is off."""

    line: Line
    room: float
    turns: tuple[float, float] = (0.5, 0.5)
    turn: float = 0.5
    effort: float = BEYOND
    stroke_m: float = BEYOND


@dataclass(frozen=True)
class Feet:
    """Stance (ankles apart, m) and turn-out (rad) of a style, the stances that are as good as free, with the
    turn-outs that are so at this one, and the stance of least effort (m)."""

    stance_m: float
    turn_rad: float
    stances_m: tuple[float, float]
    turns_rad: tuple[float, float]
    strongest_m: float


class Search:
    """The feet of one style of one puller, the shoulders so far in front of the bar.

    Raises InfeasibleError where no feet hold a start.
    """

    def __init__(self, puller: Puller, style: str, ahead_m: float = AHEAD_M) -> None:
        self.puller, self.style, self.ahead_m = puller, style, ahead_m
        hips = 2 * puller.body.half_hip_m
        self.narrow_m = hips if style == "conventional" else puller.plumb_m + 2 * puller.beside_m
        self.reach_m = REACHES[style] * puller.body.size
        self.low_rad, self.turns_rad = TURNS_RAD[style]
        nodes = self._nodes()
        while nodes is None:  # less wide and less turned out
            self.reach_m, self.turns_rad = SHRINK * self.reach_m, SHRINK * self.turns_rad
            if self.reach_m < LEAST_REACH_M:
                raise InfeasibleError(Said("pull_none", {"style": style, "start_m": puller.gear.start_m}))
            nodes = self._nodes()
        self.nodes = nodes
        every = [one for row in nodes for one in row]
        self._binding = [k for k in range(len(LIMITS)) if min(one.rooms[k] for one in every) < AMPLE]
        self._found: dict[float, Best] = {}

    def stance_m(self, x: float) -> float:
        """Ankles apart at a share of what is looked at, m."""
        return self.narrow_m + x * self.reach_m

    def turn_rad(self, u: float) -> float:
        """The turn-out at a share of what is looked at, rad."""
        return self.low_rad + u * self.turns_rad

    def _nodes(self) -> list[list[Tried]] | None:
        found: list[list[Tried]] = []
        near: Tried | None = None
        for x in PLACES:
            row: list[Tried] = []
            for u in PLACES:
                near = row[-1] if row else found[-1][0] if found else None
                here = self.stance_m(x), self.turn_rad(u)
                one = tried(self.puller, self.style, *here, self.ahead_m, near)
                if one is None:
                    return None
                row.append(one)
            found.append(row)
        return found

    def line(self, x: float) -> Line:
        """Everything at one stance, over the turn-outs."""
        w = weights(x)
        columns = list(zip(*self.nodes, strict=True))  # by turn-out
        return Line(
            [read([one.effort for one in column], w) for column in columns],
            [read([one.stroke_m for one in column], w) for column in columns],
            [[read([one.rooms[k] for one in column], w) for column in columns] for k in self._binding],
        )

    def best(self, x: float) -> Best:
        """The turn-outs of one stance."""
        if x not in self._found:
            self._found[x] = best_on(self.line(x))
        return self._found[x]

    def solve(self) -> Feet:
        """The middle of what is as good as free; where nothing keeps every limit, what breaks them least."""
        most, at = max((self.best(x).room, x) for x in LOOKED)
        if most < -EDGE:
            stance, turn = self.stance_m(at), self.turn_rad(self.best(at).turn)
            return Feet(stance, turn, (stance, stance), (turn, turn), stance)
        ends = self._ends(lambda x: self.best(x).room, at, (0.0, 1.0))
        strongest, least = minimum(lambda x: self.best(x).effort, *ends, COARSE)
        allowed = (1 + SLACK) * least
        ends = self._ends(lambda x: allowed - self.best(x).effort, strongest, ends)
        shortest, least = minimum(lambda x: self.best(x).stroke_m, *ends, COARSE)
        longest = (1 + STROKE_SLACK) * least
        ends = self._ends(lambda x: longest - self.best(x).stroke_m, shortest, ends)
        x = sum(ends) / 2
        best = self.best(x)

        def free(u: float) -> float:
            at = weights(u)
            return min(allowed - read(best.line.effort, at), longest - read(best.line.stroke, at))

        turns = self._ends(free, best.turn, best.turns)
        return Feet(
            self.stance_m(x),
            self.turn_rad(sum(turns) / 2),
            (self.stance_m(ends[0]), self.stance_m(ends[1])),
            (self.turn_rad(turns[0]), self.turn_rad(turns[1])),
            self.stance_m(strongest),
        )

    @staticmethod
    def _ends(
        room: Callable[[float], float], inside: float, ends: tuple[float, float]
    ) -> tuple[float, float]:
        low, high = (crossing(room, inside, end, close=CLOSE) for end in ends)
        return low, high


def best_on(line: Line) -> Best:
    """The turn-outs of a stance that keep every limit, and the one of least effort."""
    most, at = max((line.room(at), u) for u, at in zip(LOOKED, LOOKED_AT, strict=True))
    if most < -EDGE:
        return Best(line, most, (at, at), at)

    def room(u: float) -> float:
        return line.room(weights(u))

    turns = (
        crossing(room, at, 0.0, close=CLOSE, apart=APART),
        crossing(room, at, 1.0, close=CLOSE, apart=APART),
    )
    turn, effort = minimum(lambda u: read(line.effort, weights(u)), *turns, COARSE)
    return Best(line, most, turns, turn, effort, read(line.stroke, weights(turn)))
