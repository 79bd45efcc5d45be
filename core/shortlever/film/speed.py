"""Bar speed of each rep: over height, at its extremes, in the mean; the pause; and what is lost over reps.

The frames of a rep leave many ways open (``paths``). From each the figures are read, so what following leaves
open is in their spread; and each goes with one of the worlds that the camera leaves open, which stretches it.
A way wavers more than the bar did, so peaks come out too quick and valleys too slow: by as much as the ways
differ from the likeliest of them, and that is taken off. m, s; heights above the lowest place.
"""

from __future__ import annotations

import math
import random
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass

from shortlever.film.paths import Way, Ways
from shortlever.film.pause import leaves
from shortlever.film.reps import Phases, turning_points
from shortlever.film.shake import WAVER_HZ
from shortlever.film.world import LEVEL_M, World
from shortlever.lifts.film import Number

WAYS = 60
AROUND_S = 0.35  # of frames before the bar rises, and after it is up
LEAST_FRAMES = 8
EDGE_SHARE = 0.04  # of the stroke at either end, where the bar starts and stops: no slow stretch there
SLOWER = 0.10  # share of the quickest by which a bar loses speed, and gains it again, in a slow stretch
SEEN_SHARE = 0.7  # of the ways that must show one
ROWS = 24  # of the curve
# 90 % intervals in SD; by the normal law 1.645. How stiff the ways are comes from the same frames, so speeds
# are less sure; moments of rest are weighed more broadly than they scatter (tests/reference/test_film_cover)
TO_90, SPEED_TO_90, UP_TO_90, PAUSE_TO_90 = 1.645, 1.8, 1.5, 1.25
SHAKEN_S_PER_M = 25.0  # of a pause, by what of shake was not taken out (tests/core/film_gym.py)
OFF_SHARE = 0.7  # of a moment's spread by which a bar leaves the floor (tests/reference/test_film_of_legs)
MEAN_SD = 0.008  # share of a mean speed: just where the bar starts and stops
ENDS_M = 0.01  # from the lowest and the highest place: the mean is taken between
LOST_SD = 0.008
# of the errors that frames are said to have, what is the same in many of them, as where a plate passes before
# edges of the background: following looks smooth, and is not that true (tests/site/test_painted_gym.py)
ALIKE = 0.25
NAMES = ("first", "slowest", "second")


@dataclass(frozen=True)
class Extreme:
    """A speed (m/s) and how far up it is (m)."""

    speed: Number
    up: Number


@dataclass(frozen=True)
class RepSpeed:
    """Of one rep: the mean from 1 cm above the lowest place to 1 cm under the highest; where it is quickest;
    first peak, slowest and second peak, None where it does not slow down on its way; rows (height, speed)."""

    mean: Number
    quickest: Extreme
    slow: tuple[Extreme, Extreme, Extreme] | None
    curve: list[tuple[float, Number]]


