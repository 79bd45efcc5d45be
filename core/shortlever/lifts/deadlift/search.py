"""The search for feet and hands, in one style.

Hands hang plumb where the legs leave room; conventional hands go outside the legs, as near as they clear.
Effort, stroke and the room inside each limit change smoothly with stance and turn-out: they are worked out at
NODES x NODES places (``tried``) and read between them from the ``polynomial`` through these. Of all that
keeps the limits within SLACK of the least effort, what comes within STROKE_SLACK of the shortest stroke is as
good as free; the suggestion is the middle of that, first of the stances, then of the turn-outs there. How far
trunk and thigh fold is told, but sets no feet: ten degrees of turn-out take one off it.
"""

from __future__ import annotations

import math
import operator
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from shortlever.errors import InfeasibleError
from shortlever.lifts.deadlift.polynomial import NODES, PLACES, Polynomial, lagrange, read, through
from shortlever.lifts.deadlift.setup import AHEAD_M, Puller
from shortlever.lifts.deadlift.tried import LIMITS, Tried, tried
from shortlever.numerics import crossing, minimum
from shortlever.say import Said

SLACK = 0.03  # of effort, given up for a shorter stroke: less than sets can tell (assumption)
STROKE_SLACK = 0.01  # of stroke: about half a centimetre, less than a lifter notices (assumption)
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
MOST_ROOM = 1.0  # that is told

Numbers = list[float]  # effort, stroke (m) and room inside each of LIMITS
FEW = (0, NODES // 2, NODES - 1)  # nodes that are worked out of a body that is near
BETWEEN_FEW = [lagrange([PLACES[i] for i in FEW], i) for i in range(len(FEW))]
AT_FEW = [[a + place * (b + place * c) for a, b, c in BETWEEN_FEW] for place in PLACES]


def numbers_of(one: Tried) -> Numbers:
    """What is read between the nodes."""
    return [one.effort, one.stroke_m, *one.rooms]


@dataclass(frozen=True)
class Line:
    """One stance: effort, stroke (m) and room inside each limit as polynomials of turn-out."""

    effort: Polynomial
    stroke: Polynomial
    rooms: Sequence[Polynomial]

    def room(self, u: float) -> float:
        """Room inside the nearest limit (rad or tenths of a metre)."""
        least = MOST_ROOM
        for a, b, c, d, e in self.rooms:
            room = a + u * (b + u * (c + u * (d + u * e)))
            least = room if room < least else least
        return least


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

    ``near``: the search of a body that is near. With it only FEW by FEW nodes are worked out; at the others
    numbers differ from that body's as they do at these. Raises InfeasibleError where no feet hold a start.
    """

    def __init__(
        self, puller: Puller, style: str, ahead_m: float = AHEAD_M, near: Search | None = None
    ) -> None:
        self.puller, self.style, self.ahead_m = puller, style, ahead_m
        hips = 2 * puller.body.half_hip_m
        self.narrow_m = hips if style == "conventional" else puller.plumb_m + 2 * puller.beside_m
        self.share: float = near.share if near else 1.0
        self.tried: list[list[Tried]] = []
        found = self._by(near) if near else None
        while found is None:
            found = self._nodes()
            if found is None:  # less wide and less turned out
                self.share *= SHRINK
                if self.reach_m < LEAST_REACH_M:
                    raise InfeasibleError(Said("pull_none", {"style": style, "start_m": puller.gear.start_m}))
        self.nodes = found
        kept = [k for k in range(2, 2 + len(LIMITS)) if min(one[k] for row in found for one in row) < AMPLE]
        self._surfaces = [surface([[one[k] for one in row] for row in found]) for k in (0, 1, *kept)]
        self._found: dict[float, Best] = {}

    @property
    def low_rad(self) -> float:
        """The least turn-out that is looked at."""
        return TURNS_RAD[self.style][0]

    @property
    def reach_m(self) -> float:
        """How far beyond the narrowest stances are looked at."""
        return self.share * REACHES[self.style] * self.puller.body.size

    def stance_m(self, x: float) -> float:
        """Ankles apart at a share of what is looked at, m."""
        return self.narrow_m + x * self.reach_m

    def turn_rad(self, u: float) -> float:
        """The turn-out at a share of what is looked at, rad."""
        return self.low_rad + u * self.share * TURNS_RAD[self.style][1]

    def _nodes(self) -> list[list[Numbers]] | None:
        self.tried = []
        for x in PLACES:
            row: list[Tried] = []
            for u in PLACES:
                near = row[-1] if row else self.tried[-1][0] if self.tried else None
                here = self.stance_m(x), self.turn_rad(u)
                one = tried(self.puller, self.style, *here, self.ahead_m, near)
                if one is None:
                    return None
                row.append(one)
            self.tried.append(row)
        return [[numbers_of(one) for one in row] for row in self.tried]

    def _by(self, near: Search) -> list[list[Numbers]] | None:
        """The nodes by those of a body that is near; None where one of FEW holds no start."""
        changes: list[list[Numbers]] = []
        for i in FEW:
            row = []
            for j in FEW:
                here = self.stance_m(PLACES[i]), self.turn_rad(PLACES[j])
                one = tried(self.puller, self.style, *here, self.ahead_m, near.tried[i][j])
                if one is None:
                    return None
                row.append([a - b for a, b in zip(numbers_of(one), near.nodes[i][j], strict=True)])
            changes.append(row)
        found = []
        for nodes, across in zip(near.nodes, AT_FEW, strict=True):
            between = [_sum(across, column) for column in zip(*changes, strict=True)]
            found.append(
                [_sum((1.0, *along), (one, *between)) for one, along in zip(nodes, AT_FEW, strict=True)]
            )
        return found

    def line(self, x: float) -> Line:
        """Everything at one stance, over the turn-outs."""
        effort, stroke, *rooms = ([read(one, x) for one in surface] for surface in self._surfaces)
        return Line(effort, stroke, rooms)

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
            return min(allowed - read(best.line.effort, u), longest - read(best.line.stroke, u))

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


def _sum(weights: Sequence[float], rows: Sequence[Numbers]) -> Numbers:
    return [sum(map(operator.mul, weights, column)) for column in zip(*rows, strict=True)]


def surface(values: Sequence[Sequence[float]]) -> list[Polynomial]:
    """A polynomial of stance for each coefficient of that of turn-out, from values by stance and turn-out."""
    return [through(one) for one in zip(*map(through, values), strict=True)]


def best_on(line: Line) -> Best:
    """The turn-outs of a stance that keep every limit, and the one of least effort."""
    most, at = max((line.room(u), u) for u in LOOKED)
    if most < -EDGE:
        return Best(line, most, (at, at), at)
    low, high = (crossing(line.room, at, end, close=CLOSE, apart=APART) for end in (0.0, 1.0))
    turn, effort = minimum(lambda u: read(line.effort, u), low, high, COARSE)
    return Best(line, most, (low, high), turn, effort, read(line.stroke, turn))
