"""The search for a setup: grip and touch inside all limits, placed by one dial between two wishes.

The strongest grip is found first, each grip at the touch nearest to the shoulders that every limit allows:
the middle of the grips whose limit-load index is the best to LEVEL. From it setups may go wider, as far as
the index stays close to the best, and there touch lower with an index still close to it: index is given up
for a shorter stroke, never for a longer one. The setups to choose from are then one line, which no other
setup beats by more than half a percent: from the strongest grip (a), whose mean arm is the shortest too but
for one lifter in a thousand, along the nearest touches to the widest grip, there down the chest, and back
along the edge of the index to the shortest stroke (b). The dial p chooses the first place on the line where
(1 - p) x 4 x ln(stroke / stroke at b) is down to p x ln(arm / arm at a), less what cannot be told: both
wishes are given up alike, and no setup is worth more (``worth``). That place moves smoothly with the dial and
with the body; the least of a weighted sum would jump from end to end.

No grip is suggested with hands further outside the shoulders than lifters' hands were measured
(``pose.WIDEST_MEASURED``). Beyond, the share they push sideways is only drawn on, and with it the index turns
level and rises again toward grips of 2.5 shoulder breadths, which no study found strong.

Stroke and mean arm are cheap (no poses), the index is not, so the walk asks for the index only where it may
stop it.
"""

from __future__ import annotations

import math

from shortlever.errors import InfeasibleError
from shortlever.lifts.bench.press import Press
from shortlever.lifts.bench.setups import CLIMB_FROM, OUT_OF_REACH_M, Setups
from shortlever.lifts.bench.worth import INDEX_SLACK, LEAST_ARM_M, Yardstick
from shortlever.numerics import crossing, minimum
from shortlever.say import Said

DEFAULT_PREFERENCE = 0.5
EDGE_SLOPE_PER_M = -2.3  # of the index along the touch, as it usually is
SLOPES_PER_M = (-50.0, -0.5)  # of the index along the touch, beyond which a secant is not trusted
GRIPS = 17  # that are looked at first
# Grips whose index is this near the best are equally strong: the one best of them, where the index is level,
# moves by a centimetre for a millimetre of tape; their middle does not.
LEVEL = 2e-4
# Two grips are equally strong where their index differs by less: a millimetre of tape may turn it.
TURNS = 5e-3