def rep_speeds(
    likely: World, found: Sequence[tuple[Phases, Sequence[float]]]
) -> tuple[list[RepSpeed | None], Number | None]:
    """The speeds of each rep (None where its way up is not seen), and the share of the mean speed that is
    lost from the quickest rep to the last (None of a single one).

    With each rep comes by how much the bar rises in each world, as a share of what it does in the likeliest.
    """
    said: list[RepSpeed | None] = []
    means: list[list[float]] = []
    for phases, worlds in found:
        frames = _frames(likely, phases.lowest - AROUND_S, phases.highest + AROUND_S)
        if not phases.shows_rise or len(frames.seen) < LEAST_FRAMES:
            said.append(None)
            continue
        rise, stretched = _Rise(frames), worlds[:WAYS]
        chance = random.Random(len(said))
        drawn = rise.ways.drawn(len(stretched), chance)
        left = likely.stance.left_px * likely.radius_m / likely.stance.mean_m  # of a shaken phone
        pairs = zip(drawn, stretched, strict=True)
        each = [_stretch(rise.figures(way), by, left, chance) for way, by in pairs]
        middle = sorted(stretched)[len(stretched) // 2]
        said.append(
            _rep_speed(
                _stretch(rise.figures(rise.ways.likely), middle),
                each,
                middle * rise.stroke_m,
                rise.ways.own**2,
            )
        )
        means.append([one["mean"][0] for one in each])
    return said, _lost(means)


def pause(likely: World, phases: Phases) -> Number | None:
    """How long the bar is motionless at its lowest, s; None where the clip does not show its two ends."""
    if not (phases.shows_rise and phases.shows_down):
        return None
    middle, low = (phases.down + phases.rise) / 2, likely.bar(phases.lowest)[1]
    before = [(-t, z, sd) for t, z, sd in reversed(_frames(likely, phases.top, middle).seen)]
    up, down = leaves(_frames(likely, middle, phases.highest).seen, low), leaves(before, low)
    if up is None or down is None:
        return None
    left_m = likely.stance.left_px * likely.radius_m / likely.stance.mean_m  # of a shaken phone
    value, margin = up.t + down.t, PAUSE_TO_90 * math.hypot(up.sd, down.sd, SHAKEN_S_PER_M * left_m)
    return Number(*(max(v, 0.0) for v in (value, value - margin, value + margin)))


def lift_off(likely: World, phases: Phases) -> tuple[float, float] | None:
    """When the bar leaves the floor, s, and the error of that, 1 SD; None where too few frames say."""
    low = likely.bar(phases.lowest)[1]
    off = leaves(_frames(likely, phases.lowest, phases.highest).seen, low)
    return None if off is None else (off.t, OFF_SHARE * off.sd)


@dataclass(frozen=True)
class _Frames:
    """Raw frames in the likeliest world: times, heights (None where the plate was lost), errors (1 SD)."""

    times: list[float]
    heights: list[float | None]
    errors: list[float]
    by: float  # the errors against those that were said

    @property
    def seen(self) -> list[tuple[float, float, float]]:
        """Those that show the bar."""
        rows = zip(self.times, self.heights, self.errors, strict=True)
        return [(t, z, sd) for t, z, sd in rows if z is not None]


def _frames(likely: World, start: float, end: float) -> _Frames:
    track, slips = likely.track, set(likely.track.slips)
    by = max(track.noise, 0.5)
    per_px = by * likely.radius_m / likely.stance.mean_m
    i, j = bisect_left(track.times, start), bisect_left(track.times, end)
    heights: list[float | None] = []
    errors = []
    for k in range(i, j):
        seen = None if k in slips else likely.clip.seen[k]
        at = None if seen is None else likely.view.disc_middle((seen.x, seen.y), likely.radius_m)
        heights.append(at and at[1])
        errors.append((seen.sd if seen else 1.0) * per_px)
    return _Frames(track.times[i:j], heights, errors, by)


Figures = dict[str, tuple[float, float]]  # speed and height by name


class _Rise:
    """The ways up of one rep, and what is read from one of them: between the same levels for all."""

    def __init__(self, frames: _Frames) -> None:
        self.times = frames.times
        self.ways = Ways(frames.times, frames.heights, frames.errors, ALIKE / frames.by)
        z = self.ways.likely.places
        self.first = min(range(len(z)), key=lambda i: z[i])
        last = max(range(self.first, len(z)), key=lambda i: z[i])
        near = [[v for v in z if abs(v - z[i]) <= LEVEL_M] for i in (self.first, last)]
        self.low, high = (sum(some) / len(some) for some in near)
        self.stroke_m = high - self.low

    def passes(self, way: Way, up_m: float) -> float:
        """The place among the frames, in proportion, at which a way first is so far up."""
        z, level = way.places, self.low + up_m
        for i in range(self.first, len(z) - 1):
            if z[i + 1] >= level:
                return i + min(max((level - z[i]) / (z[i + 1] - z[i]), 0.0), 1.0) if z[i + 1] > z[i] else i
        return len(z) - 1.0

    def at(self, values: Sequence[float], place: float) -> float:
        """A value between two frames."""
        i = min(int(place), len(values) - 2)
        return values[i] + (place - i) * (values[i + 1] - values[i])

    def top(self, way: Way, i: int) -> tuple[float, float]:
        """Speed and height of the extreme near frame i: of the parabola in time through three frames."""
        v, t = way.speeds, self.times
        up = way.places[i] - self.low
        if not 0 < i < len(v) - 1:
            return v[i], up
        back, on = t[i - 1] - t[i], t[i + 1] - t[i]
        bend = ((v[i + 1] - v[i]) / on - (v[i - 1] - v[i]) / back) / (on - back)
        slope = (v[i + 1] - v[i]) / on - bend * on
        off = min(max(-slope / (2 * bend), back), on) if bend else 0.0
        return v[i] + slope * off + bend * off * off, up + v[i] * off

    def figures(self, way: Way) -> Figures:
        """The mean, the quickest, a slow stretch with its peaks if there is one, the rows of the curve."""
        start, end = (self.at(self.times, self.passes(way, up)) for up in (ENDS_M, self.stroke_m - ENDS_M))
        found = {"mean": ((self.stroke_m - 2 * ENDS_M) / max(end - start, 1e-3), 0.0)}
        edge = EDGE_SHARE * self.stroke_m
        i = math.ceil(self.passes(way, edge))
        part = way.speeds[i : max(int(self.passes(way, self.stroke_m - edge)), i) + 1]

        def of(k: int) -> float:
            return part[k]

        found["quickest"] = self.top(way, i + max(range(len(part)), key=of))
        turns = turning_points(part, SLOWER * max(part))
        lows = [k for k in range(1, len(turns) - 1) if part[turns[k]] < part[turns[k - 1]]]
        if lows:
            k = min(lows, key=lambda k: part[turns[k]])
            places = max(turns[:k], key=of), turns[k], max(turns[k + 1 :], key=of)
            found |= {name: self.top(way, i + m) for name, m in zip(NAMES, places, strict=True)}
        for row in range(1, ROWS):
            up = self.stroke_m * row / ROWS
            found[f"row{row}"] = self.at(way.speeds, self.passes(way, up)), up
        return found


def _stretch(
    figures: Figures, by: float, left_m: float = 0.0, chance: random.Random | None = None
) -> Figures:
    """Figures of another world; ``left_m``: what of a shaken phone was not taken out, 1 SD."""
    stretched = {name: (speed * by, up * by) for name, (speed, up) in figures.items()}
    if not left_m or chance is None:
        return stretched
    speed_m_s, up_m = 2 * math.pi * WAVER_HZ * left_m, math.sqrt(2) * left_m
    return {
        name: (speed + chance.gauss(0, up_m if name == "mean" else speed_m_s), up + chance.gauss(0, up_m))
        for name, (speed, up) in stretched.items()
    }


def _rep_speed(likely: Figures, each: Sequence[Figures], stroke_m: float, wavers: float) -> RepSpeed:
    """``wavers``: share of the ways' variance that is in the likeliest way, too."""

    def extreme(name: str) -> Extreme:
        some = [one[name] for one in each if name in one]
        quick, ups = [s for s, _ in some], [u for _, u in some]
        speed, up = likely.get(name, (_mean(quick), _mean(ups)))
        return Extreme(
            _number(speed + wavers * (speed - _mean(quick)), quick, SPEED_TO_90 if name in NAMES else TO_90),
            _number(up, ups, UP_TO_90) if name in NAMES else _within(up, ups),
        )

    slow = sum(NAMES[1] in one for one in each) >= SEEN_SHARE * len(each)
    means = [one["mean"][0] for one in each]
    rows = [(0.0, Number(0.0, 0.0, 0.0))]
    for row in range(1, ROWS):
        name = f"row{row}"
        rows.append((likely[name][1], _number(likely[name][0], [one[name][0] for one in each], SPEED_TO_90)))
    return RepSpeed(
        _number(likely["mean"][0], means, TO_90, MEAN_SD * likely["mean"][0]),
        extreme("quickest"),
        (extreme(NAMES[0]), extreme(NAMES[1]), extreme(NAMES[2])) if slow else None,
        [*rows, (stroke_m, Number(0.0, 0.0, 0.0))],
    )


def _within(value: float, values: Sequence[float]) -> Number:
    """A value with what 90 % of possible ones lie between: heights of flat peaks lie far to one side."""
    ordered = sorted(values)
    low, high = ordered[len(ordered) // 20], ordered[-1 - len(ordered) // 20]
    return Number(value, min(low, value), max(high, value))


def _lost(means: Sequence[Sequence[float]]) -> Number | None:
    """The share of the quickest rep's mean speed that the last has lost."""
    if len(means) < 2:
        return None
    best = max(means, key=_mean)
    lost = [1 - b / a for a, b in zip(best, means[-1], strict=True)]
    return Number(0.0, 0.0, 0.0) if best is means[-1] else _number(_mean(lost), lost, TO_90, LOST_SD)


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)


def _number(value: float, values: Sequence[float], wide: float, more_sd: float = 0.0) -> Number:
    """A value with so many SD of possible ones, and of what those leave out, on either side."""
    mean = _mean(values)
    margin = wide * math.hypot(math.sqrt(_mean([(v - mean) ** 2 for v in values])), more_sd)
    return Number(value, value - margin, value + margin)
