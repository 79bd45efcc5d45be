"""The search for a setup: grip and touch that make an objective small inside all limits.

The grip with the best limit-load index is found first. From it the search only goes to wider grips, as far as
the index at the touch nearest to the shoulders stays close to the best, and there to lower touches with an
index still close to it: index is given up for a shorter stroke, never for a longer one. (A loose cap on flare
can make a lower touch at a very wide grip strong again. That island is left out: it would send a small lifter
to the ring.)

Range of motion and mean arm are cheap (no poses), the limit-load index is not; so the search walks on the
cheap objective and asks for the index only where it may stop it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import partial

from shortlever.lifts.bench.measure import PAST_THE_TOP_M
from shortlever.lifts.bench.path import SEGMENTS, least_path, mean_arm_m
from shortlever.lifts.bench.press import Press

DEFAULT_PREFERENCE = 0.5
STROKE_WEIGHT = 4.0
# How much of the best limit-load index may be given up for a shorter stroke. Fitted: 3 % keeps all builds
# tried within the published best of 1.65-2.0 x biacromial (Wagner 1992, abstract read; Lockie and Moreno
# 2017, second-hand), 5 % would send a small woman with a big arch to 2.15 x. So that range checks nothing.
INDEX_SLACK = 0.03
NARROWEST_OF_BIACROMIAL = 0.85
CLIMB_FROM = (0, 2, 7)  # rows from which the humps of effort are climbed
SLOPES_PER_M = (-50.0, -0.5)  # of the index along the touch, beyond which a secant is not trusted
LEAST_ARM_M = 1e-4  # keeps the logarithm finite when the bar touches on the shoulder line


def minimum(f: Callable[[float], float], low: float, high: float, tolerance: float) -> tuple[float, float]:
    """Argument and value of the least of a unimodal function on [low, high] (golden section with parabolas).

    Brent 1973, Algorithms for Minimization without Derivatives, chapter 5. The ends are compared too.
    """
    golden = 0.5 * (3 - math.sqrt(5))
    a, b = low, high
    x = w = v = a + golden * (b - a)
    fx = fw = fv = f(x)
    step = last = 0.0
    while max(x - a, b - x) > 2 * tolerance:
        middle = (a + b) / 2
        p = q = 0.0
        if abs(last) > tolerance:
            r = (x - w) * (fx - fv)
            q = (x - v) * (fx - fw)
            p = (x - v) * q - (x - w) * r
            q = 2 * (q - r)
            p, q = (-p, q) if q > 0 else (p, -q)
        before, last = last, step
        if q and abs(p) < abs(q * before / 2) and a + tolerance < x + p / q < b - tolerance:
            step = p / q
        else:
            last = (b if x < middle else a) - x
            step = golden * last
        u = x + (step if abs(step) >= tolerance else math.copysign(tolerance, step))
        fu = f(u)
        if fu <= fx:
            a, b = (x, b) if u >= x else (a, x)
            v, w, x, fv, fw, fx = w, x, u, fw, fx, fu
        else:
            a, b = (u, b) if u < x else (a, u)
            if fu <= fw or w == x:
                v, w, fv, fw = w, u, fw, fu
            elif fu <= fv or v in (x, w):
                v, fv = u, fu
    for end in (low, high):
        fe = f(end)
        if fe < fx:
            x, fx = end, fe
    return x, fx


def least(
    f: Callable[[float], float], low: float, high: float, tolerance: float, samples: int = 7
) -> tuple[float, float]:
    """As ``minimum``, for a function with several valleys: the lowest of a few samples is refined."""
    if high - low < tolerance:
        return low, f(low)
    step = (high - low) / (samples - 1)
    values = [f(low + step * i) for i in range(samples)]
    i = min(range(samples), key=values.__getitem__)
    if i in (0, samples - 1):
        inward = 2 * tolerance if i == 0 else -2 * tolerance
        if f(low + step * i + inward) >= values[i]:
            return low + step * i, values[i]
    return minimum(f, max(low, low + step * (i - 1)), min(high, low + step * (i + 1)), tolerance)


class Search:
    """The setups of one press as functions of grip and touch (m)."""

    def __init__(self, press: Press, preference: float = DEFAULT_PREFERENCE) -> None:
        self.press = press
        self.preference = preference
        body = press.body
        widest = min(press.gear.max_grip_m, 2 * (body.half_shoulder_m + 0.75 * body.reach_m))
        if press.comfort.max_grip_of_biacromial:
            widest = min(widest, press.comfort.max_grip_of_biacromial * body.biacromial_m)
        self.widest = widest
        self.narrowest = min(NARROWEST_OF_BIACROMIAL * body.biacromial_m, widest - 0.02)
        self.furthest_m = press.chest.top_y_m + PAST_THE_TOP_M
        self._nearest: dict[float, float] = {}
        self._band: tuple[float, float, float] | None = None
        # where the edge of the index was last: m beyond the nearest touch, and index per m there
        self._extra, self._slope = 0.005, -5.0

    def nearest(self, grip: float) -> float:
        """The touch point nearest to the shoulders that the limits allow at a grip, m."""
        if grip not in self._nearest:
            self._nearest[grip] = self.press.nearest_touch_m(grip)
        return self._nearest[grip]

    def stroke_and_arm(self, grip: float, touch: float) -> tuple[float, float]:
        """Range of motion and mean moment arm of a setup, m; needs no poses."""
        frame = self.press.frame(grip, touch)
        arm = mean_arm_m(frame.heights_m, least_path(frame.heights_m, frame.bounds_m))
        return frame.heights_m[-1] - frame.heights_m[0], arm

    def wish(self, grip: float, touch: float) -> float:
        """The objective to be made small."""
        stroke, arm = self.stroke_and_arm(grip, touch)
        p = self.preference
        return (1 - p) * STROKE_WEIGHT * math.log(stroke) + p * math.log(max(arm, LEAST_ARM_M))

    def index(self, grip: float, touch: float) -> float:
        """The limit-load index of a setup, from the chest and the humps of effort over the rows only.

        Effort may have three humps, so it is climbed from the chest, from just above it and from the middle.
        """
        press = self.press
        frame = press.frame(grip, touch)
        path = least_path(frame.heights_m, frame.bounds_m)
        known: dict[int, float] = {}

        def effort(i: int) -> float:
            if i not in known:
                known[i] = press.effort(frame, path, i)
            return known[i]

        hardest = 0.0
        for i in CLIMB_FROM:
            while i < SEGMENTS - 1 and effort(i + 1) > effort(i):
                i += 1
            while i > 0 and effort(i - 1) > effort(i):
                i -= 1
            hardest = max(hardest, effort(i))
        return press.body.reach_m / hardest

    def best(self) -> tuple[float, float]:
        """Grip and value of the best limit-load index at the nearest touch."""
        grip, negative = minimum(lambda g: -self.index(g, self.nearest(g)), self.narrowest, self.widest, 1e-4)
        return grip, -negative

    def band(self) -> tuple[float, float, float]:
        """Strongest and widest good enough grip at the nearest touch (m), and the best index.

        Index is only given up for a shorter stroke: a narrower grip than the strongest lengthens it.
        """
        if self._band is None:
            grip, best_index = self.best()
            high = self.last_grip(grip, self.widest, (1 - INDEX_SLACK) * best_index)
            self._band = grip, high, best_index
        return self._band

    def last_grip(self, inside: float, outside: float, needed: float) -> float:
        """The grip toward ``outside`` where the index at the nearest touch falls to ``needed``, m."""
        return crossing(lambda g: self.index(g, self.nearest(g)) - needed, inside, outside)

    def _wish_beyond(self, extra: float, grip: float) -> float:
        return self.wish(grip, self.nearest(grip) + extra)

    def best_touch(self, grip: float) -> tuple[float, float]:
        """Touch (m) and wish of the best touch at a grip, whatever the index."""
        near = self.nearest(grip)
        far = max(self.furthest_m, near)
        touch, wish = near, self.wish(grip, near)
        if self.wish(grip, near + 1e-5) < wish:
            touch, wish = minimum(lambda t: self.wish(grip, t), near, far, 3e-5)
        return touch, wish

    def allowed_touch(self, grip: float, touch: float, needed: float) -> float:
        """The touch nearest to ``touch`` whose index is at least ``needed``, m.

        Secant steps from where the last one was; the index falls as the touch moves away.
        """
        near = self.nearest(grip)
        t = min(near + self._extra, touch)
        room = self.index(grip, t) - needed
        for _ in range(8):
            if abs(room) < 1e-6 or (t >= touch and room > 0) or (t <= near and room < 0):
                break
            to = min(max(t - room / self._slope, near), touch)
            room_to = self.index(grip, to) - needed
            slope = (room_to - room) / (to - t) if to != t else 0.0
            if SLOPES_PER_M[0] < slope < SLOPES_PER_M[1]:
                self._slope = slope
            t, room = to, room_to
        else:  # a kink or a level stretch throws the secant off: slowly, in a bracket
            t = crossing(lambda touch: self.index(grip, touch) - needed, near, touch)
        self._extra = t - near
        return t

    def solve(self) -> tuple[float, float, float]:
        """Grip, touch (m) and best index of the suggestion.

        First without asking for the index; if the place found is not good enough, along the edge where it is.
        """
        low, high, best_index = self.band()
        needed = (1 - INDEX_SLACK) * best_index
        grip, extra = high, 0.0
        for _ in range(8):
            before = (grip, extra)
            grip, _ = least(partial(self._wish_beyond, extra), low, high, 5e-5)
            extra = self.best_touch(grip)[0] - self.nearest(grip)
            if abs(grip - before[0]) < 1e-4 and abs(extra - before[1]) < 1e-4:
                break
        touch = self.nearest(grip) + extra
        if self.index(grip, touch) >= needed - 1e-9:
            return grip, touch, best_index

        def wanted(g: float) -> float:
            """The touch wished for at a grip, pulled to where the index is good enough."""
            return self.allowed_touch(g, min(self.nearest(g) + extra, self.furthest_m), needed)

        grip, _ = least(lambda g: self.wish(g, wanted(g)), low, high, 1e-4)
        return grip, wanted(grip), best_index


def crossing(room: Callable[[float], float], inside: float, outside: float) -> float:
    """Where a function that is positive at ``inside`` reaches zero toward ``outside`` (or ``outside``)."""
    a, b = inside, outside
    room_b = room(b)
    if room_b >= 0:
        return b
    room_a = room(a)
    if room_a <= 0:
        return a
    for _ in range(40):  # false position, Illinois variant
        c = b - room_b * (b - a) / (room_b - room_a)
        room_c = room(c)
        if 0 <= room_c < 1e-6 or abs(b - a) < 1e-7:
            return c if room_c >= 0 else a
        if room_c > 0:
            a, room_a = c, room_c
            room_b /= 2
        else:
            b, room_b = c, room_c
            room_a /= 2
    return a