class Search(Setups):
    """The setup to suggest among those of one press, for one place of the dial.

    ``near``: the search of a press a little different, from whose places this one starts.
    """

    def __init__(
        self, press: Press, preference: float = DEFAULT_PREFERENCE, near: Search | None = None
    ) -> None:
        # rows from which effort is climbed: near a known press from its hardest one and from the chest
        super().__init__(press, CLIMB_FROM if near is None else (0, near.hardest_row))
        self.preference = preference
        self._near = near
        self._band: tuple[float, float, float] | None = None
        self._looked: list[tuple[float, float]] = []  # grips and their index, narrowest first

    # ---- grips

    def band(self) -> tuple[float, float, float]:
        """Strongest and widest good enough grip at the nearest touch (m), and the best index.

        Index is only given up for a shorter stroke: a narrower grip than the strongest lengthens it. Where no
        grip keeps every limit, the one that breaks them least, twice, and its index. Raises InfeasibleError
        where nothing can be reached at all.
        """
        if self._band is None:
            grip, high, best = (self._near and self._close_band(self._near)) or self._whole_band()
            if self.outside(grip) <= 0:
                grip = self._middle(grip, best)
            self._band = grip, high, best
        return self._band

    @property
    def hardest_row(self) -> int:
        """The row of the path that is hardest at the strongest grip."""
        grip = self.band()[0]
        setup = grip, self.nearest(grip)
        self.index(*setup)
        return self._hardest[setup][1]

    def ended_by(self) -> str:
        """What ends the good grips at the widest: "effort", "measured" hands or what is "allowed"."""
        if self.band()[1] < self.measured:
            return "effort"
        return "measured" if self.measured < self.widest else "allowed"

    def equal_elsewhere(self) -> float | None:
        """A grip as strong as the strongest to TURNS, with grips between that are too weak; None without."""
        strongest, _, best = self.band()
        weak = [grip for grip, index in self._looked if index < (1 - INDEX_SLACK) * best]
        beyond = [
            (index, i)
            for i, (grip, index) in enumerate(self._looked)
            if any(min(grip, strongest) < one < max(grip, strongest) for one in weak)
        ]
        index, i = max(beyond, default=(0.0, 0))
        if index <= (1 - 2 * TURNS) * best:  # no second top
            return None
        grip, index = self._best(self._looked[max(i - 1, 0)][0], self._looked[min(i + 1, GRIPS - 1)][0])
        return grip if index > (1 - TURNS) * best else None

    def _close_band(self, near: Search) -> tuple[float, float, float] | None:
        """The band near that of a press a little different; None where it is not there."""
        grip, high, _ = near.band()
        if near.outside(grip) > 0:
            return None
        for _ in range(4):  # where the best is at an end of the stretch it is looked for around there
            a, b = max(grip - 0.02, self.narrowest), min(grip + 0.02, self.measured)
            if b - a < 0.005 or self.outside(a) > 0 or self.outside(b) > 0:
                return None
            grip, negative = minimum(lambda g: -self.at_nearest(g), a, b, 2e-3)
            if (grip - a > 4e-3 or a == self.narrowest) and (b - grip > 4e-3 or b == self.measured):
                break
        else:
            return None
        needed = (1 - INDEX_SLACK) * -negative
        step, inner, outer = 0.01, grip, min(max(high, grip), self.measured)
        while self.at_nearest(outer) >= needed:
            if outer >= self.measured:
                return grip, outer, -negative
            inner, outer = outer, min(outer + step, self.measured)
        if inner == grip and outer - step > grip and self.at_nearest(outer - step) >= needed:
            inner = outer - step
        return grip, crossing(lambda g: self.at_nearest(g) - needed, inner, outer), -negative

    def _whole_band(self) -> tuple[float, float, float]:
        step = (self.measured - self.narrowest) / (GRIPS - 1)
        grips = [self.narrowest + step * i for i in range(GRIPS - 1)] + [self.measured]
        index = [self.at_nearest(g) for g in grips]
        self._looked = list(zip(grips, index, strict=True))
        i = max(range(GRIPS), key=index.__getitem__)
        if index[i] <= 0:
            return self._least_outside(grips)
        grip, best = self._best(grips[max(i - 1, 0)], grips[min(i + 1, GRIPS - 1)])
        if index[i] > best:
            grip, best = grips[i], index[i]
        needed, inner = (1 - INDEX_SLACK) * best, grip
        for g, value in zip(grips, index, strict=True):
            if g > grip:
                if value < needed:
                    return grip, crossing(lambda g: self.at_nearest(g) - needed, inner, g), best
                inner = g
        return grip, self.measured, best

    def _best(self, a: float, b: float) -> tuple[float, float]:
        """Grip and value of the best index between two grips of which at least the middle is allowed."""
        middle = (a + b) / 2
        if self.outside(middle) < 0:  # the edge of what is allowed may lie between
            a, b = (crossing(lambda g: -self.outside(g), middle, end) for end in (a, b))
        grip, negative = minimum(lambda g: -self.at_nearest(g), a, b, 1e-4)
        return grip, -negative

    def _middle(self, grip: float, best: float) -> float:
        """The middle of the grips around the best one whose index is the best to LEVEL."""

        def room(g: float) -> float:  # as a root, in which a top is a straight line down either side
            return math.sqrt(LEVEL) - math.sqrt(max(1 - self.at_nearest(g) / best, 0.0))

        def edge(end: float) -> float:
            inner, step = grip, math.copysign(0.01, end - grip)
            while abs(end - inner) > abs(step) and room(inner + step) > 0:
                inner, step = inner + step, 2 * step
            outer = inner + step if abs(end - inner) > abs(step) else end
            return crossing(room, inner, outer, close)

        close = 1e-4 if self._near is None else 5e-4
        return (edge(self.narrowest) + edge(self.measured)) / 2

    def _least_outside(self, grips: list[float]) -> tuple[float, float, float]:
        i = min(range(len(grips)), key=lambda i: self.outside(grips[i]))
        grip, least_m = minimum(self.outside, grips[max(i - 1, 0)], grips[min(i + 1, len(grips) - 1)], 1e-5)
        if self.outside(grips[i]) <= least_m:
            grip, least_m = grips[i], self.outside(grips[i])
        index = self.index(grip, self.nearest(grip))
        if least_m >= OUT_OF_REACH_M or index <= 0:
            ends = {"narrowest_m": self.narrowest, "widest_m": self.measured}
            raise InfeasibleError(Said("no_grip", ends))
        return grip, grip, index

    # ---- the line of setups that no other beats

    def allowed_touch(self, grip: float, touch: float, needed: float) -> float:
        """The touch nearest to ``touch`` whose index is at least ``needed``, m.

        Secant steps from the nearest touch and a usual slope; the index falls as the touch moves away.
        """
        near = self.nearest(grip)
        t, slope = near, EDGE_SLOPE_PER_M
        room = self.index(grip, t) - needed
        for _ in range(8):
            if abs(room) < 1e-6 or (t >= touch and room > 0) or (t <= near and room < 0):
                break
            to = min(max(t - room / slope, near), touch)
            room_to = self.index(grip, to) - needed
            found = (room_to - room) / (to - t) if to != t else 0.0
            if SLOPES_PER_M[0] < found < SLOPES_PER_M[1]:
                slope = found
            t, room = to, room_to
        else:  # a kink or a level stretch throws the secant off: slowly, in a bracket
            return crossing(lambda touch: self.index(grip, touch) - needed, near, touch)
        return t

    def low_touch(self, grip: float) -> float:
        """The touch of the shortest stroke at a grip: the chest's top, or as far as index and rules allow."""
        near, top = self.nearest(grip), self.press.chest.top_y_m
        if top <= near:
            return near
        touch = self.allowed_touch(grip, top, (1 - INDEX_SLACK) * self.band()[2])
        if self._breach(grip, touch) <= 0:
            return touch
        return crossing(lambda t: -self._breach(grip, t), near, touch)

    def shortest_stroke(self) -> tuple[float, float]:
        """Grip and touch of the shortest stroke (b)."""
        low, high, _ = self.band()
        touch = self.low_touch(high)
        aside = high - 2e-3
        if aside <= low or self.stroke(aside, self.low_touch(aside)) >= self.stroke(high, touch):
            return high, touch
        grip, _ = minimum(lambda g: self.stroke(g, self.low_touch(g)), low, high, 1e-4)
        return grip, self.low_touch(grip)

    def yardstick(self) -> Yardstick:
        """What setups are measured against: the ends of the line, or the one setup where none is allowed."""
        a, high, best = self.band()
        b = self.shortest_stroke() if self.outside(high) <= 0 else (high, self.nearest(high))
        arm = max(self.stroke_and_arm(a, self.nearest(a))[1], LEAST_ARM_M)
        return Yardstick(self.preference, best, self.stroke(*b), arm)

    def solve(self) -> tuple[float, float, float]:
        """Grip, touch (m) and best index of the suggestion."""
        grip, touch, best = self._solve()
        known = self._near is not None and not self._near._whole_path
        if self.outside(grip) > 0 or known or all(self.press.rep(grip, touch).inside):
            return grip, touch, best
        self._whole_path, self._near, self._band = True, None, None  # odd bodies only: each rep is looked at
        self._nearest.clear()
        try:
            return self._solve()
        except InfeasibleError:
            return grip, touch, best

    def _solve(self) -> tuple[float, float, float]:
        a, high, best = self.band()
        if self.outside(high) > 0:
            return high, self.nearest(high), best
        b, b_touch = self.shortest_stroke()
        if self.stroke(b, b_touch) <= 0:  # a body far from anybody's: the chest is higher than the arms reach
            raise InfeasibleError(Said("no_reach_from_chest", {"grip_m": b, "touch_m": b_touch}))
        yardstick = self.yardstick()

        def lean(grip: float, touch: float) -> float:
            return yardstick.lean(*self.stroke_and_arm(grip, touch))

        if lean(a, self.nearest(a)) <= 0:
            return a, self.nearest(a), best
        near = self.nearest(high)
        if lean(high, near) <= 0:
            grip = crossing(lambda g: lean(g, self.nearest(g)), a, high)
            return grip, self.nearest(grip), best
        low = self.low_touch(high)
        if lean(high, low) <= 0:
            return high, crossing(lambda t: lean(high, t), near, low), best
        grip = crossing(lambda g: lean(g, self.low_touch(g)), high, b)
        return grip, self.low_touch(grip), best
